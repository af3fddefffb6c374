"""What is taken out of a plan's document, and what is not."""

from datetime import UTC, datetime
from typing import Any

from service.reminders.domain.news import CarTimes, ChargingTime, car_times, has_shortfall

EARLY, LATE = datetime(2026, 11, 26, 0, 30, tzinfo=UTC), datetime(2026, 11, 26, 4, 0, tzinfo=UTC)


def _block(starts_at: datetime, ends_at: datetime) -> dict[str, Any]:
    return {"starts_at": starts_at.isoformat(), "ends_at": ends_at.isoformat(), "energy_kwh": 1.0, "cost_pence": "9"}


def _vehicle(*stays: list[dict[str, Any]], shortfalls: tuple[Any, ...] = ()) -> dict[str, Any]:
    return {"label": "Hatchback", "stays": [{"blocks": blocks} for blocks in stays], "shortfalls": list(shortfalls)}


def test_times_of_all_stays_come_in_order_and_past_ones_are_left_out() -> None:
    first = _block(datetime(2026, 11, 25, 2, tzinfo=UTC), datetime(2026, 11, 25, 3, tzinfo=UTC))
    now = _block(datetime(2026, 11, 25, 11, tzinfo=UTC), datetime(2026, 11, 25, 13, tzinfo=UTC))
    ahead = _block(EARLY, LATE)
    document = {"vehicles": [_vehicle([ahead], [], [first, now])]}
    [car] = car_times(document, after=datetime(2026, 11, 25, 12, tzinfo=UTC))
    assert car == CarTimes(
        "Hatchback",
        (
            ChargingTime(datetime(2026, 11, 25, 11, tzinfo=UTC), datetime(2026, 11, 25, 13, tzinfo=UTC)),
            ChargingTime(EARLY, LATE),
        ),
    )


def test_a_time_that_ends_now_is_past() -> None:
    assert car_times({"vehicles": [_vehicle([_block(EARLY, LATE)])]}, after=LATE) == (CarTimes("Hatchback", ()),)


def test_a_plan_falls_short_where_any_car_does() -> None:
    assert not has_shortfall({"vehicles": [_vehicle(), _vehicle()]})
    assert has_shortfall({"vehicles": [_vehicle(), _vehicle(shortfalls=({"short_kwh": 1.0},))]})
