"""Which homes share prices: by what their contracts say of this week, not by when they were signed."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.common.slots import slot_index
from service.households.domain.homes import ContractInputs, HomeInputs
from service.planning.domain.price_book import HomePrices, LocalWeek, price_key
from tests.factories.charging_weeks import two_band_prices

WEEK = LocalWeek.at(slot_index(datetime(2026, 11, 25, 12, tzinfo=UTC)), ZoneInfo("Europe/London"))
CONTRACT = ContractInputs("t" * 32, date(2026, 1, 1), None, "local", {"night": [[60, 300]], "day": []})
HOME = HomeInputs("h" * 32, "H", "Europe/London", "england", "Northmere", "direct debit", 1, (), (), (CONTRACT,))


def key(**changes: Any) -> str:
    """Return the key of the home with its contract changed."""
    return price_key(replace(HOME, contracts=(replace(CONTRACT, **changes),)), WEEK)


def test_homes_that_pay_the_same_all_week_have_the_same_key() -> None:
    assert key(starts_on=date(2025, 6, 1)) == key()
    assert key(ends_on=date(2027, 1, 1)) == key()  # after the week
    assert price_key(replace(HOME, id="g" * 32, reference="G"), WEEK) == key()
    assert key(windows={"day": [], "night": [[60, 300]]}) == key()


@pytest.mark.parametrize(
    "changes",
    [
        {"tariff_id": "u" * 32},
        {"starts_on": date(2026, 11, 27)},
        {"ends_on": date(2026, 11, 27)},
        {"clock": "gmt"},
        {"windows": {"night": [[90, 330]], "day": []}},
    ],
)
def test_a_contract_that_differs_this_week_has_another_key(changes: dict[str, Any]) -> None:
    assert key(**changes) != key()


@pytest.mark.parametrize(
    "changes", [{"zone": "Europe/Dublin"}, {"nation": "scotland"}, {"region": None}, {"payment": None}]
)
def test_what_else_decides_a_price_is_part_of_the_key(changes: dict[str, Any]) -> None:
    assert price_key(replace(HOME, **changes), WEEK) != key()


def test_prices_are_told_apart_by_all_that_a_plan_shows_of_them() -> None:
    prices = HomePrices(two_band_prices(), "digest", "Two rates", ())
    assert prices.fingerprint() == HomePrices(two_band_prices(), "digest", "Two rates", ()).fingerprint()
    for other in ({"day_digest": "x"}, {"tariff_name": "Renamed"}, {"missing": ("a gap",)}):
        assert replace(prices, **other).fingerprint() != prices.fingerprint()
