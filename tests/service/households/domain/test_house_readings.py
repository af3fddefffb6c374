"""A meter's file is read as its sender says it is laid out, and refused where it leaves a half-hour in doubt."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from service.common.errors import Rejected
from service.common.slots import local_day_slots, slot_index
from service.households.domain.house_readings import HouseFile, gaps_of, parse_house_file

LONDON = ZoneInfo("Europe/London")
FIRST = slot_index(datetime(2026, 1, 5, tzinfo=UTC))


def read(text: str, layout: str = "half_hour_a_line", clock: str = "stated", **told: str) -> dict[int, int]:
    return parse_house_file(HouseFile(text, layout, clock, **told), LONDON)


def faults(text: str, layout: str = "half_hour_a_line", clock: str = "stated", **told: str) -> list[tuple[str, str]]:
    with pytest.raises(Rejected) as caught:
        read(text, layout, clock, **told)
    return [(fault.field, fault.rule) for fault in caught.value.faults]


def lines(*rows: str) -> str:
    return "\r\n".join(("heading,of,any kind", *rows))


@pytest.mark.parametrize(
    ("time", "told"),
    [
        ("2026-01-05T00:00:00+00:00", {}),
        ("2026-01-05T01:00:00+01:00", {}),
        ("2026-01-05T00:30:00Z", {"marks": "end"}),
        ("2026-01-05 00:00", {"clock": "utc"}),
        ("2026-01-05T00:00:00", {"clock": "local"}),
    ],
    ids=str,
)
def test_a_time_means_its_half_hour_as_the_sender_says(time: str, told: dict[str, str]) -> None:
    assert read(lines(f"{time},0.25,further cells are left alone"), **told) == {FIRST: 250}


def test_a_wall_time_in_summer_is_an_hour_before_utc() -> None:
    assert read(lines("2026-07-01T01:00,1"), clock="local") == {slot_index(datetime(2026, 7, 1, tzinfo=UTC)): 1000}


def test_values_are_rounded_to_whole_watt_hours_and_may_be_watt_hours() -> None:
    time = "2026-01-05T00:00:00Z"
    assert read(lines(f"{time},0.1234")) == {FIRST: 123}
    assert read(lines(f"{time},0.1235")) == {FIRST: 124}
    assert read(lines(f"{time},417"), unit="wh") == {FIRST: 417}


@pytest.mark.parametrize(("day", "count"), [("2026-01-05", 48), ("2026-03-29", 46), ("2026-10-25", 50)])
def test_a_day_a_line_has_the_half_hours_of_that_local_day(day: str, count: int) -> None:
    values = ",".join(f"{place / 1000}" for place in range(count))
    found = read(lines(f"{day},{values},,"), layout="day_a_line", clock="local")
    assert list(found) == list(local_day_slots(datetime.fromisoformat(day).date(), LONDON))
    assert list(found.values()) == list(range(count))


@pytest.mark.parametrize("day", ["2026-03-29", "2026-10-25"])
def test_48_values_on_a_day_of_a_clock_change_are_refused_and_in_utc_they_are_not(day: str) -> None:
    row = lines(f"{day}{',0.1' * 48}")
    ((field, rule),) = faults(row, layout="day_a_line", clock="local")
    assert field == "rows.0.date"
    assert "which is which?" in rule
    assert len(read(row, layout="day_a_line", clock="utc")) == 48


BAD = [
    ("no offset", "2026-01-05T00:00:00,1", {}, "rows.0.time", "offset"),
    ("an offset where none belongs", "2026-01-05T00:00:00Z,1", {"clock": "utc"}, "rows.0.time", "without offset"),
    ("between half-hours", "2026-01-05T00:10:00Z,1", {}, "rows.0.time", "whole half-hour"),
    ("a time that comes twice", "2026-10-25T01:30,1", {"clock": "local"}, "rows.0.time", "comes twice"),
    ("a time that does not exist", "2026-03-29T01:30,1", {"clock": "local"}, "rows.0.time", "does not exist"),
    ("no number", "2026-01-05T00:00:00Z,none", {}, "rows.0.energy", "number"),
    ("not a number at all", "2026-01-05T00:00:00Z,NaN", {}, "rows.0.energy", "between 0 and 50"),
    ("below nothing", "2026-01-05T00:00:00Z,-0.1", {}, "rows.0.energy", "between 0 and 50"),
    ("watt-hours said to be kWh", "2026-01-05T00:00:00Z,417", {}, "rows.0.energy", "between 0 and 50"),
    ("no energy", "2026-01-05T00:00:00Z", {}, "rows.0.time", "followed by the energy"),
]


@pytest.mark.parametrize(("row", "told", "field", "words"), [bad[1:] for bad in BAD], ids=[bad[0] for bad in BAD])
def test_a_bad_line_is_named_with_its_rule(row: str, told: dict[str, str], field: str, words: str) -> None:
    ((found, rule),) = faults(lines(row), **told)
    assert found == field
    assert rule.startswith("line 2, ")
    assert words in rule


def test_every_bad_line_is_named_at_once_and_a_half_hour_given_twice_is_one() -> None:
    rows = lines("2026-01-05T00:00:00Z,1", "2026-01-05T00:00:00Z,2", "", "tomorrow,1")
    assert [field for field, _rule in faults(rows)] == ["rows.1.time", "rows.2.time"]


def test_a_file_without_a_line_below_its_heading_is_refused() -> None:
    assert faults("time,kWh\n") == [("text", "must hold at least one line below its heading")]


def test_a_line_a_day_cannot_state_its_offsets() -> None:
    with pytest.raises(Rejected) as caught:
        HouseFile("", "day_a_line", "stated")
    assert [fault.field for fault in caught.value.faults] == ["clock"]


def test_gaps_lie_between_the_first_and_the_last() -> None:
    assert gaps_of({5: 1, 6: 1, 9: 1, 8: 1, 12: 1}) == [(7, 8), (10, 12)]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("0001-01-01T00:00:00+05:00,1", {}),
        ("0001-01-01T00:00:00Z,1", {"marks": "end"}),
        ("9999-12-31T23:30:00Z,1", {}),
        ("0001-01-01T00:00,1", {"clock": "local"}),
        ("9999-12-31" + ",1" * 48, {"clock": "utc", "layout": "day_a_line"}),
    ],
    ids=str,
)
def test_a_year_that_no_meter_knew_is_refused_by_its_line(row: str, told: dict[str, str]) -> None:
    assert [field for field, _ in faults(lines(row), **told)] in (["rows.0.time"], ["rows.0.date"])


@pytest.mark.parametrize("energy", ["sNaN", "NaN", "Infinity", "1E+999999", "-1E+999999", "0x10"])
@pytest.mark.parametrize("unit", ["kwh", "wh"])
def test_what_is_no_amount_of_energy_is_refused_by_its_line(energy: str, unit: str) -> None:
    assert [field for field, _ in faults(lines(f"2026-01-05T00:00:00Z,{energy}"), unit=unit)] == ["rows.0.energy"]
