"""What would close the gap where a lead falls short: the cheapest first, each tried on the very same years."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Final

import numpy as np

from service.advice.domain.diary_years import WEEK_DAYS, Energies, LaidOver, gains_of_year, with_journeys
from service.advice.domain.lead_simulation import FILLED_NIGHTS, Battery, Nights, simulate
from service.common.units import WH_PER_KWH
from service.common.working import Step

SOURCE: Final = "rule of this service: the same years again with this alone changed"
_PERMILLE: Final = 1000


class CloserKind(StrEnum):
    """What is done, the cheapest first."""

    PLUG_IN_EARLIER = "plug_in_earlier"
    RAISE_CEILING = "raise_ceiling"
    SWAP_CARS = "swap_cars"
    PUBLIC_CHARGE = "public_charge"
    CHARGING_POINT = "charging_point"


@dataclass(frozen=True)
class Years:
    """The years that every remedy is tried on: what is driven, what nights give, and where a week begins."""

    used_wh: Energies
    gains_wh: tuple[int, ...]
    first_weekday: int
    journeys: tuple[LaidOver, ...]
    battery: Battery

    def nights(self, gains_wh: Sequence[int] | None = None, *, used_wh: Energies | None = None) -> Nights:
        """Return the nights with other gains before each weekday, or other driving."""
        used, gains = self._laid(gains_wh, used_wh)
        return simulate(used, gains, self.battery)

    def nights_filled(self) -> Nights:
        """Return the nights where the ceiling does not hold before days that take more than any night can carry."""
        used, gains = self._laid(None, None)
        usual_wh = min(*self.gains_wh, self.battery.ceiling_wh - self.battery.reserve_wh)
        return simulate(used, gains, self.battery, fill_before_wh=usual_wh)

    def nights_always_full(self) -> Nights:
        """Return the nights of a lead without limit: what still falls short is more than the battery holds."""
        return self.nights((self.battery.full_wh,) * WEEK_DAYS)

    def _laid(self, gains_wh: Sequence[int] | None, used_wh: Energies | None) -> tuple[Energies, Energies]:
        gains = gains_of_year(self.gains_wh if gains_wh is None else gains_wh, self.first_weekday)
        return with_journeys(self.used_wh if used_wh is None else used_wh, gains, self.journeys)


@dataclass(frozen=True)
class Remedies:
    """What could be done at this home; None where a remedy is not to be had.

    ``earlier_gains_wh`` and ``point_gains_wh`` are what nights give then; ``other_car_wh`` is a usual day of another
    car that could take the longest day of each week, by this car's consumption. The public price is pence per kWh.
    """

    earlier_words: str = ""
    earlier_gains_wh: tuple[int, ...] | None = None
    other_car_label: str = ""
    other_car_wh: int | None = None
    public_price: Decimal | None = None
    public_price_source: str = ""
    point_words: str = ""
    point_gains_wh: tuple[int, ...] | None = None


@dataclass(frozen=True)
class Closer:
    """One thing to do; shares are of the nights and weeks that still fall short then [permille]."""

    kind: CloserKind
    words: str
    night_permille: int
    week_permille: int
    note: str
    step: Step = field(repr=False)


def closers(years: Years, now: Nights, remedies: Remedies) -> tuple[Closer, ...]:
    """Return what would close a gap, the cheapest first; nothing where no night falls short."""
    return tuple(_closers(years, now, remedies)) if now.night_share > 0 else ()


def permille(share: float) -> int:
    """Return a share in whole thousandths; what is there at all is never told as none."""
    return max(1, round(share * _PERMILLE)) if share > 0 else 0


def without_longest(used: Energies, other_wh: int) -> Energies:
    """Return the years with the longest day of each week driven with another car, and its usual day in its place."""
    weeks = used.reshape(-1, WEEK_DAYS, used.shape[1]).copy()
    longest = weeks.argmax(axis=1)[:, np.newaxis, :]
    kept = np.take_along_axis(weeks, longest, axis=1)
    np.put_along_axis(weeks, longest, np.minimum(kept, np.int32(other_wh)), axis=1)
    return weeks.reshape(used.shape)


def _closers(years: Years, now: Nights, remedies: Remedies) -> Iterator[Closer]:
    if remedies.earlier_gains_wh is not None:
        nights = years.nights(remedies.earlier_gains_wh)
        yield _closer(CloserKind.PLUG_IN_EARLIER, remedies.earlier_words, now, nights, "It costs nothing.")
    if years.battery.ceiling_wh < years.battery.full_wh:
        words = f"Let it fill to 100 % on up to {FILLED_NIGHTS} nights before a long day"
        note = "It costs nothing; most batteries age a little faster when they often stand full."
        yield _closer(CloserKind.RAISE_CEILING, words, now, years.nights_filled(), note)
    if remedies.other_car_wh is not None:
        nights = years.nights(used_wh=without_longest(years.used_wh, remedies.other_car_wh))
        words = f"Take the {remedies.other_car_label} on the longest day of each week"
        yield _closer(CloserKind.SWAP_CARS, words, now, nights, "That car's own charging must then keep up.")
    yield _public(now, remedies)
    if remedies.point_gains_wh is not None:
        nights = years.nights(remedies.point_gains_wh)
        note = "It costs most. Nothing is charged there before an electrician's record."
        yield _closer(CloserKind.CHARGING_POINT, remedies.point_words, now, nights, note)


def _closer(kind: CloserKind, words: str, now: Nights, then: Nights, note: str) -> Closer:
    night, week = permille(then.night_share), permille(then.week_share)
    step = Step(
        words,
        {"nights short now": _percent(permille(now.night_share)), "years": str(then.years)},
        "the same years of driving, this alone changed",
        SOURCE,
        f"{_percent(night)} of nights, {_percent(week)} of weeks still fall short",
    )
    return Closer(kind, words, night, week, note, step)


def _public(now: Nights, remedies: Remedies) -> Closer:
    times, missing_wh = now.short_nights_a_year, now.missing_wh_a_year
    kwh = Decimal(missing_wh) / WH_PER_KWH
    note = f"About {times:.0f} times a year, {kwh:.0f} kWh in all."
    inputs = {"days a year that fall short": f"{times:.1f}", "energy they lack in a year": f"{kwh:.1f} kWh"}
    source = SOURCE
    if remedies.public_price is None:
        note += " What that costs is not known: no public price is recorded."
    else:
        pounds = kwh * remedies.public_price / 100
        note += f" At {remedies.public_price.normalize():f} p per kWh at least £{pounds:.0f} a year."
        inputs["public price"] = f"{remedies.public_price.normalize():f} p per kWh"
        source = f"{SOURCE}; price: {remedies.public_price_source}"
    words = "Charge elsewhere on the way when it falls short"
    rule = "what each day lacks is charged on the way; energy into the battery times price, losses left out"
    return Closer(CloserKind.PUBLIC_CHARGE, words, 0, 0, note, Step(words, inputs, rule, source, note))


def _percent(share_permille: int) -> str:
    return f"{share_permille / 10:g} %"
