"""The desk as a workbook, opened again: text is text, numbers are numbers, dates are dates."""

from __future__ import annotations

import io
from datetime import datetime
from typing import Any

import pytest
from openpyxl import load_workbook

from service.reporting.documents import desk_xlsx
from service.reporting.operations import DeskRow
from tests.service.reporting.documents.test_desk_csv import ACTIVE, desk_row


def opened(*rows: DeskRow) -> list[dict[str, Any]]:
    sheet = load_workbook(io.BytesIO(b"".join(desk_xlsx(rows)))).active
    heads, *lines = sheet.iter_rows()
    return [dict(zip((head.value for head in heads), line, strict=True)) for line in lines]


@pytest.mark.parametrize("text", ACTIVE)
def test_every_text_is_typed_as_text(text: str) -> None:
    (row,) = opened(desk_row(text))
    for name in ("Home", "Missing", "Whom"):
        assert row[name].data_type in ("s", "inlineStr")


def test_numbers_and_dates_keep_their_type() -> None:
    (row,) = opened(desk_row())
    assert (row["Days left"].value, row["Overdue"].value) == (-5, 2)
    assert row["Next recheck"].value == datetime(2026, 11, 20)  # noqa: DTZ001 - a workbook's date has no zone
    assert row["Read"].value is None


def test_a_long_list_comes_in_pieces_that_make_one_workbook() -> None:
    pieces = list(desk_xlsx(desk_row(f"H-{number} " + "x" * 200) for number in range(2_000)))
    assert len(pieces) > 1
    assert load_workbook(io.BytesIO(b"".join(pieces))).active.max_row == 2_001
