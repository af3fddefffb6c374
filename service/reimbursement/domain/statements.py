"""A month's statement for payroll as one document: the same claims give the same bytes and the same digest."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from typing import Any

from service.reimbursement.domain.frozen import without_places
from service.reimbursement.domain.lines import plain
from service.reimbursement.domain.words import CAUTION, ROUNDING_RULE, VAT_NOTE

FORM = 1
"""Raised when the document takes another shape, so that an older one is read as what it was."""


@dataclass(frozen=True)
class StatedClaim:
    """An approved claim, and whose it is."""

    claim_id: str
    account_id: str
    name: str
    reference: str
    month: str
    ordinal: int
    corrects_id: str | None
    sent_on: date
    approved_on: date
    approved_by: str
    reckoning: Mapping[str, Any]


def statement_document(month: str, ordinal: int, claims: Iterable[StatedClaim]) -> dict[str, Any]:
    """Return the document of a month: people by home and name, their claims by month, no places of trips."""
    ordered = sorted(claims, key=lambda each: (each.reference, each.name, each.account_id, each.month, each.ordinal))
    people = [_person(list(group)) for _, group in groupby(ordered, key=lambda each: each.account_id)]
    stated = [claim for person in people for claim in person["claims"]]
    return {
        "form": FORM,
        "month": month,
        "ordinal": ordinal,
        "people": people,
        "totals": {
            "claim_count": len(stated),
            "line_count": sum(len(claim["lines"]) for claim in stated),
            "miles": _sum_miles(stated),
            "total_pence": sum(claim["total_pence"] for claim in stated),
        },
        "caution": CAUTION,
        "vat_note": VAT_NOTE,
        "rounding_rule": ROUNDING_RULE,
    }


def canonical(document: Mapping[str, Any]) -> bytes:
    """Return the document's one way of being written: names in order, no blanks, UTF-8."""
    return json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def digest_of(document: Mapping[str, Any]) -> str:
    """Return the SHA-256 of the canonical text, in hexadecimal."""
    return hashlib.sha256(canonical(document)).hexdigest()


def _person(claims: Sequence[StatedClaim]) -> dict[str, Any]:
    first = claims[0]
    stated = [_claim(each) for each in claims]
    return {
        "account_id": first.account_id,
        "name": first.name,
        "reference": first.reference,
        "claims": stated,
        "miles": _sum_miles(stated),
        "total_pence": sum(claim["total_pence"] for claim in stated),
    }


def _claim(claim: StatedClaim) -> dict[str, Any]:
    reckoning = claim.reckoning
    return {
        "claim_id": claim.claim_id,
        "month": claim.month,
        "ordinal": claim.ordinal,
        "corrects_id": claim.corrects_id,
        "sent_on": claim.sent_on.isoformat(),
        "approved_on": claim.approved_on.isoformat(),
        "approved_by": claim.approved_by,
        "miles": reckoning["miles"],
        "total_pence": reckoning["total_pence"],
        "lines": [without_places(line) for line in reckoning["lines"]],
        "figures": reckoning["figures"],
    }


def _sum_miles(items: Iterable[Mapping[str, Any]]) -> str:
    return plain(Fraction(sum((Decimal(each["miles"]) for each in items), Decimal(0))))
