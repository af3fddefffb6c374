"""Days of a diary from CSV text."""

from datetime import date
from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.households.domain.diary_csv import parse_diary_csv
from service.households.domain.diary_days import DAYS_MAX, DiaryEntry

TODAY = date(2026, 11, 25)


def faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(Rejected) as refused:
        parse_diary_csv(text, today=TODAY)
    return [(fault.field, fault.rule) for fault in refused.value.faults]


def test_days_are_read_whichever_way_the_text_is_written() -> None:
    expected = (DiaryEntry(date(2026, 11, 24), Decimal("31.5")), DiaryEntry(date(2026, 11, 23), Decimal(0)))
    for text in (
        "on,miles\n2026-11-24,31.5\n2026-11-23,0\n",
        "\ufeffmiles,on\r\n31.5,2026-11-24\r\n\r\n0,2026-11-23",
        'On, Miles\n"2026-11-24"," 31.5 "\n2026-11-23,0',
    ):
        assert parse_diary_csv(text, today=TODAY) == expected


def test_every_fault_is_named_by_line_and_column() -> None:
    text = (
        "on,miles\n24/11/2026,3\n2026-11-26,x\n2026-11-20,1501\n2026-11-20,3\n2026-11-19\n2026-02-30,-1\n2026-11-20,2"
    )
    assert faults(text) == [
        ("rows.0.on", "line 2, on: must be a day such as 2026-11-24"),
        ("rows.1.on", "line 3, on: must not lie ahead"),
        ("rows.1.miles", "line 3, miles: must be miles such as 31 or 31.5"),
        ("rows.2.miles", "line 4, miles: must lie between 0 and 1500 miles"),
        ("rows.4", "line 6: must hold 2 cells, not 1"),
        ("rows.5.on", "line 7, on: must be a day such as 2026-11-24"),
        ("rows.5.miles", "line 7, miles: must be miles such as 31 or 31.5"),
        ("rows.6.on", "line 8, on: this day stands in the text already"),
    ]


@pytest.mark.parametrize(
    ("text", "field"),
    [("", "header"), ("day,miles\n", "header"), ("on,miles,note\n", "header"), ("on,miles\n", "rows"),
     ('on,miles\n"2026', "rows")],
)  # fmt: skip
def test_a_text_that_is_no_diary_is_refused(text: str, field: str) -> None:
    assert faults(text)[0][0] == field


def test_more_decimals_than_are_kept_are_refused() -> None:
    assert faults("on,miles\n2026-11-20,3.25") == [("rows.0.miles", "line 2, miles: must have at most 1 decimal")]


def test_too_many_days_are_refused() -> None:
    rows = "\n".join(f"{date.fromordinal(TODAY.toordinal() - each).isoformat()},1" for each in range(DAYS_MAX + 1))
    assert faults(f"on,miles\n{rows}")[-1][0] == "rows"
    rows = rows.rpartition("\n")[0]
    assert len(parse_diary_csv(f"on,miles\n{rows}", today=TODAY)) == DAYS_MAX


def test_a_text_full_of_faults_is_not_read_to_its_end() -> None:
    assert len(faults("on,miles\n" + "x,y\n" * 5000)) <= 103
