"""A claim as a whole: what is not known blocks its trips, the cap holds for the month, a correction takes back."""

from datetime import date

import pytest

from service.common.errors import Rejected
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reimbursement.domain.advisory import MonthEnergy
from service.reimbursement.domain.frozen import (
    changed_figures,
    difference_note,
    miles_by_car,
    month_before,
    own_lines,
    year_before,
)
from service.reimbursement.domain.holdings import Holding
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.reckoning import reckon
from service.reimbursement.domain.rules import SchemeRule, check_in_time
from tests.factories.claims import BOOK, CAR, OTHER_CAR, claim, figure, trip

JUNE = [trip(date(2026, 6, 1), "100"), trip(date(2026, 6, 20), "50")]
YEAR = date(2026, 4, 6)


def test_a_trip_uses_the_holding_of_its_day() -> None:
    holdings = [
        Holding(CAR, date(2026, 1, 1), HeldAs.OWN_CAR), Holding(CAR, date(2026, 6, 10), HeldAs.COMPANY_CAR)
    ]  # fmt: skip
    found = reckon(claim("2026-06", JUNE, holdings=holdings, energy={CAR: MonthEnergy(home_wh=1)}))
    assert [(line["kind"], line["pence"]) for line in found.lines] == [
        ("mileage_allowance", 5500), ("advisory_rate", 350)
    ]  # fmt: skip


def test_before_the_first_holding_it_is_not_known_whose_car_it_was() -> None:
    found = reckon(claim("2026-06", JUNE, holdings=[Holding(CAR, date(2026, 6, 10), HeldAs.OWN_CAR)]))
    assert [(each.on_date, each.what) for each in found.blockers] == [
        (date(2026, 6, 1), "whose car it was is not known")
    ]
    assert not found.is_ready
    assert [line["pence"] for line in found.lines] == [2750]


def test_before_the_schemes_first_rule_nothing_is_paid() -> None:
    found = reckon(claim("2026-06", JUNE, rules=[SchemeRule(date(2026, 6, 15), "advisory_rate")]))
    assert [each.what for each in found.blockers] == ["the scheme's rule is not known"]


def test_a_claim_without_trips_is_not_ready() -> None:
    assert not reckon(claim("2026-06", [])).is_ready


def test_two_cars_of_one_member_share_one_claim() -> None:
    trips = [trip(date(2026, 6, 1), "10"), trip(date(2026, 6, 1), "10", car=OTHER_CAR, trip_id="other")]
    assert reckon(claim("2026-06", trips)).total_pence == 1100


def test_the_cap_is_of_the_month_however_many_claims_it_has() -> None:
    rules = [SchemeRule(date(2026, 1, 1), "advisory_rate", monthly_cap_pence=7000)]
    first = reckon(claim("2026-06", JUNE[:1], rules=rules)).to_json()
    before = month_before([first])
    second = reckon(claim("2026-06", JUNE[1:], rules=rules, month_before=before))
    assert [(line["kind"], line["pence"]) for line in second.lines] == [("mileage_allowance", 2750), ("cap", -1250)]
    before = month_before([first, second.to_json()])
    third = reckon(claim("2026-06", [trip(date(2026, 6, 30), "10")], rules=rules, month_before=before))
    assert third.total_pence == 0


def test_a_correction_takes_back_each_line_and_puts_the_year_right() -> None:
    """The first claim was 9,990 miles; a second one was split at the threshold; then the first is halved."""
    first = reckon(claim("2026-05", [trip(date(2026, 5, 1), "9990", trip_id="a")])).to_json()
    second = reckon(claim("2026-06", JUNE[:1], years={YEAR: year_before([first], YEAR, 0)})).to_json()  # type: ignore[arg-type]
    assert [part["miles"] for part in second["lines"][0]["parts"]] == ["10", "90"]
    third = reckon(
        claim(
            "2026-05",
            [trip(date(2026, 5, 1), "4990", trip_id="b")],
            years={YEAR: year_before([second], YEAR, 0)},  # type: ignore[arg-type]
            corrected=own_lines(first),
        )
    )
    assert [(line["kind"], line["miles"], line["pence"]) for line in third.lines] == [
        ("reversal", "-9990", -549_450), ("mileage_allowance", "4990", 274_450), ("adjustment", "0", 90 * 30)
    ]  # fmt: skip
    total = first["total_pence"] + second["total_pence"] + third.total_pence
    assert total == (4990 + 100) * 55


