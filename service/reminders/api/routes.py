"""The blueprint that the modules of this package hang their operations on, and what they share."""

from __future__ import annotations

from typing import Any

from service.infrastructure.http.access import principal
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.transactions import now

blueprint = ApiBlueprint(
    "reminders", __name__, description="Safety notices and calls, calendars, and a person's settings of mail."
)

TOO_MANY = "Too many addresses that open nothing came from this place; Retry-After says how long to wait"


def writing() -> dict[str, Any]:
    """Return who writes and when, as every operation takes them."""
    return {"by": principal().account_id, "at": now()}
