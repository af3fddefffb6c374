"""What people say of a home's contract: tariff, period, and its own meter's clock and windows.

At most one contract holds on any day, so a day has one tariff or none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from service.common.calendar import DayKind
from service.common.errors import Fault, Rejected
from service.households.domain.ranges import in_range, known_word, refuse, text_within
from service.tariffs.domain.rate_bands import RateSheet, Window, check_own_windows
from service.tariffs.domain.terms import TariffClock

WINDOWS_MAX = 48
"""Own bound: more windows than half-hours of a day make no sense."""

EXIT_FEE_MAX_PENCE = 100_000
"""Own bound: a thousand pounds."""


@dataclass(frozen=True)
class MeterWindow:
    """When this home's meter switches a band on: [starts_at_min, ends_at_min) every day of the year.

    Minutes after midnight on the contract's clock; an end at or before the start is on the next day.
    """

    band: str
    starts_at_min: int
    ends_at_min: int

    def __post_init__(self) -> None:
        refuse(text_within("band", self.band, 40, is_required=True))
        self.daily()  # its constructor refuses times that are no half-hours

    def daily(self) -> Window:
        """Return the window as tariffs read it."""
        return Window(self.starts_at_min, self.ends_at_min, frozenset(DayKind), frozenset(range(1, 13)))


@dataclass(frozen=True)
class ContractDetails:
    """A contract from the local midnight of ``starts_on``; ``ends_on`` is the first day without it.

    Leaving it before ``fixed_until_on`` costs ``exit_fee_pence``; None: not known, or there is none.
    """

    tariff_id: str
    starts_on: date
    ends_on: date | None = None
    clock: str | None = None
    windows: tuple[MeterWindow, ...] = ()
    exit_fee_pence: int | None = None
    fixed_until_on: date | None = None

    def __post_init__(self) -> None:
        refuse(
            _period_faults(self),
            known_word("clock", self.clock, TariffClock) if self.clock is not None else (),
            [Fault("windows", len(self.windows), f"must be at most {WINDOWS_MAX}")]
            if len(self.windows) > WINDOWS_MAX
            else (),
            in_range("exit_fee_pence", self.exit_fee_pence, 0, EXIT_FEE_MAX_PENCE, "pence")
            if self.exit_fee_pence is not None
            else (),
        )

    def windows_by_band(self) -> dict[str, tuple[Window, ...]]:
        """Return the meter's own windows of each band that has any."""
        found: dict[str, tuple[Window, ...]] = {}
        for window in self.windows:
            found[window.band] = (*found.get(window.band, ()), window.daily())
        return found

    def stored_windows(self) -> dict[str, list[list[int]]]:
        """Return the windows as a contract's row keeps them."""
        found: dict[str, list[list[int]]] = {}
        for window in self.windows:
            found.setdefault(window.band, []).append([window.starts_at_min, window.ends_at_min])
        return found


@dataclass(frozen=True)
class OtherContract:
    """Another contract of the same home, for comparison."""

    tariff_name: str
    starts_on: date
    ends_on: date | None


def windows_of(stored: Mapping[str, Iterable[Iterable[int]]]) -> tuple[MeterWindow, ...]:
    """Return the windows that ``stored_windows`` wrote, by band and in their order."""
    return tuple(MeterWindow(band, *times) for band, spans in stored.items() for times in spans)


def check_no_overlap(contract: ContractDetails, others: Iterable[OtherContract]) -> None:
    """Refuse a contract that shares a day with another of the home; raises ``Rejected`` naming it."""
    refuse(_overlap_faults(contract, others))


def check_meter_windows(contract: ContractDetails, sheets: Iterable[RateSheet]) -> None:
    """Refuse own windows with which one of the tariff's sheets leaves a gap or an overlap, or lacks the band.

    Raises
    ------
    Rejected
        With fields under "windows", each fault once.
    """
    windows = contract.windows_by_band()
    faults: dict[str, Fault] = {}
    for sheet in sheets if windows else ():
        try:
            check_own_windows(sheet, windows)
        except Rejected as error:
            faults.update({fault.rule: Fault("windows", fault.value, fault.rule) for fault in error.faults})
    refuse(faults.values())


def _period_faults(contract: ContractDetails) -> Iterator[Fault]:
    if contract.ends_on is not None and contract.ends_on <= contract.starts_on:
        yield Fault("ends_on", contract.ends_on.isoformat(), "must be after starts_on: it is the first day without it")
    if contract.fixed_until_on is not None and contract.fixed_until_on <= contract.starts_on:
        yield Fault("fixed_until_on", contract.fixed_until_on.isoformat(), "must be after starts_on")


def _overlap_faults(contract: ContractDetails, others: Iterable[OtherContract]) -> Iterator[Fault]:
    for other in others:
        starts_first = other.ends_on is None or contract.starts_on < other.ends_on
        ends_after = contract.ends_on is None or other.starts_on < contract.ends_on
        if starts_first and ends_after:
            until = f"until {other.ends_on}" if other.ends_on else "without an end: give it one first"
            rule = f"overlaps the contract for {other.tariff_name} from {other.starts_on} {until}"
            field = "starts_on" if other.starts_on <= contract.starts_on else "ends_on"
            yield Fault(field, str(contract.starts_on if field == "starts_on" else contract.ends_on), rule)
