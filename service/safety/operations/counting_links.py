"""Whether what comes in by a link counts at once, or waits for a safety officer; and why it waits.

Two people stand behind what counts at once: a safety officer who put the electrician's address on the list, and
another person who sent the link there.  Neither is of the home, and neither knows the link.
"""

from __future__ import annotations

from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.link_rules import is_address_of_home, same_mailbox
from service.safety.models import Electrician, InspectionLink
from service.safety.operations.link_list import administrator_addresses, home_addresses
from service.safety.operations.own_home import is_own_home

TOLD = "whoever made the link was told its address: a safety officer compares the result with the document"


def waits_because(session: SchemeSession, link: InspectionLink, household_id: str) -> str:
    """Return why a result of a home has to wait for a safety officer; empty where it counts at once."""
    return waits_by_address(session, link, household_id) or (TOLD if link.is_told else "")


def waits_by_address(session: SchemeSession, link: InspectionLink, household_id: str) -> str:
    """Return why the address that a link went to makes its result wait; whether the link was told is left aside."""
    if is_address_of_home(link.sent_to, home_addresses(session, household_id)):
        return "the link was sent to an address of this household, and never counts"
    if is_address_of_home(link.sent_to, administrator_addresses(session)):
        return "the link was sent to somebody who runs the scheme, and never counts by itself"
    electrician = (
        session.get(Electrician, (session.scheme_id, link.electrician_id)) if link.electrician_id is not None else None
    )
    if electrician is None or electrician.unlisted_at is not None:
        return "the electrician is not on the scheme's list: a safety officer compares it with the document"
    if same_mailbox(electrician.email) != same_mailbox(link.sent_to):
        return "the link was sent to another address than the list has for this electrician"
    if electrician.address_by is not None and electrician.address_by == link.made_by:
        return "whoever made the link also set this electrician's address: another safety officer looks at it"
    if is_own_home(session, electrician.address_by, household_id):
        return "whoever set this electrician's address lives or lived in this home: a safety officer looks at it"
    return ""
