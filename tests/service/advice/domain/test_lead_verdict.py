"""The verdict on a car's lead at a home: safety first, then what is not known, then the figures."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.advice.domain.lead_closers import CloserKind
from service.advice.domain.lead_question import Verdict
from service.advice.domain.lead_verdict import Asked, LeadVerdict, Unknown, lead_verdict
from service.common.errors import Rejected
from service.common.working import Working
from service.households.domain.homes import CarInputs, EveningInputs, JourneyLine, OutletInputs, RoutineLine
from service.planning.domain.car_week import CarSetting, car_week
from service.planning.domain.price_book import LocalWeek
from service.safety.domain.clearance import Clearance, OutletClearance
from tests.factories.comparable_homes import AS_OF, CAR, LONDON, SOCKET, cleared, home

TODAY = date(2026, 1, 5)
COMMUTE = tuple(RoutineLine(day, 480, 1080, 0, Decimal(20)) for day in range(5))


def diary(*miles: int) -> tuple[tuple[date, Decimal], ...]:
    return tuple((TODAY - timedelta(days=len(miles) - each), Decimal(of)) for each, of in enumerate(miles))


def driven(*miles: int, **changes: Any) -> CarInputs:
    return replace(CAR, diary=diary(*miles), routine=COMMUTE, **changes)


def found(*cars: CarInputs, asked: Asked | None = None, clearance: Clearance | None = None, **more: Any) -> LeadVerdict:
    """Return the verdict on the first car, at a cleared home unless said otherwise."""
    of = home(*cars, **more)
    evidence = cleared(of)
    if clearance is not None:
        evidence = tuple(
            OutletClearance(each.outlet_id, clearance, None, None, "", ("an inspection",), "Book it.", Working(()))
            for each in evidence
        )
    setting = CarSetting(
        {each.id: each for each in of.outlets}, {each.outlet_id: each for each in evidence}, {}, 900,
        LocalWeek.at(AS_OF, LONDON), LONDON,
    )  # fmt: skip
    return lead_verdict(of, car_week(of.cars[0], setting, None), asked or Asked(), today=TODAY)


def test_a_cleared_lead_that_carries_the_diary_is_enough() -> None:
    verdict = found(driven(*[20] * 14))
    assert (verdict.verdict, verdict.headline) == (Verdict.ENOUGH, "The lead is enough for the estate.")
    assert (verdict.first, verdict.not_known_because, verdict.power_w) == ("", None, Decimal(2300))


@pytest.mark.parametrize("clearance", [Clearance.NOT_KNOWN, Clearance.DO_NOT_USE])
def test_what_is_not_cleared_is_never_called_enough(clearance: Clearance) -> None:
    verdict = found(driven(*[20] * 14), clearance=clearance)
    assert (verdict.verdict, verdict.not_known_because) == (Verdict.NOT_KNOWN, Unknown.NOT_CLEARED)
    assert verdict.headline == (
        "Do not charge at the garage socket yet. If it were cleared, the lead would be enough for the estate."
    )
    assert verdict.next_step == "Book it."
    assert verdict.answer is not None and verdict.answer.verdict is Verdict.ENOUGH


def test_with_limits_it_is_reckoned_at_the_limit() -> None:
    of = home(driven(*[20] * 14))
    (evidence,) = cleared(of)
    limited = replace(evidence, clearance=Clearance.USE_WITH_LIMITS, limit_a=6)
    setting = CarSetting({SOCKET.id: SOCKET}, {SOCKET.id: limited}, {}, 900, LocalWeek.at(AS_OF, LONDON), LONDON)
    verdict = lead_verdict(of, car_week(of.cars[0], setting, None), Asked(), today=TODAY)
    # A lead set to 10 A draws more than this socket may carry: that is said before any figure.
    assert verdict.verdict is Verdict.NOT_KNOWN
    assert verdict.first == "Do not charge at the garage socket with this lead as it is set."


@pytest.mark.parametrize(
    ("car", "because", "words"),
    [
        (driven(*[20] * 6), Unknown.DIARY, "Not known yet: one more day of diary is needed."),
        (driven(*[20] * 2), Unknown.DIARY, "Not known yet: 5 more days of diary are needed."),
        (replace(driven(*[20] * 7), routine=()), Unknown.ROUTINE, "Not known yet: enter when"),
        (replace(driven(*[20] * 7), lead=None), Unknown.OUTLET, "Not known: where and with what current"),
        (replace(driven(*[20] * 7), outlet_id=None), Unknown.OUTLET, "Not known: where and with what current"),
    ],
)
def test_what_is_missing_is_said(car: CarInputs, because: Unknown, words: str) -> None:
    verdict = found(car)
    assert (verdict.verdict, verdict.not_known_because, verdict.answer) == (Verdict.NOT_KNOWN, because, None)
    assert verdict.headline.startswith(words)


def test_a_charging_point_is_called_one_and_none_is_offered_beside_it() -> None:
    point = OutletInputs(SOCKET.id, "drive", "charging_point", True, "outdoors", 32, 1, 1)
    verdict = found(driven(*[150] * 14), outlets=(point,))
    assert verdict.feeds_by == "charging point"
    assert "Mostly it is the battery" in verdict.headline
    assert verdict.answer is not None
    assert CloserKind.CHARGING_POINT not in [each.kind for each in verdict.answer.closers]


def test_cars_that_share_an_outlet_share_its_time() -> None:
    alone = found(driven(*[60] * 14)).answer
    shared = found(driven(*[60] * 14), replace(driven(*[10] * 14), id="e" * 32, ordinal=2, label="second")).answer
    assert alone is not None and shared is not None
    assert shared.carried_miles < alone.carried_miles
    assert shared.nights[0].plugged_minutes == alone.nights[0].plugged_minutes // 2


def test_another_car_is_offered_where_it_could_take_the_longest_day() -> None:
    long = [20] * 13 + [125]
    other = replace(
        driven(*[10] * 14), id="e" * 32, ordinal=2, label="tourer", battery_wh=80_000, outlet_id=None, lead=None
    )
    offered = found(driven(*long), other).answer
    small = found(driven(*long), replace(other, battery_wh=30_000)).answer
    assert offered is not None and small is not None
    assert "Take the tourer on the longest day of each week" in [each.words for each in offered.closers]
    assert CloserKind.SWAP_CARS not in [each.kind for each in small.closers]


def test_quiet_hours_are_not_charged_in() -> None:
    plain = found(driven(*[20] * 14)).answer
    quiet = found(driven(*[20] * 14), evening=EveningInputs(quiet_min=(23 * 60, 5 * 60)))
    assert plain is not None and quiet.answer is not None
    assert quiet.answer.nights[-4].plugged_minutes == plain.nights[-4].plugged_minutes - 6 * 60
    assert "Nothing charges in the home's quiet hours." in quiet.assumptions


def test_a_journey_ahead_is_the_long_journey_unless_another_is_asked_about() -> None:
    leaves = datetime(2026, 2, 3, 9, tzinfo=UTC)
    journey = JourneyLine("j", leaves, leaves + timedelta(hours=9), Decimal(140), False, True)
    car = driven(*[20] * 14, journeys=(journey,))
    planned, asked = found(car).answer, found(car, asked=Asked(long_miles=Decimal(90))).answer
    assert planned is not None and asked is not None
    assert (planned.long_miles, asked.long_miles) == (Decimal(140), Decimal(90))
    assert planned.week_permille > 0  # once a year, 140 miles are more than lies between reserve and ceiling


@pytest.mark.parametrize("miles", ["0", "-1", "1501"])
def test_a_journey_of_no_miles_is_refused(miles: str) -> None:
    with pytest.raises(Rejected) as refused:
        Asked(long_miles=Decimal(miles))
    assert refused.value.faults[0].field == "long_miles"
