"""What a home paid by half-hour under the contracts it had then, and which hours were cheap."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from service.advice.domain.charged_prices import PaidPrices, paid_prices
from service.common.slots import instant_at, local_day_slots, slot_index
from service.households.domain.homes import ContractInputs, HomeInputs
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import Series, TariffClock, TariffKind, TariffTerms, Version

LONDON = ZoneInfo("Europe/London")
NIGHT, DAY = 9_500_000, 31_000_000
DAY_ON = date(2026, 11, 24)


def sheet(*bands: Band) -> RateSheet:
    return RateSheet(None, None, 40_000_000, bands)


def banded(tariff_id: str = "n", *bands: Band) -> TariffTerms:
    """Return a tariff of a cheap night and a dear day."""
    usual = (Band("night", NIGHT, (Window(30, 330),)), Band("day", DAY, (), True))
    version = Version(date(2026, 1, 1), (sheet(*(bands or usual)),), True, Decimal(5))
    return TariffTerms(tariff_id, f"Tariff {tariff_id}", TariffKind.BANDED, TariffClock.LOCAL, (version,), {})


def home(*contracts: ContractInputs) -> HomeInputs:
    return HomeInputs("h", "H-1", "Europe/London", "england", None, None, 1, (), (), contracts)


def contract(tariff_id: str = "n", starts_on: date = date(2026, 1, 1), ends_on: date | None = None) -> ContractInputs:
    return ContractInputs(tariff_id, starts_on, ends_on, None, {})


def at(prices: PaidPrices, on: date, minutes: int) -> int:
    return slot_index(instant_at(on, minutes, LONDON))


def test_prices_are_those_of_the_home_then_and_the_night_is_cheap() -> None:
    prices = paid_prices(home(contract()), {"n": banded()}, DAY_ON, date(2026, 11, 25))
    assert len(prices.price_up) == 48
    night, day = at(prices, DAY_ON, 60), at(prices, DAY_ON, 720)
    assert (prices.price(night), prices.price(day)) == (NIGHT, DAY)
    assert (prices.cheap(night), prices.cheap(day), prices.is_outside(day), prices.is_outside(night)) == (
        True, False, True, False,
    )  # fmt: skip
    assert prices.names == ("Tariff n",)


@pytest.mark.parametrize(("on", "count"), [(date(2026, 3, 29), 8), (date(2026, 10, 25), 12), (DAY_ON, 10)])
def test_a_night_window_is_an_hour_shorter_or_longer_where_the_clock_changes(on: date, count: int) -> None:
    prices = paid_prices(home(contract()), {"n": banded()}, on, date.fromordinal(on.toordinal() + 1))
    assert sum(prices.is_cheap) == count
    assert len(prices.price_up) == len(local_day_slots(on, LONDON))


def test_a_new_contract_takes_over_at_its_midnight_and_what_none_prices_is_not_known() -> None:
    contracts = (contract("n", ends_on=DAY_ON), contract("f", starts_on=date(2026, 11, 25)))
    terms = {"n": banded(), "f": banded("f", Band("all", 25_000_000, (), True))}
    prices = paid_prices(home(*contracts), terms, date(2026, 11, 23), date(2026, 11, 26))
    assert prices.price(at(prices, date(2026, 11, 23), 720)) == DAY
    assert prices.price(at(prices, DAY_ON, 720)) is None
    assert prices.price(at(prices, date(2026, 11, 25), 0)) == 25_000_000
    assert not prices.is_outside(at(prices, DAY_ON, 720))


def test_a_day_with_one_price_has_no_cheap_hours() -> None:
    flat = banded("n", Band("all", 25_000_000, (), True))
    prices = paid_prices(home(contract()), {"n": flat}, DAY_ON, date(2026, 11, 25))
    assert not any(prices.is_cheap)
    assert not any(prices.is_outside(slot) for slot in local_day_slots(DAY_ON, LONDON))


def test_at_half_hourly_prices_the_ten_cheapest_half_hours_are_cheap_and_a_missing_one_is_not_known() -> None:
    slots = local_day_slots(DAY_ON, LONDON)
    series = Series({slot: (slot - slots.start) * 1_000_000 for slot in slots if slot != slots.start + 5})
    terms = replace(
        banded("n"), kind=TariffKind.HALF_HOURLY, versions=(Version(date(2026, 1, 1), (sheet(),), True, Decimal(5)),),
        series={"": series},
    )  # fmt: skip
    prices = paid_prices(home(contract()), {"n": terms}, DAY_ON, date(2026, 11, 25))
    cheap = [slot - slots.start for slot in slots if prices.cheap(slot)]
    assert cheap == [0, 1, 2, 3, 4, 6, 7, 8, 9, 10]
    assert prices.price(slots.start + 5) is None


def test_beyond_what_was_asked_nothing_is_known() -> None:
    prices = paid_prices(home(contract()), {"n": banded()}, DAY_ON, date(2026, 11, 25))
    for slot in (prices.first_slot - 1, prices.first_slot + 48):
        assert (prices.price(slot), prices.cheap(slot), prices.is_outside(slot)) == (None, False, False)


def test_a_period_without_a_day_is_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="one day"):
        paid_prices(home(), {}, DAY_ON, DAY_ON)
