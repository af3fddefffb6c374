"""Actual cost: metered half-hours at the price then in force, a trip's share by miles, estimates back nothing."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from service.reimbursement.domain.actual_cost import AllMiles, CarMonth, HomeElectricity
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.reckoning import Reckoning, reckon
from service.reimbursement.domain.rules import SchemeRule
from tests.factories.claims import CAR, claim, trip

AT_COST = [SchemeRule(date(2018, 1, 1), "actual_cost")]
SLOT = 990_000
PRICES = {SLOT: 7_000_000, SLOT + 1: 7_000_000, SLOT + 20: 26_350_000}
MILES = AllMiles(Decimal(400), "by the diary of each day")


def month(**changes: object) -> CarMonth:
    usual = {
        "electricity": HomeElectricity({SLOT: 1150, SLOT + 1: 1150, SLOT + 20: 500}),
        "price_up_by_slot": PRICES,
        "all_miles": MILES,
    }
    return CarMonth(**{**usual, **changes})  # type: ignore[arg-type]


def reckoned(of_month: CarMonth, *miles: str) -> Reckoning:
    trips = [trip(date(2026, 6, day + 1), each) for day, each in enumerate(miles)]
    return reckon(claim("2026-06", trips, held=HeldAs.COMPANY_CAR, rules=AT_COST, cars={CAR: of_month}))


def test_a_half_hour_costs_what_it_cost_then() -> None:
    # 2.3 kWh at 7 p and 0.5 kWh at 26.35 p.
    assert month().cost_pence == Fraction("29.275")


def test_trips_take_their_miles_share_of_the_month() -> None:
    found = reckoned(month(), "100", "50.5")
    # 29.275 p x 150.5 / 400 = 11.0147... p; 7.31875 p of it for the first trip.
    assert [line["pence"] for line in found.lines] == [7, 4]
    assert found.total_pence == 11
    assert [line["kind"] for line in found.lines] == ["actual_cost", "actual_cost"]
    step = found.lines[0]["working"][1]
    assert (step["source"], step["result"]) == ("common practice, no source", "0.073188 p a mile")


def test_all_miles_on_business_take_the_whole_cost() -> None:
    assert reckoned(month(all_miles=AllMiles(Decimal(150), "by the odometer")), "100", "50").total_pence == 29


@pytest.mark.parametrize(
    ("of_month", "words"),
    [
        (month(electricity=HomeElectricity({}, unmetered_wh=9_000)), "no metered half-hours of charging at home"),
        (month(price_up_by_slot={SLOT: 7_000_000}), "the price of 2 half-hours of charging is not known"),
        (month(all_miles=None), "all miles of the month are not known"),
        (
            month(all_miles=AllMiles(Decimal(99), "by the diary of each day")),
            "the business miles (100) are more than all miles of the month (99, by the diary of each day)",
        ),
    ],
)
def test_what_is_missing_is_named_and_nothing_is_guessed(of_month: CarMonth, words: str) -> None:
    found = reckoned(of_month, "100")
    assert (found.is_ready, found.lines) == (False, ())
    assert any(words in each.rule for each in found.blockers)


def test_what_is_not_metered_is_left_out_and_said() -> None:
    found = reckoned(month(electricity=HomeElectricity({SLOT: 1000}, unmetered_wh=8_000)), "400")
    assert found.total_pence == 7
    assert found.lines[0]["working"][0]["inputs"]["left out, not metered by half-hour"] == "8 kWh"


def test_a_cost_above_the_advisory_rate_is_marked_as_the_proof_of_it() -> None:
    dear = month(electricity=HomeElectricity({SLOT + 20: 40_000}), all_miles=AllMiles(Decimal(100), "by the diary"))
    found = reckoned(dear, "100")
    # 40 kWh x 26.35 p / 100 miles = 10.54 p a mile, where the advisory rate at home is 7 p.
    assert found.total_pence == 1054
    compared = found.lines[0]["working"][2]
    assert compared["result"] == "3.54 p a mile above it: this working is the proof of cost"


def test_claims_of_one_month_together_never_take_more_than_all_its_miles() -> None:
    of_month = month(claimed_miles=Decimal("300.5"))
    assert reckoned(of_month, "99.5").is_ready
    (blocker,) = reckoned(of_month, "99.6").blockers
    assert "the business miles (400.1, of which 300.5 in other claims of the month) are more than all" in blocker.rule
