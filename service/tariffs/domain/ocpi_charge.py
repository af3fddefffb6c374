"""What one charge costs under a tariff of OCPI 2.2.1, exact until the end.

Each period is cut wherever a restriction begins or ends, its energy taken to flow evenly. In each piece the first
element that applies prices each dimension; what none prices is free, as the standard has it. Blocks (``step_size``)
are filled up once, at the end of the charge: energy by the last energy component used; of the times only the last
one used, parking before charging.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Final
from zoneinfo import ZoneInfo

from service.tariffs.domain.ocpi_tariff import Component, Dimension, Element, OcpiTariff, Restrictions

_WH_PER_KWH: Final = 1000
_S_PER_HOUR: Final = 3600
_DAY_MIN: Final = 24 * 60


@dataclass(frozen=True, slots=True)
class ChargePeriod:
    """A part of a charge from an aware instant: energy [kWh], charging and parking time [h], mean power and current.

    Power is worked out from energy and time where it is not given.
    """

    starts_at: datetime
    energy_kwh: Decimal = Decimal(0)
    time_h: Decimal = Decimal(0)
    parking_h: Decimal = Decimal(0)
    power_kw: Decimal | None = None
    current_a: Decimal | None = None


@dataclass(frozen=True, slots=True)
class ChargeCost:
    """The total without VAT, and with it; None where the VAT of a part that costs something is not stated.

    Rounded once, half away from zero, to 1e-6 of the currency's unit.
    """

    excl_vat: Decimal
    incl_vat: Decimal | None


def price_charge(tariff: OcpiTariff, periods: Sequence[ChargePeriod], zone: ZoneInfo) -> ChargeCost:
    """Return what a charge costs.

    Parameters
    ----------
    periods : sequence of ChargePeriod
        The whole session in order of time.
    zone : ZoneInfo
        Where it is charged: times of day and days of restrictions are local there.
    """
    used: dict[Component, Fraction] = defaultdict(Fraction)
    last: dict[Dimension, Component] = {}
    totals: dict[Dimension, Fraction] = defaultdict(Fraction)
    flat: Component | None = None
    for piece in _pieces(tariff, periods, zone):
        applying = [element for element in tariff.elements if _applies(element.restrictions, piece)]
        if flat is None:
            flat = _first(applying, Dimension.FLAT)
        for dimension, volume in piece.volumes.items():
            component = _first(applying, dimension)
            totals[dimension] += volume
            if component is not None and volume:
                used[component] += volume
                last[dimension] = component
    _fill_blocks(used, last, totals)
    if flat is not None and periods:
        used[flat] += 1
    return _bounded(tariff, _cost(used))


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part of a period in which no restriction begins or ends; what came before it counts from the start."""

    at: datetime
    volumes: dict[Dimension, Fraction]
    kwh_before: Fraction
    s_before: Fraction
    power_kw: Fraction | None
    current_a: Fraction | None


def _pieces(tariff: OcpiTariff, periods: Sequence[ChargePeriod], zone: ZoneInfo) -> Iterator[_Piece]:
    kwh, seconds = Fraction(0), Fraction(0)
    restrictions = [element.restrictions for element in tariff.elements]
    for period in periods:
        energy, time_s = Fraction(period.energy_kwh), Fraction(period.time_h) * _S_PER_HOUR
        parking_s = Fraction(period.parking_h) * _S_PER_HOUR
        length_s = time_s + parking_s
        power = Fraction(period.power_kw) if period.power_kw is not None else None
        if power is None and time_s:
            power = energy * _S_PER_HOUR / time_s
        cuts = {Fraction(0), Fraction(1)}
        for bound in _bounds(restrictions, "kwh"):
            cuts |= _inside(bound - kwh, energy)
        for bound in _bounds(restrictions, "duration"):
            cuts |= _inside(bound - seconds, length_s)
        for offset_s in _clock_cuts(restrictions, period.starts_at, length_s, zone):
            cuts |= _inside(offset_s, length_s)
        for start, end in pairwise(sorted(cuts)):
            part = end - start
            yield _Piece(
                (period.starts_at + timedelta(seconds=float(start * length_s))).astimezone(zone),
                {
                    Dimension.ENERGY: energy * part * _WH_PER_KWH,
                    Dimension.TIME: time_s * part,
                    Dimension.PARKING_TIME: parking_s * part,
                },
                kwh + energy * start,
                seconds + length_s * start,
                power,
                None if period.current_a is None else Fraction(period.current_a),
            )  # fmt: skip
        kwh, seconds = kwh + energy, seconds + length_s


