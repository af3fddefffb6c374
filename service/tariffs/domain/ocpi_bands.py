"""A tariff of OCPI 2.2.1 as rate bands, where it says no more than bands can: energy by local time and kind of day.

What bands cannot say is refused with its reason, never left out: prices for time, for parking or for starting, bounds
on a session, restrictions on power, energy or season, days of the week that are neither Monday to Friday nor the
weekend, times off the half-hour, and half-hours that no element prices (which the standard reads as free).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Final

from service.common.calendar import DayKind
from service.common.errors import Fault, Rejected
from service.common.money import MAX_PENCE, UP_PER_PENNY
from service.tariffs.domain.day_words import clock_words
from service.tariffs.domain.ocpi_tariff import Dimension, OcpiTariff, Restrictions, components_of
from service.tariffs.domain.rate_bands import EVERY_DAY, HALF_HOURS_A_DAY, Band, RateSheet, Window

CURRENCY: Final = "GBP"
_UP_PER_POUND: Final = 100 * UP_PER_PENNY
_MONDAY_TO_FRIDAY, _WEEKEND = frozenset(range(5)), frozenset((5, 6))
# A bank holiday is always a Monday to Friday, and the standard knows no other days than those of the week.
_KINDS: Final = {_MONDAY_TO_FRIDAY: (DayKind.WEEKDAY, DayKind.BANK_HOLIDAY), _WEEKEND: (DayKind.WEEKEND,)}
_MAPPED: Final = frozenset({"start_min", "end_min", "days_of_week", "is_reservation"})


@dataclass(frozen=True)
class ImportedPrices:
    """The sheet, its prices without VAT, and the VAT to add [%]."""

    sheet: RateSheet
    vat_percent: Decimal


def as_bands(tariff: OcpiTariff, *, standing_up_per_day: int) -> ImportedPrices:
    """Return a tariff as bands read on the local clock; its standing charge is not in such an object.

    Raises
    ------
    Rejected
        With every reason why it cannot be said in bands.
    """
    faults = [*_tariff_faults(tariff), *_component_faults(tariff), *_restriction_faults(tariff)]
    if faults:
        raise Rejected(*faults)
    grids = {kinds: _grid(tariff, days) for days, kinds in _KINDS.items()}
    gaps = [*_gap_faults(grids)]
    if gaps:
        raise Rejected(*gaps)
    prices = sorted({price for grid in grids.values() for price in grid if price is not None})
    bands = tuple(
        Band(f"rate {position}" if len(prices) > 1 else "all day", price, tuple(_windows(grids, price)))
        for position, price in enumerate(prices, 1)
    )
    vats = {component.vat for _, component in components_of(tariff)}
    return ImportedPrices(RateSheet(None, None, standing_up_per_day, bands), vats.pop() or Decimal(0))


def _tariff_faults(tariff: OcpiTariff) -> Iterator[Fault]:
    if tariff.currency != CURRENCY:
        yield Fault("currency", tariff.currency, f"must be {CURRENCY}: nothing is converted")
    for name in ("min_price", "max_price"):
        if getattr(tariff, name) is not None:
            yield Fault(name, None, "bounds what a session costs, which rate bands cannot say")


def _component_faults(tariff: OcpiTariff) -> Iterator[Fault]:
    vats = set()
    for place, component in components_of(tariff):
        if component.dimension is not Dimension.ENERGY:
            yield Fault(f"{place}.type", component.dimension.value, "only ENERGY can be said in rate bands")
        if component.step_size > 1:
            rule = "blocks larger than 1 Wh cannot be said in rate bands"
            yield Fault(f"{place}.step_size", component.step_size, rule)
        if component.vat is None:
            yield Fault(f"{place}.vat", None, "must be stated: absent VAT is not known, not 0")
        else:
            vats.add(component.vat)
        up = component.price * _UP_PER_POUND
        if up != int(up) or abs(up) > MAX_PENCE * UP_PER_PENNY:
            yield Fault(f"{place}.price", str(component.price), "must have at most eight decimals of a pound")
    if len(vats) > 1:
        yield Fault("elements", ", ".join(sorted(map(str, vats))), "must have one rate of VAT: a version has one")


def _restriction_faults(tariff: OcpiTariff) -> Iterator[Fault]:
    usual = Restrictions()
    for position, element in enumerate(tariff.elements):
        rule, under = element.restrictions, f"elements.{position}.restrictions"
        for field in fields(rule):
            if field.name not in _MAPPED and getattr(rule, field.name) != getattr(usual, field.name):
                yield Fault(f"{under}.{field.name}", None, "cannot be said in rate bands")
        if rule.is_reservation:
            yield Fault(f"{under}.reservation", None, "prices a reservation, which a home has none of")
        for name, minute in (("start_time", rule.start_min), ("end_time", rule.end_min)):
            if minute is not None and minute % 30:
                yield Fault(f"{under}.{name}", clock_words(minute), "must fall on a whole half-hour")
        if rule.days_of_week is not None and any(0 < len(rule.days_of_week & days) < len(days) for days in _KINDS):
            yield Fault(f"{under}.day_of_week", None, "must be Monday to Friday, Saturday and Sunday, or all of them")


def _grid(tariff: OcpiTariff, days: frozenset[int]) -> list[int | None]:
    """Return the price of each half-hour of such days [micro-pence per kWh], None where no element has one."""
    found: list[int | None] = [None] * HALF_HOURS_A_DAY
    for element in tariff.elements:
        rule = element.restrictions
        if rule.days_of_week is not None and not days <= rule.days_of_week:
            continue
        price = int(element.components[0].price * _UP_PER_POUND)
        for half_hour in _half_hours(rule):
            if found[half_hour] is None:
                found[half_hour] = price
    return found


def _half_hours(rule: Restrictions) -> Iterator[int]:
    start, end = (rule.start_min or 0) // 30, (rule.end_min or 24 * 60) // 30
    return (half_hour % HALF_HOURS_A_DAY for half_hour in range(start, end if end > start else end + HALF_HOURS_A_DAY))


def _gap_faults(grids: Mapping[tuple[DayKind, ...], list[int | None]]) -> Iterator[Fault]:
    for kinds, grid in grids.items():
        for start, end in _runs(grid, None):
            span = f"{clock_words(start * 30)}-{clock_words(end * 30)}"
            days = "at weekends" if DayKind.WEEKEND in kinds else "Monday to Friday"
            yield Fault(
                "elements", span, f"none prices {span} {days}, which the standard reads as free: add an element for it"
            )


def _windows(grids: Mapping[tuple[DayKind, ...], list[int | None]], price: int) -> Iterator[Window]:
    """Yield the windows of one price; those that every day shares are one window."""
    spans = {kinds: set(_runs(grid, price)) for kinds, grid in grids.items()}
    shared = set.intersection(*spans.values())
    for start, end in sorted(shared):
        yield Window(start * 30, end * 30, EVERY_DAY)
    for kinds, found in spans.items():
        for start, end in sorted(found - shared):
            yield Window(start * 30, end * 30, frozenset(kinds))


def _runs(grid: list[int | None], price: int | None) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    for half_hour, found in enumerate(grid):
        if found != price:
            continue
        if runs and runs[-1][1] == half_hour:
            runs[-1] = (runs[-1][0], half_hour + 1)
        else:
            runs.append((half_hour, half_hour + 1))
    return runs
