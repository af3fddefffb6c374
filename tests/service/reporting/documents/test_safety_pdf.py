"""The safety file on paper, read back."""

from __future__ import annotations

import io
from datetime import UTC, datetime

from pypdf import PdfReader

from service.reporting.documents import safety_pdf
from service.reporting.domain.safety_file import IS_NOT, LIMITS, Part, SafetyFile, Table, table

AT = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
LONG = table("Checks", ("When", "Result", "Note"), [(f"day {n}", "no sign", f"note {n} " * 12) for n in range(150)])


def safety_file(*tables: Table, at: datetime = AT) -> SafetyFile:
    part = Part("checks", "Checks and charges", ("A note.",), (("Main fuse", "80 A, “Ωμ”, Łódź"),), tables)
    return SafetyFile(
        "a" * 32, "H-1", "Safety file of H-1", at, "25 Nov 2026 12:00:00 GMT", "Europe/London", IS_NOT, (part,), LIMITS
    )


def read(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def test_every_part_of_the_file_is_on_paper() -> None:
    text = " ".join(" ".join(read(safety_pdf(safety_file(LONG)))).split())
    for wanted in ("Safety file of H-1", "As at 25 Nov 2026 12:00:00 GMT", "Checks and charges", "A note.", "day 149"):
        assert wanted in text
    assert IS_NOT in text
    for limit in LIMITS:
        assert limit in text


def test_letters_beyond_english_are_set_too() -> None:
    assert "80 A, “Ωμ”, Łódź" in read(safety_pdf(safety_file()))[0]


def test_a_long_table_goes_over_pages_with_its_heads_on_each() -> None:
    pages = [page for page in read(safety_pdf(safety_file(LONG))) if "day " in page]
    assert len(pages) > 2
    assert all("When" in page and "Result" in page for page in pages)


def test_each_page_says_which_it_is_and_of_how_many() -> None:
    pages = read(safety_pdf(safety_file(LONG)))
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page


def test_headings_make_an_outline() -> None:
    outline = PdfReader(io.BytesIO(safety_pdf(safety_file()))).outline
    assert [entry.title for entry in outline] == ["Checks and charges", "What this file cannot show"]


def test_the_same_file_gives_the_same_bytes_and_another_does_not() -> None:
    assert safety_pdf(safety_file(LONG)) == safety_pdf(safety_file(LONG))
    assert safety_pdf(safety_file(LONG)) != safety_pdf(safety_file())


def test_rows_that_are_held_back_are_told() -> None:
    many = table("Checks", ("When",), [(f"day {n}",) for n in range(305)])
    text = " ".join(read(safety_pdf(safety_file(many)))).replace("\n", " ")
    assert "The newest 300 of 305 are listed; 5 earlier ones are kept." in text


def test_an_empty_table_says_so() -> None:
    none = table("Checks", ("When",), [], empty="No check had been made.")
    assert "No check had been made." in read(safety_pdf(safety_file(none)))[0]


def test_an_endless_word_does_not_break_the_page() -> None:
    assert len(read(safety_pdf(safety_file(table("T", ("A", "B"), [("x" * 400, "y")]))))) >= 1
