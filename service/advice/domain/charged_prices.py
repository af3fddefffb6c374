"""What a home paid for each half-hour of some local days, under the contracts it had then, and which were cheap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from service.common.calendar import Nation
from service.common.slots import local_day_slots
from service.households.domain.homes import ContractInputs, HomeInputs
from service.planning.domain.comparisons import CHEAP_HALF_HOURS
from service.planning.domain.price_book import ALL_DAYS, ALL_MONTHS
from service.tariffs.domain.priced_days import PricedDays, price_days
from service.tariffs.domain.rate_bands import Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms

CHEAP_RULE: Final = (
    "cheap is a half-hour at the lowest price of its local day; at half-hourly prices, one that costs no more than the "
    f"day's {CHEAP_HALF_HOURS} cheapest. A day with one price has no cheap hours."
)


@dataclass(frozen=True)
class PaidPrices:
    """Consecutive half-hours from ``first_slot``: prices, VAT included, which are known, which are cheap.

    ``has_cheap_day`` says of each whether its local day has cheap hours at all; ``names`` are the tariffs, in order.

    Where ``is_known`` is False nothing was agreed for that half-hour, or its price did not arrive.
    """

    first_slot: int
    price_up: tuple[int, ...]
    is_known: tuple[bool, ...]
    is_cheap: tuple[bool, ...]
    has_cheap_day: tuple[bool, ...]
    days: tuple[tuple[date, range], ...]
    names: tuple[str, ...]

    def price(self, slot: int) -> int | None:
        """Return the price of a half-hour [1e-6 p per kWh], None where it is not known."""
        at = slot - self.first_slot
        return self.price_up[at] if 0 <= at < len(self.price_up) and self.is_known[at] else None

    def cheap(self, slot: int) -> bool:
        """Say whether a half-hour is a cheap one."""
        at = slot - self.first_slot
        return 0 <= at < len(self.is_cheap) and self.is_cheap[at]

    def is_outside(self, slot: int) -> bool:
        """Say whether a half-hour lies outside the cheap hours of a day that has some."""
        at = slot - self.first_slot
        return 0 <= at < len(self.is_cheap) and self.has_cheap_day[at] and not self.is_cheap[at]


def paid_prices(home: HomeInputs, terms: Mapping[str, TariffTerms], first_on: date, end_on: date) -> PaidPrices:
    """Return the prices of the local days [first_on, end_on); of two contracts the later one counts where it has one.

    Raises
    ------
    ValueError
        For a period without a day.
    """
    if end_on <= first_on:
        raise ValueError("a period has one day at least")
    zone = ZoneInfo(home.zone)
    dates = [first_on + timedelta(days=step) for step in range((end_on - first_on).days)]
    days = tuple((on, local_day_slots(on, zone)) for on in dates)
    first_slot, count = days[0][1].start, days[-1][1].stop - days[0][1].start
    price_up, is_known, is_series = [0] * count, [False] * count, [False] * count
    names: list[str] = []
    for contract in home.contracts:
        of_tariff = terms.get(contract.tariff_id)
        if of_tariff is None or contract.starts_on >= end_on or (contract.ends_on or end_on) <= first_on:
            continue
        priced = _priced(contract, of_tariff, home, first_on, end_on, zone)
        for at in range(count):
            if priced.is_known[at]:
                price_up[at], is_known[at] = int(priced.price_up[at]), True
                is_series[at] = of_tariff.kind is TariffKind.HALF_HOURLY
        names.append(of_tariff.name)
    cheap = set(_cheap_places(days, first_slot, price_up, is_known, is_series))
    has_cheap = [on for _, day in days for on in [any(slot - first_slot in cheap for slot in day)] * len(day)]
    return PaidPrices(
        first_slot,
        tuple(price_up),
        tuple(is_known),
        tuple(at in cheap for at in range(count)),
        tuple(has_cheap),
        days,
        tuple(dict.fromkeys(names)),
    )


def _priced(
    contract: ContractInputs, terms: TariffTerms, home: HomeInputs, first_on: date, end_on: date, zone: ZoneInfo
) -> PricedDays:
    windows = {
        band: tuple(Window(first, end, ALL_DAYS, ALL_MONTHS) for first, end in spans)
        for band, spans in contract.windows.items()
    }
    agreed = Contract(
        starts_on=contract.starts_on,
        ends_on=contract.ends_on,
        clock=TariffClock(contract.clock) if contract.clock else None,
        windows=windows,
        region=home.region,
        payment=home.payment,
    )
    return price_days(terms, agreed, first_on, end_on, zone=zone, nation=Nation(home.nation))


def _cheap_places(
    days: Sequence[tuple[date, range]],
    first_slot: int,
    price_up: Sequence[int],
    is_known: Sequence[bool],
    is_series: Sequence[bool],
) -> Iterator[int]:
    """Yield the places of the cheap half-hours of each day."""
    for _, day in days:
        places = [slot - first_slot for slot in day if is_known[slot - first_slot]]
        prices = sorted(price_up[at] for at in places)
        if not prices or prices[0] == prices[-1]:
            continue
        is_all_series = all(is_series[at] for at in places)
        limit_up = prices[min(CHEAP_HALF_HOURS, len(prices)) - 1] if is_all_series else prices[0]
        yield from (at for at in places if price_up[at] <= limit_up and price_up[at] < prices[-1])
