"""The desk as CSV, opened again: every text is there, and none of it runs."""

from __future__ import annotations

import csv
import io
from datetime import UTC, date, datetime

import pytest

from service.reporting.documents import desk_csv
from service.reporting.operations import DeskRow
from service.reporting.operations.desk_details import HomeDetails, OpenVisit, Told

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
ACTIVE = (
    "=1+1", "+1", "-1", "@SUM(A1)", " =1+1", "\u00a0=1+1", "\t=1+1", "\r=1+1", "\n=1+1", "＝1+1", "＋1", "－1", "＠x",
    "\ufeff=1", "'=1", '"=1', "a\n=1+1", "a\r\n=1", "x\t=1", "=cmd|' /C calc'!A0", '=HYPERLINK("x")', "\u2028=1",
)


def desk_row(text: str = "H-1", **changes: object) -> DeskRow:
    details = HomeDetails(
        missing=(text,), told=Told(text, "s", NOON, None), visit=OpenVisit("date_agreed", date(2026, 12, 1))
    )
    usual = {
        "id": "a" * 32, "reference": text, "area": "ZZ1", "clearance": "do_not_use", "since_on": date(2026, 11, 1),
        "next_recheck_on": date(2026, 11, 20), "days_left": -5, "overdue_count": 2, "told_at": NOON, "unread_count": 1,
        "last_inspection_on": None, "last_check_at": NOON, "details": details,
    }
    return DeskRow(**{**usual, **changes})  # type: ignore[arg-type]


def opened(*rows: DeskRow) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(b"".join(desk_csv(rows)).decode("utf-8-sig"), newline="")))


def test_a_row_is_read_back_as_it_was() -> None:
    assert opened(desk_row()) == [
        {
            "Home": "H-1", "Area": "ZZ1", "Clearance": "do not use", "Since": "2026-11-01",
            "Next recheck": "2026-11-20", "Days left": "-5", "Overdue": "2", "Missing": "H-1", "Told": "2026-11-25",
            "Whom": "H-1", "Read": "", "Unread notices": "1", "Open visit": "date agreed",
            "Visit agreed on": "2026-12-01", "Last inspection": "", "Last check": "2026-11-25",
        }
    ]


@pytest.mark.parametrize("text", ACTIVE)
def test_no_text_begins_as_a_formula_does(text: str) -> None:
    (row,) = opened(desk_row(text))
    for cell in (row["Home"], row["Missing"], row["Whom"]):
        assert not cell.lstrip(" \u00a0\t\r\n\ufeff").startswith(tuple("=+-@＝＋－＠"))
        assert "\n" not in cell and "\r" not in cell and "\t" not in cell


def test_a_number_below_nought_stays_a_number() -> None:
    assert opened(desk_row(days_left=-40))[0]["Days left"] == "-40"


def test_without_homes_there_are_the_heads() -> None:
    assert opened() == []
    assert b"".join(desk_csv([])).startswith(b"\xef\xbb\xbfHome,")
