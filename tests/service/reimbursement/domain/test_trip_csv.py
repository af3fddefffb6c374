"""Trips from CSV: what is wrong is named by line and column."""

from datetime import date

import pytest

from service.reimbursement.domain.trip_csv import FAULTS_MAX, ROWS_MAX, ReadTrips, read_trips

CARS = {"blue hatchback": "c" * 32}
HEAD = "date,car,from,to,reason,miles\n"
GOOD = "2026-10-05,blue hatchback,Depot,Site,Survey,42.5\n"


def read(text: str) -> ReadTrips:
    return read_trips(text, CARS, today=date(2026, 11, 25))


def test_trips_are_read_with_any_order_of_columns_a_mark_and_blank_lines() -> None:
    text = "\ufeffmiles, Car ,to,from,reason,date\r\n42.5,blue hatchback,Site,Depot,Survey,2026-10-05\r\n\r\n"
    found = read(text)
    assert found.faults == []
    (trip,) = found.trips
    assert (trip.line, trip.vehicle_id, trip.details.origin, str(trip.details.miles)) == (2, "c" * 32, "Depot", "42.5")


@pytest.mark.parametrize(
    ("row", "column", "rule"),
    [
        ("2026-02-30,blue hatchback,A,B,C,1", "date", "must be a date YYYY-MM-DD"),
        ("05/10/2026,blue hatchback,A,B,C,1", "date", "must be a date YYYY-MM-DD"),
        ("2026-11-26,blue hatchback,A,B,C,1", "date", "must not lie ahead"),
        ("2026-10-05,red van,A,B,C,1", "car", "must be the label of one of the home's cars: blue hatchback"),
        ("2026-10-05,blue hatchback,,B,C,1", "from", "must not be empty"),
        ("2026-10-05,blue hatchback,A,B,,1", "reason", "must not be empty"),
        ("2026-10-05,blue hatchback,A,B,C,1.25", "miles", "must have at most 1 decimal"),
        ("2026-10-05,blue hatchback,A,B,C,-1", "miles", "must be a plain decimal number of miles, such as 42.5"),
        ("2026-10-05,blue hatchback,A,B,C,1e3", "miles", "must be a plain decimal number of miles, such as 42.5"),
        ("2026-10-05,blue hatchback,A,B,C,0", "miles", "must be more than 0"),
        ("2026-10-05,blue hatchback,A,B,C", "", "must hold 6 cells, not 5"),
        ('2026-10-05,blue hatchback,A,"B\nB",C,1', "to", "must not hold control characters"),
    ],
)
def test_a_fault_is_named_by_line_and_column(row: str, column: str, rule: str) -> None:
    found = read(HEAD + GOOD + row + "\n")
    assert [(each.column, each.rule) for each in found.faults] == [(column, rule)]
    assert found.faults[0].line == 3 + row.count("\n")


def test_a_wrong_header_is_line_1() -> None:
    assert [(each.line, each.value) for each in read("date,car\n" + GOOD).faults] == [(1, "date,car")]


def test_an_empty_file_and_one_that_is_no_csv_are_faults() -> None:
    assert read("").faults
    assert read(HEAD).faults[0].rule == "must be followed by at least one trip"
    assert "is not CSV" in read(HEAD + '"').faults[0].rule


def test_reading_ends_where_a_file_is_hopeless_or_too_long() -> None:
    assert len(read(HEAD + "x,y,,,,\n" * 1000).faults) <= FAULTS_MAX + 8
    assert read(HEAD + GOOD * (ROWS_MAX + 1)).faults[0].rule == f"must be at most {ROWS_MAX} trips"
