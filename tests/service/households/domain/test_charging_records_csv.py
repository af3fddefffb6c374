"""Charging records from CSV: what is read, and how each fault is named."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from service.common.errors import Rejected
from service.households.domain.charging_records_csv import ROWS_MAX, Names, parse_charging_csv, read_instant

LONDON = ZoneInfo("Europe/London")
CAR, OUTLET = "a" * 32, "c" * 32
ONE_CAR = Names({"blue hatchback": CAR}, {"garage socket": OUTLET}, LONDON)
TWO_CARS = Names({"blue hatchback": CAR, "van": "b" * 32}, {}, LONDON)
HEADER = "starts_at,ends_at,energy_kwh,place"


def faults_of(text: str, names: Names = ONE_CAR) -> list[tuple[str, str]]:
    """Return field and rule of each fault."""
    with pytest.raises(Rejected) as refused:
        parse_charging_csv(text, names)
    return [(fault.field, fault.rule) for fault in refused.value.faults]


def test_a_row_is_read_with_all_its_columns_in_any_order() -> None:
    text = (
        "\ufeffplace,energy_kwh,ends_at,starts_at,outlet,is_metered,external_id,note\r\n"
        "home,9.2,2026-11-25 03:30,2026-11-24T23:30:00Z,garage socket,yes,E-1,cold night\r\n\r\n"
    )
    (row,) = parse_charging_csv(text, ONE_CAR)
    read = row.details
    assert (read.vehicle_id, read.outlet_id, read.place, read.energy_wh) == (CAR, OUTLET, "home", 9_200)
    assert (read.starts_at, read.ends_at) == (
        datetime(2026, 11, 24, 23, 30, tzinfo=UTC),
        datetime(2026, 11, 25, 3, 30, tzinfo=UTC),
    )
    assert (read.is_metered, read.external_id, read.note, read.source) == (True, "E-1", "cold night", "csv")


def test_every_fault_is_named_by_line_and_column_and_none_is_hidden_by_another() -> None:
    text = (
        f"{HEADER},paid_pence,is_metered\n"
        "2026-11-24 23:30,2026-11-25 03:30,9.2,home,,no\n"
        "24/11/2026,2026-11-25 03:30,nine,garage,1.5,maybe\n"
        "2026-11-24 23:30,2026-11-24 23:00,9.2,home,250,no\n"
    )
    found = faults_of(text)
    assert [field for field, _ in found] == [
        "rows.1.starts_at", "rows.1.energy_kwh", "rows.1.place", "rows.1.is_metered", "rows.1.paid_pence",
        "rows.2.ends_at", "rows.2.paid_pence",
    ]  # fmt: skip
    assert all(rule.startswith("line 3, ") for _, rule in found[:5])
    assert found[5][1] == "line 4, ends_at: must be after the start"


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("", "header"),
        ("starts_at,ends_at,energy_kwh\n", "header"),
        (f"{HEADER},{HEADER}\n", "header"),
        (f"{HEADER},colour\n", "header"),
        (f"{HEADER}\n", "rows"),
        (f"{HEADER}\n2026-11-24 23:30,2026-11-25 03:30\n", "rows.0"),
        (f'{HEADER}\n"2026-11-24 23:30,2026-11-25 03:30,9.2,home\n', "rows"),
    ],
)
def test_a_table_that_is_none_is_refused(text: str, field: str) -> None:
    assert [found for found, _ in faults_of(text)] == [field]


def test_a_car_must_be_named_where_the_home_has_two() -> None:
    row = "2026-11-24 23:30,2026-11-25 03:30,9.2,home"
    assert faults_of(f"{HEADER}\n{row}\n", TWO_CARS) == [
        ("rows.0.vehicle", "line 2, vehicle: must be the name of one of the home's cars: blue hatchback, van")
    ]
    (read,) = parse_charging_csv(f"{HEADER},vehicle\n{row},van\n", TWO_CARS)
    assert read.details.vehicle_id == "b" * 32


def test_reading_stops_at_the_row_that_is_one_too_many() -> None:
    row = "2026-11-24 23:30,2026-11-25 03:30,9.2,home\n"
    assert faults_of(f"{HEADER}\n{row * (ROWS_MAX + 1)}") == [("rows", f"must be at most {ROWS_MAX} rows")]
    assert len(parse_charging_csv(f"{HEADER}\n{row * ROWS_MAX}", ONE_CAR)) == ROWS_MAX


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-07-01 00:30", datetime(2026, 6, 30, 23, 30, tzinfo=UTC)),
        ("2026-12-01T00:30", datetime(2026, 12, 1, 0, 30, tzinfo=UTC)),
        ("2026-10-25T01:30:00+01:00", datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),
        ("2026-10-25T01:30:00+00:00", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),
        ("2026-10-25 02:00", datetime(2026, 10, 25, 2, 0, tzinfo=UTC)),
        ("2026-03-29 02:00", datetime(2026, 3, 29, 1, 0, tzinfo=UTC)),
    ],
)
def test_a_time_is_read_on_the_homes_clock_unless_it_states_its_offset(text: str, utc: datetime) -> None:
    assert read_instant(text, LONDON) == utc


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2026-03-29 01:00", "skipped"),
        ("2026-03-29 01:59", "skipped"),
        ("2026-10-25 01:00", "twice"),
        ("2026-10-25 01:59", "twice"),
        ("2026-02-30 01:00", "exists"),
        ("2026-11-24", "must be a time"),
        ("24.11.2026 23:30", "must be a time"),
    ],
)
def test_a_time_that_the_clock_shows_twice_or_never_is_refused(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        read_instant(text, LONDON)


@pytest.mark.parametrize(
    "text", ["0001-01-01T00:00+05:00", "9999-12-31T23:59-05:00", "1969-12-31 10:00", "2101-01-01 10:00"]
)
def test_a_year_of_no_charge_is_refused_not_stumbled_over(text: str) -> None:
    (found,) = faults_of(f"{HEADER}\n{text},2026-11-25 03:30,9.2,home\n")
    assert found == ("rows.0.starts_at", "line 2, starts_at: must lie in the years 1970 to 2100")
