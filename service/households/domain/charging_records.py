"""What a car was actually charged with, once: the rules of such a record, and its energy by half-hour.

A record comes from a person, a table or a charging point's own account. Energy is at the wall. One without half-hours
is spread evenly over its time; the whole numbers add up to the record's energy exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.slots import SLOT_S, slot_index, slot_start
from service.common.units import SECONDS_PER_HOUR, WH_PER_KWH
from service.households.domain.equipment import SOCKET_LIMIT_A, ChargingPlace, OutletKind, RecordSource
from service.households.domain.ranges import in_range, known_word, refuse, text_within

LONGEST: Final = timedelta(days=7)
"""Own bound: a car that stands plugged in for longer is more than one record."""
HIGHEST_V: Final = 253
"""230 V and 10 % more, the highest a supply may have: Electricity Safety, Quality and Continuity Regulations 2002,
reg. 27."""
CLOCK_TOLERANCE_S: Final = 120
"""Own choice: start and end may each be a minute off, as a person reads them from a clock."""
ELSEWHERE_W: Final = 400_000
"""Own bound: the power of a public or work charging point [W]; none is recorded there."""
UNKNOWN_OUTLET_A: Final = 32
"""Own bound for a home whose outlets nobody recorded: three phases of 32 A."""
PAID_PENCE_MAX: Final = 100_000
EXTERNAL_ID_MAX: Final = 60
NOTE_MAX: Final = 200
EARLIEST_AT: Final = datetime(2010, 1, 1, tzinfo=UTC)
"""Own bound: no car of a scheme was charged before."""


@dataclass(frozen=True)
class OutletPower:
    """What an outlet could give a car [A per phase], as its record says."""

    kind: str
    limit_a: int
    phases: int

    @property
    def highest_w(self) -> int:
        """Return the greatest power it could give at the highest voltage [W]; a 13 A socket may be drawn to 13 A."""
        limit_a = max(self.limit_a, SOCKET_LIMIT_A) if self.kind == OutletKind.SOCKET_13A else self.limit_a
        return limit_a * self.phases * HIGHEST_V


@dataclass(frozen=True)
class ChargingDetails:
    """One record [starts_at, ends_at) in UTC; every broken rule is named at once.

    ``half_hours`` are (slot, Wh) where a meter told them apart; ``is_metered``: by a meter that feeds nothing but cars.
    ``paid_pence`` is what a place away from home asked; at home the tariff says.

    Raises
    ------
    Rejected
        If times, energy, place or half-hours cannot be.
    """

    vehicle_id: str
    place: str
    starts_at: datetime
    ends_at: datetime
    energy_wh: int
    outlet_id: str | None = None
    is_metered: bool = False
    half_hours: tuple[tuple[int, int], ...] = ()
    paid_pence: int | None = None
    source: str = RecordSource.TYPED.value
    external_id: str | None = None
    note: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "half_hours", tuple((int(slot), int(wh)) for slot, wh in self.half_hours))
        refuse(
            known_word("place", self.place, ChargingPlace),
            known_word("source", self.source, RecordSource),
            self._time_faults(),
            self._energy_faults(),
            self._place_faults(),
            self._half_hour_faults(),
            text_within("external_id", self.external_id, EXTERNAL_ID_MAX),
            text_within("note", self.note, NOTE_MAX),
        )

    def _time_faults(self) -> Iterator[Fault]:
        if self.starts_at < EARLIEST_AT:
            yield Fault("starts_at", self.starts_at.isoformat(), f"must not lie before {EARLIEST_AT.year}")
        if self.ends_at <= self.starts_at:
            yield Fault("ends_at", self.ends_at.isoformat(), "must be after the start")
        elif self.ends_at - self.starts_at > LONGEST:
            rule = f"must be at most {LONGEST.days} days after the start: record each charge by itself"
            yield Fault("ends_at", self.ends_at.isoformat(), rule)

    def _energy_faults(self) -> Iterator[Fault]:
        if self.energy_wh < 1:
            yield Fault("energy_kwh", self.energy_wh / WH_PER_KWH, "must be more than 0 kWh")

    def _place_faults(self) -> Iterator[Fault]:
        if self.place != ChargingPlace.HOME and self.outlet_id is not None:
            yield Fault("outlet_id", self.outlet_id, "must be empty where the car was not charged at home")
        if self.place == ChargingPlace.HOME and self.paid_pence is not None:
            yield Fault("paid_pence", self.paid_pence, "must be empty at home: the home's tariff says what it cost")
        if self.paid_pence is not None:
            yield from in_range("paid_pence", self.paid_pence, 0, PAID_PENCE_MAX, "pence")

    def _half_hour_faults(self) -> Iterator[Fault]:
        if not self.half_hours or self.ends_at <= self.starts_at:
            return
        slots = [slot for slot, _ in self.half_hours]
        inside = slots_of(self.starts_at, self.ends_at)
        if any(later <= earlier for earlier, later in pairwise(slots)):
            yield Fault("half_hours", len(slots), "must stand in order of time, each half-hour once")
        if any(slot not in inside for slot in slots):
            yield Fault("half_hours", len(slots), "must lie between start and end")
        if any(wh < 0 for _, wh in self.half_hours):
            yield Fault("half_hours", len(slots), "must not be negative")
        total_wh = sum(wh for _, wh in self.half_hours)
        if total_wh != self.energy_wh:
            sides = f"{total_wh / WH_PER_KWH:g} kWh is not {self.energy_wh / WH_PER_KWH:g} kWh"
            rule = f"must add up to the energy: {sides}"
            yield Fault("half_hours", total_wh, rule)


@dataclass(frozen=True, slots=True)
class Charged:
    """A stored record as other features read it; fields as ``ChargingDetails`` has them."""

    id: str
    vehicle_id: str
    outlet_id: str | None
    place: str
    starts_at: datetime
    ends_at: datetime
    energy_wh: int
    is_metered: bool
    half_hours: tuple[tuple[int, int], ...] = ()
    paid_pence: int | None = None
    source: str = RecordSource.TYPED.value
    external_id: str | None = None
    note: str = field(default="", compare=False)

    @property
    def is_spread(self) -> bool:
        """Say whether its half-hours are an even spread, not the meter's own."""
        return not self.half_hours

    def by_slot(self) -> tuple[tuple[int, int], ...]:
        """Return (slot, Wh) of each half-hour, in order; their sum is the record's energy."""
        return self.half_hours or spread_evenly(self.starts_at, self.ends_at, self.energy_wh)


