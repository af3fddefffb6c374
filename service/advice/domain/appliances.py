"""The appliances a home could move into cheaper hours, and when somebody is awake at home: as people state them.

A figure that nobody states comes from the book of figures or from a table below, and is named as assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Final

from service.common.errors import Fault
from service.common.units import MINUTES_PER_HALF_HOUR, WH_PER_KWH
from service.figures.domain.book import Figure, FigureBook
from service.households.domain.ranges import in_range, known_word, refuse, text_within

DAY_MIN: Final = 1440
HALF_HOURS_A_DAY: Final = 48
APPLIANCES_MAX: Final = 12
AWAKE_MAX: Final = 4
LABEL_MAX: Final = 60
USUAL_AWAKE: Final = ((390, 1380),)
"""06:30 to 23:00: assumed where nobody says when somebody is awake at home; own choice, no source."""
USUAL_START_MIN: Final = 1140
"""19:00: assumed where nobody says when an appliance usually starts; own choice, no source."""
ASSUMED: Final = "own choice, common practice, no source (assumed)"
STATED: Final = "as the household states it"


class ApplianceKind(StrEnum):
    """What is moved; ``own`` is any other, by its own figures."""

    DISHWASHER = "dishwasher"
    WASHING_MACHINE = "washing_machine"
    TUMBLE_DRYER = "tumble_dryer"
    IMMERSION_HEATER = "immersion_heater"
    OWN = "own"


USUAL_RUN_MIN: Final = {
    ApplianceKind.DISHWASHER: 150,
    ApplianceKind.WASHING_MACHINE: 120,
    ApplianceKind.TUMBLE_DRYER: 90,
    ApplianceKind.IMMERSION_HEATER: 120,
}
"""How long a run takes where nobody says [min]: own choice, common practice, no source."""


@dataclass(frozen=True)
class Appliance:
    """One appliance as a household states it; None where it leaves a figure to the book.

    ``starts_min`` is when it usually starts, in minutes after local midnight.

    Raises
    ------
    Rejected
        With every fault: a figure out of range, more energy than its power gives in its time, or an own appliance
        without its figures.
    """

    kind: str
    runs_a_week: int
    label: str = ""
    run_wh: int | None = None
    power_w: int | None = None
    run_min: int | None = None
    starts_min: int | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, ApplianceKind),
            in_range("runs_a_week", self.runs_a_week, 1, 50, "runs"),
            text_within("label", self.label, LABEL_MAX, is_required=self.kind == ApplianceKind.OWN),
            in_range("run_kwh", self.run_wh, 10, 30_000, "Wh") if self.run_wh is not None else (),
            in_range("power_w", self.power_w, 10, 7_400, "W") if self.power_w is not None else (),
            self._time_faults(),
            self._own_faults(),
            self._energy_faults(),
        )

    def _time_faults(self) -> Iterator[Fault]:
        if self.run_min is not None:
            yield from in_range("run_minutes", self.run_min, MINUTES_PER_HALF_HOUR, 720, "minutes")
        if self.starts_min is not None:
            yield from in_range("usual_start", self.starts_min, 0, DAY_MIN - 1, "minutes after midnight")

    def _own_faults(self) -> Iterator[Fault]:
        if self.kind == ApplianceKind.OWN:
            for name, value in (("run_kwh", self.run_wh), ("power_w", self.power_w), ("run_minutes", self.run_min)):
                if value is None:
                    yield Fault(name, None, "must be given for an appliance of your own")

    def _energy_faults(self) -> Iterator[Fault]:
        if self.run_wh is None or self.power_w is None or self.run_min is None:
            return
        if self.run_wh * 60 > self.power_w * self.run_min:
            rule = f"is more than {self.power_w} W give in {self.run_min} minutes"
            yield Fault("run_kwh", self.run_wh / WH_PER_KWH, rule)


@dataclass(frozen=True)
class HomeAppliances:
    """All that a household would move, and [from, until) in which somebody is awake at home, in local minutes.

    Raises ``Rejected`` with every fault.
    """

    appliances: tuple[Appliance, ...] = ()
    awake: tuple[tuple[int, int], ...] = USUAL_AWAKE

    def __post_init__(self) -> None:
        refuse(self._count_faults(), self._awake_faults())

    def _count_faults(self) -> Iterator[Fault]:
        if len(self.appliances) > APPLIANCES_MAX:
            yield Fault("appliances", len(self.appliances), f"must be at most {APPLIANCES_MAX}")

    def _awake_faults(self) -> Iterator[Fault]:
        if not 1 <= len(self.awake) <= AWAKE_MAX:
            yield Fault("awake", len(self.awake), f"must be 1 to {AWAKE_MAX} times of the day")
        before = 0
        for position, (from_min, until_min) in enumerate(self.awake):
            if not 0 <= from_min < until_min <= DAY_MIN:
                yield Fault(f"awake.{position}.until", until_min, "must be later on the same day than from")
            elif from_min < before:
                yield Fault(f"awake.{position}.from", from_min, "must not begin before the one above ends")
            before = until_min

    def awake_half_hours(self) -> tuple[bool, ...]:
        """Say of each half-hour of the day whether somebody is awake at home for all of it."""
        return tuple(
            any(from_min <= start and start + MINUTES_PER_HALF_HOUR <= until for from_min, until in self.awake)
            for start in range(0, DAY_MIN, MINUTES_PER_HALF_HOUR)
        )


@dataclass(frozen=True)
class Run:
    """One run with every figure known; ``half_hours_wh`` is its energy spread evenly, as whole Wh that add up to it.

    ``figures`` are (what, value, source) of each, so that what is assumed is seen.
    """

    kind: ApplianceKind
    label: str
    runs_a_week: int
    power_w: int
    starts_at: int
    half_hours_wh: tuple[int, ...]
    figures: tuple[tuple[str, str, str], ...] = field(default=(), compare=False)

    @property
    def run_wh(self) -> int:
        """Return the energy of one run."""
        return sum(self.half_hours_wh)

    @property
    def half_hours(self) -> int:
        """Return how many half-hours a run takes."""
        return len(self.half_hours_wh)


def run_of(appliance: Appliance, book: FigureBook, on: date) -> Run:
    """Return an appliance with the figures that nobody stated from the book.

    A run takes whole half-hours and at least as many as its power needs for its energy.

    Raises
    ------
    FigureNotKnown
        If the book has no figure on that day.
    """
    kind = ApplianceKind(appliance.kind)
    run_wh, from_book = appliance.run_wh, []
    if run_wh is None:
        figure = book.at("appliance_run_kwh", on, kind.value)
        run_wh = int(figure.value * WH_PER_KWH)
        from_book.append(("energy of a run", figure))
    power_w = appliance.power_w
    if power_w is None:
        figure = book.at("appliance_power_w", on, kind.value)
        power_w = int(figure.value)
        from_book.append(("power", figure))
    usual_min = USUAL_RUN_MIN.get(kind, MINUTES_PER_HALF_HOUR)
    run_min = appliance.run_min if appliance.run_min is not None else usual_min
    least = -(-run_wh * 60 // (power_w * MINUTES_PER_HALF_HOUR))
    half_hours = max(-(-run_min // MINUTES_PER_HALF_HOUR), least)
    starts_min = USUAL_START_MIN if appliance.starts_min is None else appliance.starts_min
    flowed = [run_wh * place // half_hours for place in range(half_hours + 1)]
    return Run(
        kind,
        appliance.label.strip() or kind.value.replace("_", " ").capitalize(),
        appliance.runs_a_week,
        power_w,
        starts_min // MINUTES_PER_HALF_HOUR,
        tuple(flowed[place + 1] - flowed[place] for place in range(half_hours)),
        tuple(_figures(appliance, run_wh, power_w, half_hours, starts_min, from_book)),
    )


def _figures(
    appliance: Appliance,
    run_wh: int,
    power_w: int,
    half_hours: int,
    starts_min: int,
    from_book: Sequence[tuple[str, Figure]],
) -> Iterator[tuple[str, str, str]]:
    sources = {what: figure.where_from for what, figure in from_book}
    yield "energy of a run", f"{run_wh / WH_PER_KWH:g} kWh", sources.get("energy of a run", STATED)
    yield "power", f"{power_w} W", sources.get("power", STATED)
    yield "time of a run", f"{half_hours * MINUTES_PER_HALF_HOUR} minutes", _source(appliance.run_min)
    yield "usual start", clock(starts_min), _source(appliance.starts_min)


def _source(stated: int | None) -> str:
    return ASSUMED if stated is None else STATED


def clock(minutes: int) -> str:
    """Return minutes after local midnight as a time of day.

    >>> clock(1140), clock(1440)
    ('19:00', '00:00')
    """
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"