def _inside(distance: Fraction, length: Fraction) -> set[Fraction]:
    return {distance / length} if 0 < distance < length else set()


def _bounds(restrictions: Sequence[Restrictions], what: str) -> set[Fraction]:
    found = (getattr(each, f"{end}_{what}") for each in restrictions for end in ("min", "max"))
    return {Fraction(bound) for bound in found if bound is not None}


def _clock_cuts(
    restrictions: Sequence[Restrictions], starts_at: datetime, length_s: Fraction, zone: ZoneInfo
) -> Iterator[Fraction]:
    """Yield the seconds after the start at which a time of day named anywhere, or a local midnight, is reached."""
    minutes = {0, *(each for rule in restrictions for each in (rule.start_min, rule.end_min) if each is not None)}
    local = starts_at.astimezone(zone)
    for day in range(int(length_s) // 86_400 + 2):
        for minute in minutes:
            wall = local.replace(hour=0, minute=0, second=0, microsecond=0, fold=0) + timedelta(days=day)
            reached = (wall + timedelta(minutes=minute)).astimezone(starts_at.tzinfo)
            yield Fraction((reached - starts_at) // timedelta(microseconds=1), 1_000_000)


def _first(elements: Sequence[Element], dimension: Dimension) -> Component | None:
    priced = (each for element in elements for each in element.components if each.dimension is dimension)
    return next(priced, None)


def _applies(rule: Restrictions, piece: _Piece) -> bool:
    """Tell whether an element applies; a minimum is in it, a maximum is not, and what is not known fails."""
    if rule.is_reservation:
        return False
    minute = piece.at.hour * 60 + piece.at.minute
    return (
        _in_window(rule.start_min, rule.end_min, minute)
        and (rule.start_date is None or piece.at.date() >= rule.start_date)
        and (rule.end_date is None or piece.at.date() < rule.end_date)
        and (rule.days_of_week is None or piece.at.weekday() in rule.days_of_week)
        and _between(piece.kwh_before, rule.min_kwh, rule.max_kwh)
        and _between(piece.s_before, rule.min_duration, rule.max_duration)
        and _between(piece.power_kw, rule.min_power, rule.max_power)
        and _between(piece.current_a, rule.min_current, rule.max_current)
    )


def _in_window(start: int | None, end: int | None, minute: int) -> bool:
    first, last = start or 0, _DAY_MIN if end is None or end == 0 else end
    return first <= minute < last if first < last else minute >= first or minute < last


def _between(value: Fraction | None, low: Decimal | int | None, high: Decimal | int | None) -> bool:
    if low is None and high is None:
        return True
    return value is not None and (low is None or value >= low) and (high is None or value < high)


def _fill_blocks(
    used: dict[Component, Fraction], last: dict[Dimension, Component], totals: dict[Dimension, Fraction]
) -> None:
    """Fill up the last block of energy, and that of the last time used, in the units of ``step_size``: Wh and s."""
    timed = Dimension.PARKING_TIME if totals[Dimension.PARKING_TIME] else Dimension.TIME
    for dimension in (Dimension.ENERGY, timed):
        component = last.get(dimension)
        if component is not None and component.step_size:
            used[component] += -totals[dimension] % component.step_size


def _cost(used: dict[Component, Fraction]) -> tuple[Fraction, Fraction | None]:
    excl, incl = Fraction(0), Fraction(0)
    is_vat_known = True
    for component, volume in used.items():
        unit = {Dimension.ENERGY: _WH_PER_KWH, Dimension.FLAT: 1}.get(component.dimension, _S_PER_HOUR)
        cost = volume / unit * Fraction(component.price)
        excl += cost
        if component.vat is not None:
            incl += cost * (1 + Fraction(component.vat) / 100)
        elif cost:
            is_vat_known = False
    return excl, incl if is_vat_known else None


def _bounded(tariff: OcpiTariff, cost: tuple[Fraction, Fraction | None]) -> ChargeCost:
    excl, incl = cost
    for bound, choose in ((tariff.min_price, max), (tariff.max_price, min)):
        if bound is not None:
            excl = choose(excl, Fraction(bound.excl_vat))
            if incl is not None and bound.incl_vat is not None:
                incl = choose(incl, Fraction(bound.incl_vat))
    return ChargeCost(_rounded(excl), None if incl is None else _rounded(incl))


def _rounded(amount: Fraction) -> Decimal:
    millionths = abs(amount) * 1_000_000
    whole = (2 * millionths.numerator + millionths.denominator) // (2 * millionths.denominator)
    return Decimal(whole if amount >= 0 else -whole) / 1_000_000