def slots_of(starts_at: datetime, ends_at: datetime) -> range:
    """Return the half-hours that a time touches."""
    return range(slot_index(starts_at), slot_index(ends_at - timedelta(microseconds=1)) + 1)


def spread_evenly(starts_at: datetime, ends_at: datetime, energy_wh: int) -> tuple[tuple[int, int], ...]:
    """Return an energy spread evenly over a time, as (slot, Wh) of each half-hour that it touches.

    Each half-hour gets the difference of what has flowed by its end and by its start, both rounded down to a whole
    Wh: so the parts add up to the energy exactly, wherever the time is cut.

    >>> spread_evenly(datetime(2026, 1, 1, 0, 15, tzinfo=UTC), datetime(2026, 1, 1, 1, tzinfo=UTC), 100)
    ((981744, 33), (981745, 67))
    """
    whole = (ends_at - starts_at) // timedelta(microseconds=1)
    found: list[tuple[int, int]] = []
    before_wh = 0
    for slot in slots_of(starts_at, ends_at):
        until = min(slot_start(slot + 1), ends_at) - starts_at
        flowed_wh = energy_wh * (until // timedelta(microseconds=1)) // whole
        found.append((slot, flowed_wh - before_wh))
        before_wh = flowed_wh
    return tuple(found)


def check_power(details: ChargingDetails, outlets: Sequence[OutletPower]) -> None:
    """Refuse more energy than time and outlet could deliver.

    Parameters
    ----------
    outlets : sequence of OutletPower
        The outlet that fed the car at home; all of the home's where none is named, and the strongest counts.

    Raises
    ------
    Rejected
        If the energy, or one half-hour's, is more than the outlet's current gives at 253 V in that time and two
        minutes more.
    """
    highest_w = _highest_w(details.place, outlets)
    whole_s = int((details.ends_at - details.starts_at).total_seconds())
    faults = list(_too_much("energy_kwh", details.energy_wh, whole_s, highest_w))
    if not faults:
        for _, wh in details.half_hours:
            faults.extend(_too_much("half_hours", wh, min(SLOT_S, whole_s), highest_w))
            if faults:
                break
    refuse(faults)


def _highest_w(place: str, outlets: Sequence[OutletPower]) -> int:
    if place != ChargingPlace.HOME:
        return ELSEWHERE_W
    return max((outlet.highest_w for outlet in outlets), default=UNKNOWN_OUTLET_A * 3 * HIGHEST_V)


def _too_much(name: str, energy_wh: int, seconds: int, highest_w: int) -> Iterator[Fault]:
    most_wh = highest_w * (seconds + CLOCK_TOLERANCE_S) // SECONDS_PER_HOUR
    if energy_wh > most_wh:
        spoken = (Decimal(most_wh) / WH_PER_KWH).quantize(Decimal("0.01"))
        rule = f"is more than the outlet could give in that time: {spoken} kWh at most, reckoned at {HIGHEST_V} V"
        yield Fault(name, energy_wh, f"{rule} and two minutes longer")


def check_over(details: ChargingDetails, *, at: datetime) -> None:
    """Refuse a charge that is not over yet; raises ``Rejected``."""
    if details.ends_at > at:
        raise Rejected(Fault("ends_at", details.ends_at.isoformat(), "must not lie ahead"))


def find_overlap(details: ChargingDetails, others: Sequence[Charged]) -> Charged | None:
    """Return another record of the same car that overlaps this one: its energy would count twice."""
    return next(
        (
            other
            for other in others
            if other.vehicle_id == details.vehicle_id
            and other.starts_at < details.ends_at
            and details.starts_at < other.ends_at
        ),
        None,
    )


def check_no_overlap(details: ChargingDetails, others: Sequence[Charged]) -> None:
    """Refuse a record that overlaps another of the same car; raises ``Rejected``."""
    if find_overlap(details, others) is not None:
        rule = "overlaps another record of this car: its energy would count twice"
        raise Rejected(Fault("starts_at", details.starts_at.isoformat(), rule))
