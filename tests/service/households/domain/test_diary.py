"""Rules of weekly departures and dated journeys."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.common.errors import Rejected
from service.households.domain.diary import (
    DEPARTURES_MAX,
    DatedJourney,
    WeeklyDeparture,
    check_not_ended,
    check_routine,
)

LEAVES = datetime(2026, 11, 27, 8, 0, tzinfo=UTC)


def departure(**changes: Any) -> WeeklyDeparture:
    """Return a departure of every Monday."""
    usual = {"weekday": 0, "leaves_min": 450, "returns_min": 1065, "returns_days_later": 0, "miles": Decimal("42.5")}
    return WeeklyDeparture(**{**usual, **changes})


def dated(**changes: Any) -> DatedJourney:
    """Return a day trip."""
    return DatedJourney(
        **{"leaves_at": LEAVES, "returns_at": LEAVES + timedelta(hours=9), "miles": Decimal(120), **changes}
    )


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"weekday": 7}, "weekday"),
        ({"leaves_min": -1}, "leaves_at"),
        ({"returns_min": 1440}, "returns_at"),
        ({"returns_min": 450}, "returns_at"),
        ({"returns_min": 60}, "returns_at"),
        ({"returns_days_later": 7}, "returns_days_later"),
        ({"miles": Decimal("-0.1")}, "miles"),
        ({"miles": Decimal("2000.1")}, "miles"),
        ({"miles": Decimal("1.25")}, "miles"),
    ],
)
def test_a_departure_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        departure(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_a_night_shift_returns_the_next_day() -> None:
    assert departure(leaves_min=1275, returns_min=430, returns_days_later=1).returns_days_later == 1


def test_a_departure_in_the_missing_hour_of_a_clock_change_is_accepted() -> None:
    assert departure(weekday=6, leaves_min=90).leaves_min == 90


def test_one_departure_entered_twice_is_named_by_day_and_time() -> None:
    with pytest.raises(Rejected) as refused:
        check_routine([departure(), departure(weekday=1), departure(miles=Decimal(5))])
    (fault,) = refused.value.faults
    assert (fault.field, fault.rule) == ("departures.2.leaves_at", "Monday 07:30 is entered twice")


def test_a_week_holds_only_so_many_departures() -> None:
    week = [departure(leaves_min=10 * count) for count in range(DEPARTURES_MAX + 1)]
    check_routine(week[:-1])
    with pytest.raises(Rejected):
        check_routine(week)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"returns_at": LEAVES}, "returns_at"),
        ({"returns_at": LEAVES + timedelta(days=60, seconds=1)}, "returns_at"),
        ({"miles": Decimal(2001)}, "miles"),
        ({"note": "x" * 201}, "note"),
    ],
)
def test_a_journey_that_breaks_a_rule_is_refused(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(Rejected) as refused:
        dated(**changes)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_a_journey_may_take_sixty_days_and_have_begun() -> None:
    journey = dated(returns_at=LEAVES + timedelta(days=60))
    check_not_ended(journey, at=LEAVES + timedelta(days=59))


def test_a_journey_that_is_over_is_refused() -> None:
    with pytest.raises(Rejected) as refused:
        check_not_ended(dated(), at=LEAVES + timedelta(hours=9))
    assert refused.value.faults[0].field == "returns_at"