def test_a_correction_of_a_correction_takes_back_only_its_own_lines() -> None:
    first = reckon(claim("2026-06", JUNE)).to_json()
    second = reckon(claim("2026-06", JUNE[:1], corrected=own_lines(first))).to_json()
    third = reckon(claim("2026-06", JUNE[1:], corrected=own_lines(second))).to_json()
    assert first["total_pence"] + second["total_pence"] + third["total_pence"] == 2750
    assert [line["text"] for line in third["lines"]] == ["takes back: 100 miles x 55 p", "50 miles x 55 p"]


def test_deleting_every_trip_of_a_claim_takes_all_of_it_back() -> None:
    first = reckon(claim("2026-06", JUNE)).to_json()
    assert reckon(claim("2026-06", [], corrected=own_lines(first))).total_pence == -first["total_pence"]


def test_figures_that_changed_since_are_named_and_those_of_other_days_are_not() -> None:
    frozen = reckon(claim("2026-06", JUNE)).to_json()
    later = FigureBook([*shipped_figures(), figure("mileage_allowance_first", "60", date(2026, 6, 21))])
    assert changed_figures(frozen, BOOK) == changed_figures(frozen, later) == []
    between = FigureBook([*shipped_figures(), figure("mileage_allowance_first", "60", date(2026, 6, 15))])
    changed = changed_figures(frozen, between)
    assert changed == ["mileage allowance first: 55, now 60"]
    assert difference_note(frozen, [], 1) is None
    assert "would come to 8500 p instead of 8250 p" in str(difference_note(frozen, changed, 8500))
    assert "could not be worked out" in str(difference_note(frozen, changed, None))


@pytest.mark.parametrize(("today", "is_in_time"), [(date(2026, 7, 30), True), (date(2026, 7, 31), False)])
def test_the_last_day_to_claim_counts_from_the_months_end(today: date, *, is_in_time: bool) -> None:
    rules = [SchemeRule(date(2026, 1, 1), "advisory_rate", claim_within_days=30)]
    month = Month.read("2026-06")
    if is_in_time:
        check_in_time(rules, month, today=today)
    else:
        with pytest.raises(Rejected, match="until 2026-07-30"):
            check_in_time(rules, month, today=today)


def test_of_two_rules_of_one_day_the_later_record_holds() -> None:
    rules = [SchemeRule(date(2026, 1, 1), "advisory_rate", monthly_cap_pence=cap) for cap in (100, 5000)]
    assert reckon(claim("2026-06", JUNE, rules=rules)).total_pence == 5000


def test_an_own_car_is_paid_the_allowance_whatever_company_cars_are_paid() -> None:
    rules = [SchemeRule(date(2026, 1, 1), "actual_cost")]
    found = reckon(claim("2026-06", JUNE, rules=rules))
    assert {line["kind"] for line in found.lines} == {"mileage_allowance"}
    assert found.total_pence == 150 * 55


def test_a_correction_gives_the_cap_back_where_the_month_falls_below_it() -> None:
    rules = [SchemeRule(date(2026, 1, 1), "advisory_rate", monthly_cap_pence=7000)]
    first = reckon(claim("2026-06", JUNE, rules=rules)).to_json()
    assert first["total_pence"] == 7000
    second = reckon(claim("2026-06", JUNE[:1], rules=rules, corrected=own_lines(first)))
    assert [(line["kind"], line["pence"]) for line in second.lines] == [
        ("reversal", -5500), ("reversal", -2750), ("reversal", 1250), ("mileage_allowance", 5500)
    ]  # fmt: skip
    assert first["total_pence"] + second.total_pence == 5500


def test_a_rule_that_begins_within_the_month_caps_it_and_ends_its_time() -> None:
    rules = [SchemeRule(date(2026, 6, 15), "advisory_rate", monthly_cap_pence=1000, claim_within_days=30)]
    found = reckon(claim("2026-06", JUNE[1:], rules=rules))
    assert [(line["kind"], line["pence"]) for line in found.lines] == [("mileage_allowance", 2750), ("cap", -1750)]
    with pytest.raises(Rejected):
        check_in_time(rules, Month.read("2026-06"), today=date(2026, 7, 31))
    check_in_time(rules, Month.read("2026-05"), today=date(2026, 7, 31))


def test_claimed_miles_are_of_a_car_and_a_correction_counts_its_own() -> None:
    trips = [trip(date(2026, 6, 1), "10"), trip(date(2026, 6, 2), "5", car=OTHER_CAR)]
    first = reckon(claim("2026-06", trips)).to_json()
    second = reckon(claim("2026-06", trips[:1], corrected=own_lines(first))).to_json()
    assert miles_by_car([first]) == {CAR: 10, OTHER_CAR: 5}
    assert miles_by_car([second]) == {CAR: 10}
