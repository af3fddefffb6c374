"""Make and send a link for an electrician: for agreed visits, or to correct one result.

A link whose result would count at once is told to nobody but by its message: whoever made it could else record in
the electrician's place.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from service.accounts.models import Scheme
from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, Rejected
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Postmark, Rendered, queue
from service.safety.domain.evidence import InspectionSource
from service.safety.domain.link_rules import (
    LinkRequest,
    correction_ends_at,
    hash_of,
    new_secret,
    same_mailbox,
)
from service.safety.domain.visit_states import LinkKind, VisitState
from service.safety.models import Electrician, Inspection, InspectionLink, LinkedVisit, Visit
from service.safety.operations.counting_links import waits_by_address
from service.safety.operations.inspections import get_inspection
from service.safety.operations.link_list import MAIL_KIND, is_household_address
from service.safety.operations.visits import find_listed, get_visit

WITHHELD = (
    "It goes to the electrician's listed address alone: what is recorded with it counts at once, so that nobody of the "
    "scheme may hold it."
)


@dataclass(frozen=True)
class LinkLetter:
    """What the message to an electrician says: no address of a home, no name of a member."""

    scheme_name: str
    electrician_name: str
    url: str
    days: tuple[date, ...]
    expires_at: datetime
    zone: ZoneInfo
    is_correction: bool


@dataclass(frozen=True)
class Posting:
    """How a link leaves: where its page is, who renders its message and signs its Message-ID."""

    base_url: str
    render: Callable[[LinkLetter], Rendered]
    postmark: Postmark


@dataclass(frozen=True)
class NewLink:
    """A link just made: its address is told this once, or not at all, with the reason why not."""

    link: InspectionLink
    url: str | None
    withheld_because: str
    is_to_household: bool


def send_link(
    session: SchemeSession, request: LinkRequest, posting: Posting, *, by: str | None, at: datetime
) -> NewLink:
    """Make a link for some agreed visits and queue the message that carries it; the visits are its electrician's now.

    Raises
    ------
    Rejected
        For a visit that is not the scheme's or has no day agreed, or an electrician who is not on the list.
    """
    electrician = find_listed(session, request.electrician_id) if request.electrician_id is not None else None
    visits = _agreed_visits(session, request.visit_ids)
    for visit in visits:
        visit.electrician_id = electrician.id if electrician is not None else None
    link, url = _new_link(
        session, LinkKind.VISIT, request.sent_to, at + timedelta(days=request.expires_in_days), electrician, posting,
        by=by, at=at,
    )
    session.add_all(
        LinkedVisit(household_id=visit.household_id, link_id=link.id, visit_id=visit.id, opens_on=visit.agreed_on)
        for visit in visits
    )
    session.flush()
    _post(session, link, url, electrician, visits, posting, at=at)
    return _made(session, link, url, [visit.household_id for visit in visits])


def send_correction_link(
    session: SchemeSession,
    household_id: str,
    inspection_id: str,
    sent_to: str,
    posting: Posting,
    *,
    by: str | None,
    at: datetime,
) -> NewLink:
    """Make a link by which one result can be corrected until the seventh day after it was submitted has ended.

    The electrician of the result stays its electrician only where the link goes to his listed address.

    Raises
    ------
    NotFound, Rejected, Conflict
        Conflict where it did not come in by a link, was corrected already, or the seven days are over.
    """
    request = LinkRequest((inspection_id,), sent_to, 1)  # for the rule of an address
    inspection = get_inspection(session, household_id, inspection_id)
    if inspection.source != InspectionSource.LINK.value or inspection.visit_id is None:
        raise Conflict("Only what came in by an electrician's link can be corrected by one.")
    if inspection.is_partial:
        raise Conflict("The readings are still to come by the first link; it is open for them.")
    if inspection.superseded_at is not None:
        raise Conflict("Another result has taken the place of this one. Correct that one.")
    zone = ZoneInfo(get_household(session, household_id).zone)
    ends_at = correction_ends_at(_first_submitted_at(session, inspection), zone)
    if at >= ends_at:
        raise Conflict(f"Corrections ended on {ends_at:%Y-%m-%d}. Ask for another visit.")
    visit = get_visit(session, inspection.visit_id)
    electrician = _known_by_address(session, inspection.electrician_id, request.sent_to)
    link, url = _new_link(
        session, LinkKind.CORRECTION, request.sent_to, ends_at, electrician, posting, by=by, at=at
    )
    session.add(
        LinkedVisit(
            household_id=household_id, link_id=link.id, visit_id=visit.id, opens_on=at.astimezone(zone).date(),
            corrects_id=inspection_id,
        )
    )
    session.flush()
    _post(session, link, url, electrician, [visit], posting, at=at)
    return _made(session, link, url, [household_id])


def _made(session: SchemeSession, link: InspectionLink, url: str, household_ids: Sequence[str]) -> NewLink:
    """Tell the address of a link only where everything that comes in by it has to wait; that it was told is kept."""
    link.is_told = all(waits_by_address(session, link, each) for each in household_ids)
    session.flush()
    is_to_household = is_household_address(session, link.sent_to, household_ids)
    return NewLink(link, url if link.is_told else None, "" if link.is_told else WITHHELD, is_to_household)


def _agreed_visits(session: SchemeSession, visit_ids: Sequence[str]) -> list[Visit]:
    found: list[Visit] = []
    faults: list[Fault] = []
    for position, visit_id in enumerate(visit_ids):
        visit = session.get(Visit, (session.scheme_id, visit_id), with_for_update=True)
        field = f"visit_ids.{position}"
        if visit is None:
            faults.append(Fault(field, visit_id, "is not a visit of this scheme"))
        elif visit.state != VisitState.DATE_AGREED.value or visit.agreed_on is None:
            faults.append(Fault(field, visit_id, f"is {visit.state}: agree a day first, the home opens on it"))
        else:
            found.append(visit)
    if faults:
        raise Rejected(*faults)
    return found


def _new_link(
    session: SchemeSession,
    kind: LinkKind,
    sent_to: str,
    expires_at: datetime,
    electrician: Electrician | None,
    posting: Posting,
    *,
    by: str | None,
    at: datetime,
) -> tuple[InspectionLink, str]:
    secret = new_secret()
    link = InspectionLink(
        kind=kind.value, token_hash=hash_of(secret), electrician_id=electrician.id if electrician else None,
        sent_to=sent_to, made_at=at, made_by=by, expires_at=expires_at,
    )
    session.add(link)
    session.flush()
    audit(session, account_id=by, action="send", subject_kind="inspection_link", subject_id=link.id, at=at)
    # Behind the #: no server and no log on the way sees it, and no scanner that only fetches can use it.
    return link, f"{posting.base_url.rstrip('/')}/inspect#{secret}"


def _post(
    session: SchemeSession,
    link: InspectionLink,
    url: str,
    electrician: Electrician | None,
    visits: Sequence[Visit],
    posting: Posting,
    *,
    at: datetime,
) -> None:
    scheme = session.get(Scheme, session.scheme_id)
    letter = LinkLetter(
        scheme_name=scheme.name if scheme else "",
        electrician_name=electrician.name if electrician else "",
        url=url,
        days=tuple(sorted({visit.agreed_on for visit in visits if visit.agreed_on is not None})),
        expires_at=link.expires_at,
        zone=ZoneInfo(get_household(session, visits[0].household_id).zone),
        is_correction=link.kind == LinkKind.CORRECTION.value,
    )
    queue(
        session, posting.render(letter), kind=MAIL_KIND, dedupe_key=f"{MAIL_KIND}/{link.id}", recipient=link.sent_to,
        household_id=None, at=at, postmark=posting.postmark,
    )


def _known_by_address(session: SchemeSession, electrician_id: str | None, sent_to: str) -> Electrician | None:
    if electrician_id is None:
        return None
    electrician = session.get(Electrician, (session.scheme_id, electrician_id))
    is_his = electrician is not None and same_mailbox(electrician.email) == same_mailbox(sent_to)
    return electrician if is_his else None


def _first_submitted_at(session: SchemeSession, inspection: Inspection) -> datetime:
    """Return when the first whole result was submitted that this one stands in the place of."""
    first = inspection
    while first.supersedes_id is not None:
        earlier = session.get(Inspection, (session.scheme_id, first.supersedes_id))
        if earlier is None or earlier.is_partial:
            break
        first = earlier
    return first.recorded_at
