"""Visits and links for electricians, made through the API as an administrator makes them, for tests that open them."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tests.browser.visitor import Visitor

ZONE = ZoneInfo("Europe/London")
SENT_TO = "visitor@gale-wiring.example"


@dataclass(frozen=True)
class MadeVisit:
    """A visit with an agreed day; ``outlet_ids`` are those it is for."""

    id: str
    household_id: str
    outlet_ids: tuple[str, ...]


@dataclass(frozen=True)
class MadeLink:
    """A link as it was told once; ``path`` is its address without the server's."""

    id: str
    path: str
    visits: tuple[MadeVisit, ...]

    @property
    def secret(self) -> str:
        """What stands behind the #."""
        return self.path.split("#")[1]


def today() -> date:
    """Return the homes' local date now."""
    return datetime.now(ZONE).date()


def agree_visit(administrator: Visitor, reference: str, *, days_ahead: int = 0) -> MadeVisit:
    """Ask for a visit to all outlets of a home and agree its day."""
    homes = administrator.read(f"/households?search={reference}")["items"]
    household_id = next(home["id"] for home in homes if home["reference"] == reference)
    outlets = tuple(outlet["id"] for outlet in administrator.read(f"/households/{household_id}")["outlets"])
    asked = _post(
        administrator, f"/households/{household_id}/visits", {"outlet_ids": list(outlets), "reason": "The yearly look"}
    )
    day = today() + timedelta(days=days_ahead)
    reply = administrator.context.request.patch(
        f"/api/v1/visits/{asked['id']}",
        data={"agreed_on": day.isoformat(), "agreed_from": "09:00", "agreed_until": "12:00", "cost_pence": 12050},
        headers={"X-Requested-By": "plugward", "If-Match": '"1"'},
    )
    assert reply.status == 200, reply.text()
    return MadeVisit(asked["id"], household_id, outlets)


def make_link(administrator: Visitor, *visits: MadeVisit) -> MadeLink:
    """Send one link for some visits to somebody who is not on the list: only then is its address told."""
    made = _post(
        administrator,
        "/inspection_links",
        {
            "visit_ids": [visit.id for visit in visits],
            "electrician_id": None,
            "sent_to": SENT_TO,
            "expires_in_days": 14,
        },
    )
    return MadeLink(made["id"], "/inspect" + made["url"].split("/inspect")[1], visits)


def make_correction(administrator: Visitor, visit: MadeVisit, inspection_id: str) -> MadeLink:
    """Send a link by which a result of a visit is corrected."""
    path = f"/households/{visit.household_id}/inspections/{inspection_id}/correction_link"
    made = _post(administrator, path, {"sent_to": SENT_TO})
    return MadeLink(made["id"], "/inspect" + made["url"].split("/inspect")[1], (visit,))


def revoke(administrator: Visitor, link: MadeLink) -> None:
    """Take a link back."""
    _post(administrator, f"/inspection_links/{link.id}/revocation", {})


def _post(administrator: Visitor, path: str, body: dict[str, Any]) -> Any:
    reply = administrator.context.request.post(
        f"/api/v1{path}", data=body, headers={"X-Requested-By": "plugward", "Idempotency-Key": str(uuid.uuid4())}
    )
    assert reply.status in (200, 201), reply.text()
    return reply.json()
