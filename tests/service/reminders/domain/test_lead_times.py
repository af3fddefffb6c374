"""Which step of a recheck has come, as a table; and when in the day a reminder may be written."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from service.reminders.domain.lead_times import LONGEST_LEAD_DAYS, lead_steps, next_sending, sending_day, steps_due

DUE = date(2026, 12, 24)


@pytest.mark.parametrize(
    ("interval_days", "steps"),
    [
        (1, (2, 0)),
        (28, (2, 0)),
        (31, (2, 0)),
        (32, (14, 3, 0)),
        (91, (14, 3, 0)),
        (184, (14, 3, 0)),
        (185, (30, 14, 7, 1, 0)),
        (365, (30, 14, 7, 1, 0)),
        (None, (30, 14, 7, 1, 0)),
    ],
)
def test_the_steps_follow_from_how_often_the_recheck_recurs(interval_days: int | None, steps: tuple[int, ...]) -> None:
    assert lead_steps(interval_days) == steps


STEP_CASES = [
    # interval [days], days before the due date (negative: after), step
    ("a day before the first step of a monthly one", 30, 3, None),
    ("the first step of a monthly one", 30, 2, 2),
    ("between the steps of a monthly one", 30, 1, 2),
    ("the due date of a monthly one", 30, 0, 0),
    ("the day after", 30, -1, 0),
    ("the last day before the first week is over", 30, -6, 0),
    ("a week over", 30, -7, -7),
    ("thirteen days over", 30, -13, -7),
    ("two weeks over", 30, -14, -14),
    ("a year over", 30, -365, -364),
    ("a day before the first step of a half-yearly one", 184, 15, None),
    ("the first step of a half-yearly one", 184, 14, 14),
    ("a day after it", 184, 13, 14),
    ("the second step of a half-yearly one", 184, 3, 3),
    ("the eve of a half-yearly one", 184, 1, 3),
    ("the due date of a half-yearly one", 184, 0, 0),
    ("long before a yearly one", 365, 300, None),
    ("a day before the first step of a yearly one", 365, 31, None),
    ("the first step of a yearly one", 365, 30, 30),
    ("the day before the second", 365, 15, 30),
    ("the second step of a yearly one", 365, 14, 14),
    ("the third", 365, 7, 7),
    ("two days before a yearly one", 365, 2, 7),
    ("the eve of a yearly one", 365, 1, 1),
    ("the due date of a yearly one", 365, 0, 0),
    ("three weeks over", 365, -21, -21),
    ("an interval nobody knows is taken as long", None, 30, 30),
]


@pytest.mark.parametrize(
    ("case", "interval_days", "days_before", "step"), STEP_CASES, ids=[row[0] for row in STEP_CASES]
)
def test_the_most_recent_step_is_due(case: str, interval_days: int | None, days_before: int, step: int | None) -> None:
    assert steps_due(DUE, interval_days, DUE - timedelta(days=days_before)) == step


@pytest.mark.parametrize("interval_days", [30, 184, 365, None])
def test_no_step_comes_early_and_steps_only_move_on(interval_days: int | None) -> None:
    days = [DUE + timedelta(days=offset) for offset in range(-400, 400)]
    steps = [steps_due(DUE, interval_days, day) for day in days]
    known = [(day, step) for day, step in zip(days, steps, strict=True) if step is not None]
    assert all(day >= DUE - timedelta(days=step) for day, step in known)
    assert [step for _, step in known] == sorted((step for _, step in known), reverse=True)
    assert {step for _, step in known if step >= 0} == set(lead_steps(interval_days))
    assert steps_due(DUE, interval_days, DUE - timedelta(days=LONGEST_LEAD_DAYS + 1)) is None


@pytest.mark.parametrize(
    ("zone", "at", "day"),
    [
        ("Europe/London", datetime(2026, 11, 25, 7, 59, tzinfo=UTC), None),
        ("Europe/London", datetime(2026, 11, 25, 8, 0, tzinfo=UTC), date(2026, 11, 25)),
        ("Europe/London", datetime(2026, 7, 1, 6, 59, tzinfo=UTC), None),
        ("Europe/London", datetime(2026, 7, 1, 7, 0, tzinfo=UTC), date(2026, 7, 1)),
        ("Europe/London", datetime(2026, 7, 1, 18, 59, tzinfo=UTC), date(2026, 7, 1)),
        ("Europe/London", datetime(2026, 7, 1, 19, 0, tzinfo=UTC), None),
        ("Europe/London", datetime(2026, 7, 1, 23, 0, tzinfo=UTC), None),
        ("Europe/London", datetime(2026, 3, 29, 7, 0, tzinfo=UTC), date(2026, 3, 29)),
        ("Europe/London", datetime(2026, 10, 25, 7, 30, tzinfo=UTC), None),
        ("Australia/Adelaide", datetime(2026, 11, 24, 21, 30, tzinfo=UTC), date(2026, 11, 25)),
        ("Australia/Adelaide", datetime(2026, 11, 24, 21, 29, tzinfo=UTC), None),
    ],
)
def test_reminders_are_written_from_eight_to_twenty_on_the_households_clock(
    zone: str, at: datetime, day: date | None
) -> None:
    assert sending_day(at, ZoneInfo(zone)) == day


@pytest.mark.parametrize(
    ("at", "goes_out_at"),
    [
        ("2026-11-25T08:00+00:00", "2026-11-25T08:00+00:00"),
        ("2026-11-25T19:59+00:00", "2026-11-25T19:59+00:00"),
        ("2026-11-25T20:00+00:00", "2026-11-26T08:00+00:00"),
        ("2026-11-26T07:59+00:00", "2026-11-26T08:00+00:00"),
        # The night in which the clock goes forward, and that in which it goes back.
        ("2027-03-27T21:00+00:00", "2027-03-28T07:00+00:00"),
        ("2026-10-24T21:00+00:00", "2026-10-25T08:00+00:00"),
    ],
)
def test_what_a_person_asks_for_waits_for_the_sending_hours(at: str, goes_out_at: str) -> None:
    found = next_sending(datetime.fromisoformat(at), ZoneInfo("Europe/London"))
    assert found == datetime.fromisoformat(goes_out_at)
