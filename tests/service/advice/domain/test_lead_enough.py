"""Is the lead enough: verdicts by diaries whose answer is known."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.advice.domain.lead_closers import CloserKind, Remedies
from service.advice.domain.lead_enough import lead_answer
from service.advice.domain.lead_question import LeadQuestion, PlannedJourney, Verdict, verdict_of
from service.advice.domain.lead_simulation import Battery

TODAY = date(2026, 11, 25)
FOURTEEN_HOURS = (14 * 60,) * 7
LEAD_W = Decimal(2300)
BATTERY = Battery(50_000, 40_000, 10_000)


def question(miles: list[int], **changes: Any) -> LeadQuestion:
    """Return what is asked of a diary that ends yesterday."""
    first = TODAY - timedelta(days=len(miles))
    diary = tuple((first + timedelta(days=each), Decimal(of_day)) for each, of_day in enumerate(miles))
    usual: dict[str, Any] = {
        "minutes": FOURTEEN_HOURS, "power_w": LEAD_W, "efficiency_permille": 840, "miles_per_kwh": Decimal(4),
        "battery": BATTERY, "today": TODAY,
    }  # fmt: skip
    return LeadQuestion(diary, **{**usual, **changes})


@pytest.mark.reference
@pytest.mark.parametrize("miles", [17, 30, 50])
def test_a_consistent_fifty_miles_a_day_or_fewer_are_enough(miles: int, reference: Any) -> None:
    answer = lead_answer(question([miles] * 14), Remedies())
    source = "common practice, no source: fourteen hours plugged in carry fifty miles a day on a lead"
    reference(source=source, expected="enough", got=answer.verdict.value)
    assert (answer.night_permille, answer.week_permille, answer.closers) == (0, 0, ())


@pytest.mark.parametrize(
    ("miles", "verdict"),
    [([109] * 14, Verdict.NOT_ENOUGH), ([108] * 14, Verdict.ENOUGH)],
    ids=["one mile beyond", "just carried"],
)
def test_constant_miles_turn_at_what_a_night_gives(miles: list[int], verdict: Verdict) -> None:
    # 2.3 kW x 14 h x 0.84 = 27.048 kWh, at 4 miles a kWh 108.19 miles.
    answer = lead_answer(question(miles), Remedies())
    assert answer.verdict is verdict
    assert answer.carried_miles == Decimal("108.1")


def test_one_long_day_in_four_weeks_falls_short_in_a_quarter_of_weeks() -> None:
    miles = [20] * 28
    miles[17] = 150  # more than lies between reserve and ceiling: 120 miles
    answer = lead_answer(question(miles), Remedies(), years=4000)
    assert answer.week_permille == pytest.approx(250, abs=5)
    assert answer.night_permille == pytest.approx(250 / 7, abs=2)


def test_what_would_close_it_is_told_cheapest_first_and_each_is_tried() -> None:
    minutes = (5 * 60,) * 7
    asked = question([60] * 14, minutes=minutes)
    point = tuple(each * 3 for each in asked.gains_wh)
    remedies = Remedies(
        earlier_words="Plug in as soon as it is back",
        earlier_gains_wh=tuple(each * 2 for each in asked.gains_wh),
        other_car_label="estate",
        other_car_wh=5_000,
        public_price=Decimal(51),
        public_price_source="a test",
        point_words="A charging point",
        point_gains_wh=point,
    )
    answer = lead_answer(asked, remedies)
    assert answer.verdict is Verdict.NOT_ENOUGH
    assert [each.kind for each in answer.closers] == list(CloserKind)
    by_kind = {each.kind: each for each in answer.closers}
    assert by_kind[CloserKind.PLUG_IN_EARLIER].night_permille == 0  # 19.3 kWh a night for 15 kWh a day
    assert by_kind[CloserKind.CHARGING_POINT].night_permille == 0
    assert by_kind[CloserKind.SWAP_CARS].night_permille < answer.night_permille
    assert by_kind[CloserKind.RAISE_CEILING].night_permille <= answer.night_permille
    assert "51 p per kWh" in by_kind[CloserKind.PUBLIC_CHARGE].note
    assert all(each.step.result for each in answer.closers)


def test_a_public_charge_is_what_the_days_lack() -> None:
    asked = question([60] * 14, minutes=(5 * 60,) * 7)
    answer = lead_answer(asked, Remedies(public_price=Decimal(50)))
    (public,) = [each for each in answer.closers if each.kind is CloserKind.PUBLIC_CHARGE]
    # 15 kWh a day less 9.66 kWh a night, from the fourth day of each year on: 15 + 5.34 x 3 > 30.
    lacks_kwh = (364 - 3) * 5.34 + (3 * 5.34 + 15 - 30 - 5.34)
    kwh = float(public.step.inputs["energy they lack in a year"].removesuffix(" kWh"))
    assert kwh == pytest.approx(lacks_kwh, rel=0.01)
    assert f"£{kwh * 0.5:.0f}" in public.note


def test_without_a_price_what_it_costs_is_not_known() -> None:
    answer = lead_answer(question([60] * 14, minutes=(5 * 60,) * 7), Remedies())
    assert "not known" in answer.closers[-1].note


def test_a_battery_that_is_too_small_is_not_blamed_on_the_lead() -> None:
    assert lead_answer(question([150] * 14), Remedies()).is_battery
    assert not lead_answer(question([60] * 14, minutes=(5 * 60,) * 7), Remedies()).is_battery


def test_a_journey_ahead_counts_once_a_year() -> None:
    journey = PlannedJourney(TODAY + timedelta(days=20), 1, Decimal(400), True)
    answer = lead_answer(question([20] * 14, journeys=(journey,)), Remedies())
    assert answer.week_permille == round(1000 / 52)
    assert answer.verdict is Verdict.ENOUGH
    assert answer.long_miles == 400 and answer.long_journey.elsewhere_wh == 60_000


def test_standing_about_is_added_to_every_day() -> None:
    assert lead_answer(question([108] * 14, standby_w=50), Remedies()).verdict is Verdict.NOT_ENOUGH


def test_the_same_question_has_the_same_answer_and_another_diary_another_seed() -> None:
    asked = question([20, 70, 20, 120, 90, 5, 140] * 2 + [40] * 7)
    assert lead_answer(asked, Remedies()) == lead_answer(asked, Remedies())


def test_few_days_are_called_a_first_impression_and_the_rule_of_three_is_told() -> None:
    week = lead_answer(question([20] * 7), Remedies()).sure
    assert week.level == "a first impression"
    assert week.could_be_permille == 429  # 3 in 7
    assert "cannot rule out" in week.words
    month = lead_answer(question([20] * 28), Remedies()).sure
    assert (month.level, month.could_be_permille) == ("a good picture", 107)
    assert lead_answer(question([20] * 14), Remedies()).sure.level == "a fair impression"


def test_days_beyond_a_night_leave_a_range() -> None:
    sure = lead_answer(question(([20] * 6 + [150]) * 3 + [20] * 7), Remedies()).sure
    assert sure.could_be_permille is None
    assert sure.low_permille < sure.high_permille


@pytest.mark.parametrize(
    ("share", "verdict"),
    [(0, Verdict.ENOUGH), (0.02, Verdict.ENOUGH), (0.021, Verdict.MOST_WEEKS), (0.25, Verdict.MOST_WEEKS),
     (0.251, Verdict.NOT_ENOUGH)],
)  # fmt: skip
def test_where_the_words_change(share: float, verdict: Verdict) -> None:
    assert verdict_of(share) is verdict


def test_every_number_has_its_step() -> None:
    answer = lead_answer(question([60] * 14, minutes=(5 * 60,) * 7), Remedies())
    told = {step.what: step.result for step in answer.working.steps}
    assert list(told)[:5] == [
        "What a night gives", "Miles a day the lead can carry", "Years of driving like this", "The verdict",
        "A long journey",
    ]  # fmt: skip
    assert f"{answer.night_permille / 10:g} % of nights" in told["Years of driving like this"]
    assert told["The verdict"] == "not enough"
    assert all(step.rule and step.source for step in answer.working.steps)
