"""Claims as their schemas read them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from service.common.errors import Fault, Rejected
from service.reimbursement.domain.lines import LineKind
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.words import CAUTION
from service.reimbursement.operations.claim_rows import ClaimPage, ClaimRow, Message
from service.reimbursement.operations.claims import ReadClaim

_PERCENT = re.compile(r"[0-9]{1,3}(\.[0-9])?")


def shown_row(row: ClaimRow) -> dict[str, Any]:
    """Return a claim as a list shows it."""
    claim = row.claim
    return {
        "id": claim.id,
        "household_id": claim.household_id,
        "reference": row.reference,
        "member_name": row.member_name,
        "month": str(Month(claim.month_on)),
        "ordinal": claim.ordinal,
        "state": claim.state,
        "corrects_id": claim.corrects_id,
        "is_corrected": row.is_corrected,
        "trip_count": _trip_count(claim.reckoning),
        "miles": claim.miles,
        "total_pence": claim.total_pence,
        "created_at": claim.created_at,
        "sent_at": claim.sent_at,
        "decided_at": claim.decided_at,
        "statement_id": claim.statement_id,
        "version": claim.version,
        "is_ready": None,
    }


def _trip_count(reckoning: Mapping[str, Any] | None) -> int:
    """Return how many trips a claim pays; what a correction takes back is not among them, and a draft has no lines."""
    lines = (reckoning or {}).get("lines", ())
    return sum(1 for line in lines if line["trip_id"] and line["kind"] != LineKind.REVERSAL)


def shown_page(page: ClaimPage, number: int, size: int) -> dict[str, Any]:
    """Return a page of claims."""
    return {
        "items": [shown_row(row) for row in page.items],
        "total": page.total,
        "page": number,
        "page_size": size,
        "miles": page.miles,
        "total_pence": page.total_pence,
    }


def shown_claim(read: ReadClaim, messages: Sequence[Message]) -> dict[str, Any]:
    """Return a claim with its lines; a draft's miles and money are those it would be sent with now."""
    row, reckoning = shown_row(read.row), read.reckoning
    if row["sent_at"] is None:
        totals = {"miles": Decimal(reckoning["miles"]), "total_pence": reckoning["total_pence"]}
        row |= {**totals, "is_ready": reckoning["is_ready"], "trip_count": _trip_count(reckoning)}
    return {**row, "reckoning": reckoning, "messages": messages, "caution": CAUTION}


def home_percents(shares: Sequence[dict[str, Any]]) -> dict[str, Decimal]:
    """Return vehicle id -> per cent at home; raises ``Rejected`` where a car is named twice."""
    found: dict[str, Decimal] = {}
    for place, share in enumerate(shares):
        if share["vehicle_id"] in found:
            raise Rejected(Fault(f"home_shares.{place}.vehicle_id", share["vehicle_id"], "is named twice"))
        found[share["vehicle_id"]] = share["home_percent"]
    return found


def queried_percents(texts: Sequence[str]) -> dict[str, Decimal]:
    """Return what "<vehicle id>:<percent>" texts of a query say; raises ``Rejected``."""
    found = {}
    for text in texts:
        vehicle_id, _, percent = text.partition(":")
        if not _PERCENT.fullmatch(percent):
            raise Rejected(Fault("home_share", text, "must be a vehicle's id, a colon and a percentage"))
        found[vehicle_id] = Decimal(percent)
    return found
