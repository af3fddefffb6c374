"""The blueprint that the modules of this package hang their operations on, and what they share."""

from __future__ import annotations

import hashlib
import json
from functools import partial
from typing import Any

import marshmallow as ma
from flask import request

from service.infrastructure.http.access import principal, require_own_household
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.etags import require_match
from service.infrastructure.http.problems import PROBLEM_TYPE, ProblemSchema
from service.infrastructure.http.transactions import now
from service.reimbursement.domain.months import Month
from service.reimbursement.operations.trips import Owner

blueprint = ApiBlueprint("reimbursement", __name__, description="Business miles, claims and statements.")
conflict = partial(blueprint.alt_response, 409, schema=ProblemSchema, content_type=PROBLEM_TYPE)
HOME = "/households/<id:household_id>"


def writing() -> dict[str, Any]:
    """Return who writes and when, as every operation takes them."""
    return {"by": principal().account_id, "at": now()}


def own(household_id: str) -> Owner:
    """Return the caller as the owner of trips and claims; raises ``NotFound`` for another's home."""
    require_own_household(household_id)
    return Owner(principal().account_id, household_id)


def month_of(query: dict[str, Any]) -> Month | None:
    """Return the month that a query or body names, if it does; raises ``Rejected``."""
    return Month.read(query["month"]) if query["month"] is not None else None


def tag_of(schema: ma.Schema, body: dict[str, Any]) -> tuple[int, str]:
    """Return what a claim's ETag is made of: its version, and what it shows, which records elsewhere can change."""
    shown = json.dumps(schema.dump(body), sort_keys=True).encode()
    return body["version"], hashlib.sha256(shown).hexdigest()[:16]


def match_if_asked(*version: int | str) -> None:
    """Check If-Match on a POST that honours it, where the caller sent it."""
    if request.if_match:
        require_match(*version)
