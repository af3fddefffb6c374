"""Files of statements and claims: the same document gives the same bytes, and nothing in them runs."""

import csv
import io
import zipfile
from datetime import UTC, date, datetime
from typing import Any

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from service.reimbursement.documents import claim_pdf, statement_csv, statement_xlsx
from service.reimbursement.documents.claim_pdf import ClaimCopy
from service.reimbursement.documents.statement_lines import HEADS
from service.reimbursement.domain.reckoning import reckon
from service.reimbursement.domain.statements import StatedClaim, statement_document
from tests.factories.claims import claim, trip

MADE_AT = datetime(2026, 7, 3, 9, 30, tzinfo=UTC)
ACTIVE = ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "＝1", "\t=1"]


def document(*reasons: str) -> dict[str, Any]:
    days = [date(2026, 6, place + 1) for place in range(len(reasons))]
    trips = [trip(on, "10.5", reason=reason) for on, reason in zip(days, reasons, strict=True)]
    reckoning = reckon(claim("2026-06", trips)).to_json()
    stated = StatedClaim(
        claim_id="c" * 32, account_id="a" * 32, name="=Ada", reference="H-1", month="2026-06", ordinal=1,
        corrects_id=None, sent_on=date(2026, 7, 1), approved_on=date(2026, 7, 2), approved_by="Bo", reckoning=reckoning,
    )  # fmt: skip
    return statement_document("2026-06", 1, [stated])


@pytest.mark.parametrize("text", ACTIVE)
def test_no_cell_runs(text: str) -> None:
    made = document(text)
    rows = list(csv.reader(io.StringIO(statement_csv(made).decode("utf-8-sig"))))
    assert rows[0] == list(HEADS)
    assert rows[1][HEADS.index("Purpose")].startswith("'")
    assert rows[1][HEADS.index("Name")] == "'=Ada"
    sheet = load_workbook(io.BytesIO(statement_xlsx(made, made_at=MADE_AT))).active
    kinds = {cell.data_type for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds


def test_amounts_are_pounds_to_the_penny_and_totals_stand_below() -> None:
    made = document("a", "b")
    rows = list(csv.DictReader(io.StringIO(statement_csv(made).decode("utf-8-sig"))))
    assert [(row["Kind"], row["Miles"], row["Pounds"]) for row in rows] == [
        ("mileage allowance", "10.5", "5.78"),
        ("mileage allowance", "10.5", "5.77"),
        ("total of =Ada", "21", "11.55"),
        ("total of statement 2026-06-1", "21", "11.55"),
    ]
    sheet = load_workbook(io.BytesIO(statement_xlsx(made, made_at=MADE_AT))).active
    assert [row[HEADS.index("Pounds")] for row in sheet.iter_rows(min_row=2, values_only=True)] == [
        5.78, 5.77, 11.55, 11.55
    ]  # fmt: skip


def test_a_workbook_holds_no_hour_of_writing() -> None:
    made = document("a")
    first = statement_xlsx(made, made_at=MADE_AT)
    assert statement_xlsx(made, made_at=MADE_AT) == first
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert archive.read("docProps/core.xml").count(b"2026-07-03T09:30:00Z") == 2


def copy(**changes: Any) -> ClaimCopy:
    reckoning = reckon(claim("2026-06", [trip(date(2026, 6, 1), "10.5")])).to_json()
    usual = {
        "claim_id": "c" * 32, "name": "Ada Fell", "reference": "H-1", "month": "2026-06", "ordinal": 1,
        "state": "approved", "sent_at": MADE_AT, "decided_at": MADE_AT, "corrects_id": None, "reckoning": reckoning,
    }  # fmt: skip
    return ClaimCopy(**{**usual, **changes})


def test_a_members_copy_shows_places_figures_and_cautions_and_is_the_same_each_time() -> None:
    first = claim_pdf(copy())
    assert claim_pdf(copy()) == first
    assert claim_pdf(copy(state="stated")) != first
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(first)).pages).split())
    for words in (
        "Business miles of Ada Fell, 2026-06", "Depot", "survey of a site", "10.5 miles x 55 p", "5.78",
        "mileage allowance first", "Not tax advice", "cannot recover VAT",
    ):  # fmt: skip
        assert words in text


def test_a_character_that_xml_cannot_hold_does_not_spoil_the_workbook_for_everybody() -> None:
    book = load_workbook(io.BytesIO(statement_xlsx(document("to \uffff and \ufffe"), made_at=MADE_AT)))
    (row, *_) = book.active.iter_rows(min_row=2, values_only=True)
    assert row[HEADS.index("Purpose")] == "to   and  "
