"""Who can take a tariff: every reason at once, what is not known never passes, the present one stays."""

from datetime import date

import pytest

from service.advice.domain.tariff_eligibility import Applicant, leaving_cost, questions, reasons_against
from service.tariffs.domain.taking import TakingTerms

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("needed", "meter", "passes"),
    [
        ("any", "not_known", True), ("any", "single_rate", True),
        ("two_rate", "two_rate", True), ("two_rate", "half_hourly", True), ("two_rate", "single_rate", False),
        ("two_rate", "not_known", False),
        ("half_hourly", "half_hourly", True), ("half_hourly", "two_rate", False), ("half_hourly", "not_known", False),
    ],
)  # fmt: skip
def test_a_meter_that_is_not_known_lets_nothing_pass_that_asks_for_one(needed: str, meter: str, passes: bool) -> None:
    against = reasons_against(TakingTerms(meter_needed=needed), Applicant(meter, True))
    assert bool(against) is not passes
    if meter == "not_known" and not passes:
        assert "is not known: record it first" in against[0]


def test_every_reason_is_said() -> None:
    terms = TakingTerms("half_hourly", needs_charging_point=True, is_open=False)
    assert reasons_against(terms, Applicant("single_rate", False)) == (
        "It is closed to new contracts.",
        "It asks for a half-hourly meter, and this home has a single-rate meter.",
        "It asks for a charging point, and none is recorded at this home.",
    )


def test_the_tariff_a_home_is_on_is_never_ruled_out_nor_asked_about() -> None:
    terms = TakingTerms("half_hourly", needs_charging_point=True, other_terms="Gas too", is_open=False, fixed_months=12)
    there = Applicant("single_rate", False, is_on_it=True)
    assert reasons_against(terms, there) == ()
    assert questions(terms, there) == ()


def test_other_terms_and_a_fixed_time_are_questions() -> None:
    terms = TakingTerms(other_terms=" Gas from the same supplier. ", fixed_months=24, exit_fee_pence=7550)
    assert questions(terms, Applicant("not_known", False)) == (
        "Do you meet its other terms: Gas from the same supplier?",
        "It binds you for 24 months: leaving earlier costs £75.50.",
    )
    assert questions(TakingTerms(), Applicant("not_known", False)) == ()


@pytest.mark.parametrize(
    ("until", "fee", "pence"),
    [
        (None, None, None),  # nobody said: not known, and never nothing
        (None, 0, 0),
        (date(2026, 11, 26), 0, 0),
        (date(2026, 11, 25), 5000, 0),  # from that day on leaving is free
        (date(2026, 11, 26), 5000, 5000),
        (date(2026, 11, 26), None, None),
        (None, 5000, 5000),
    ],
)
def test_leaving_costs_what_the_contract_says_and_is_not_known_where_it_does_not(
    until: date | None, fee: int | None, pence: int | None
) -> None:
    assert leaving_cost(until, fee, on=TODAY).pence == pence
