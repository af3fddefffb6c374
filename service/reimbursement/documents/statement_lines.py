"""The lines of a statement's export, for both formats: text stays text, whatever it begins with."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Final, TypeAlias

Cell: TypeAlias = str | int | Decimal | date | None

HEADS: Final = (
    "Home", "Name", "Month", "Claim", "Corrects", "Kind", "Day", "Car", "Purpose", "Miles", "How", "Pounds",
    "Approved on", "Approved by",
)
PENNY: Final = Decimal("0.01")
# Line ends and control characters, and what XML (1.0, section 2.2) cannot hold: one would spoil a whole workbook.
_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]+")
# What a spreadsheet takes for the start of a formula, behind blanks too, and in full width.
_ACTIVE: Final = re.compile(r"^[\s\u00a0]*[=+\-@＝＋－＠]")


def lines(document: Mapping[str, Any]) -> Iterator[tuple[Cell, ...]]:
    """Yield a row for each line of each claim, a total for each person, and the statement's total."""
    for person in document["people"]:
        for claim in person["claims"]:
            for line in claim["lines"]:
                yield _line(person, claim, line)
        yield _total(person["reference"], person["name"], f"total of {person['name']}", person)
    yield _total("", "", f"total of statement {document['month']}-{document['ordinal']}", document["totals"])


def one_line(text: str) -> str:
    """Return text without control characters and line ends, which some readers take for a new cell or row."""
    return _CONTROL.sub(" ", text)


def looks_active(text: str) -> bool:
    """Tell whether a spreadsheet might run the text as a formula."""
    return bool(_ACTIVE.match(text))


def _line(person: Mapping[str, Any], claim: Mapping[str, Any], line: Mapping[str, Any]) -> tuple[Cell, ...]:
    on = date.fromisoformat(line["on_date"]) if line["on_date"] else None
    return (
        person["reference"], person["name"], claim["month"], claim["claim_id"], claim["corrects_id"],
        line["kind"].replace("_", " "), on, line["vehicle_label"], line["reason"], Decimal(line["miles"]), line["text"],
        line["pence"] * PENNY, date.fromisoformat(claim["approved_on"]), claim["approved_by"],
    )


def _total(reference: str, name: str, what: str, totals: Mapping[str, Any]) -> tuple[Cell, ...]:
    miles, pounds = Decimal(totals["miles"]), totals["total_pence"] * PENNY
    return reference, name, None, None, None, what, None, None, None, miles, None, pounds, None, None
