"""Fields of time: wall times, dates and instants."""

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import marshmallow as ma
import pytest

from service.infrastructure.http.time_fields import CalendarDate, Instant, LocalTime


@pytest.mark.parametrize(
    ("field", "text", "minutes"),
    [
        (LocalTime(), "00:00", 0),
        (LocalTime(), "07:31", 451),
        (LocalTime(), "23:59", 1439),
        (LocalTime(step_min=30), "07:30", 450),
        (LocalTime(is_end=True), "00:00", 1440),
        (LocalTime(is_end=True), "05:30", 330),
    ],
)
def test_a_wall_time_is_minutes_after_midnight_and_back(field: LocalTime, text: str, minutes: int) -> None:
    assert field.deserialize(text) == minutes
    assert field.write(minutes) == text


def test_the_end_of_the_day_may_also_be_written_as_24() -> None:
    assert LocalTime(is_end=True).deserialize("24:00") == 1440


@pytest.mark.parametrize(
    ("field", "value"),
    [
        *[(LocalTime(), value) for value in ("24:00", "7:30", "07:60", "07:30:00", "07:30\n", "", 730, "٠٧:٣٠")],
        *[(LocalTime(step_min=30), value) for value in ("07:31", "07:15")],
        *[(LocalTime(is_end=True), value) for value in ("24:01", "25:00")],
        *[
            (CalendarDate(), value)
            for value in (
                "2026-02-29",
                "26-01-01",
                "20260101",
                "2026-W01-1",
                "1969-12-31",
                "2101-01-01",
                "2026-01-01T00:00",
                "",
                20260101,
            )
        ],
        *[
            (Instant(), value)
            for value in (
                "2026-11-25T17:30:00",
                "2026-11-25",
                "2026-11-25T25:00:00Z",
                "2026-11-25 17:30:00Z",
                "0001-01-01T00:00:00+14:00",
                "9999-12-31T23:59:59-14:00",
                "2026-11-25T17:30Z",
                "2026-11-25T17:30:00+99:00",
                "1795000000",
                "",
                1,
            )
        ],
    ],
    ids=repr,
)
def test_other_forms_are_refused(field: Any, value: Any) -> None:
    with pytest.raises(ma.ValidationError):
        field.deserialize(value)


def test_dates_are_read_and_written_as_iso_dates() -> None:
    assert CalendarDate().deserialize("2028-02-29") == date(2028, 2, 29)
    assert CalendarDate().write(date(2028, 2, 29)) == "2028-02-29"


@pytest.mark.parametrize(
    "text", ["2026-11-25T17:30:00Z", "2026-11-25t17:30:00z", "2026-11-25T18:30:00+01:00", "2026-11-25T17:30:00.000Z"]
)
def test_instants_are_held_and_written_in_utc(text: str) -> None:
    found = Instant().deserialize(text)
    assert (found, found.tzinfo) == (datetime(2026, 11, 25, 17, 30, tzinfo=UTC), UTC)
    assert Instant.write(found) == "2026-11-25T17:30:00+00:00"


def test_an_instant_of_another_offset_is_written_in_utc_and_a_naive_one_is_a_fault() -> None:
    assert Instant.write(datetime(2026, 7, 1, tzinfo=timezone(timedelta(hours=1)))) == "2026-06-30T23:00:00+00:00"
    with pytest.raises(ValueError):
        Instant.write(datetime(2026, 7, 1))  # noqa: DTZ001 - the fault under test
