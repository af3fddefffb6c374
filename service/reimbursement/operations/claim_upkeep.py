"""What several things that can be done with a claim share: its messages, its trips, what a member states."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from sqlalchemy import delete, update

from service.common.errors import Fault, NotFound, Rejected
from service.households.domain.ranges import in_range, of_decimals, refuse, text_within
from service.households.operations import get_vehicle
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import MessageKind
from service.reimbursement.models import BusinessTrip, Claim, ClaimMessage
from service.reimbursement.operations.trips import Owner

MESSAGE_LENGTH_MAX = 1000


def add_message(
    session: SchemeSession, claim: Claim, kind: MessageKind, text: str, *, by: str | None, at: datetime
) -> ClaimMessage:
    """Add a message to a claim; raises ``Rejected`` where it is empty or too long."""
    refuse(text_within("text", text, MESSAGE_LENGTH_MAX, is_required=True))
    row = ClaimMessage(claim_id=claim.id, kind=kind.value, text=text.strip(), written_at=at, written_by=by)
    session.add(row)
    session.flush()
    return row


def let_go(session: SchemeSession, claim: Claim) -> None:
    """Open a claim's trips again; the copies that a correction made are deleted, for the claim it corrects has them."""
    its_trips = BusinessTrip.claim_id == claim.id
    if claim.corrects_id is not None:
        session.execute(delete(BusinessTrip).where(its_trips))
    else:
        opened = update(BusinessTrip).where(its_trips).values(claim_id=None, version=BusinessTrip.version + 1)
        session.execute(opened)


def check_home_percents(session: SchemeSession, owner: Owner, home_percents: Mapping[str, Decimal]) -> None:
    """Refuse a stated share that is no percentage, or of a car that the home does not have; raises ``Rejected``."""
    faults: list[Fault] = []
    for place, (vehicle_id, percent) in enumerate(home_percents.items()):
        try:
            get_vehicle(session, owner.household_id, vehicle_id)
        except NotFound:
            faults.append(Fault(f"home_shares.{place}.vehicle_id", vehicle_id, "must be one of the home's cars"))
        faults += in_range(f"home_shares.{place}.home_percent", percent, 0, 100, "%")
        faults += of_decimals(f"home_shares.{place}.home_percent", percent, 1)
    if faults:
        raise Rejected(*faults)
