"""The scheme's links as its list shows them, and which of them went to somebody who lives in a home of theirs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, select, update

from service.accounts.models import Account, Membership, Role
from service.accounts.operations import audit
from service.common.errors import NotFound
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession, SystemSession
from service.infrastructure.mail.queue import Mail
from service.safety.domain.link_rules import is_address_of_home
from service.safety.models import Electrician, InspectionLink, LinkedVisit

MAIL_KIND = "inspection_link"
_OVER = ("sent", "refused", "given_up", "suppressed")


@dataclass(frozen=True)
class LinkedHome:
    """One visit of a link, as the scheme sees it."""

    visit_id: str
    household_id: str
    reference: str
    opens_on: date
    spent_at: datetime | None


@dataclass(frozen=True)
class LinkView:
    """A link as the scheme's list shows it; nobody can read the secret again."""

    id: str
    kind: str
    state: str
    sent_to: str
    electrician_id: str | None
    electrician_name: str
    made_at: datetime
    expires_at: datetime
    revoked_at: datetime | None
    is_household_address: bool
    visits: tuple[LinkedHome, ...]


def revoke_link(session: SchemeSession, link_id: str, *, by: str | None, at: datetime) -> LinkView:
    """End a link at once; asked twice, done once.  Raises ``NotFound``."""
    link = session.get(InspectionLink, (session.scheme_id, link_id), with_for_update=True)
    if link is None:
        raise NotFound("No such link.")
    if link.revoked_at is None:
        link.revoked_at = at
        session.flush()
        audit(session, account_id=by, action="revoke", subject_kind="inspection_link", subject_id=link_id, at=at)
    return _views(session, [link], at)[0]


def list_links(session: SchemeSession, *, first: int, limit: int, at: datetime) -> tuple[list[LinkView], int]:
    """Return some links, the newest first, and how many there are."""
    total = session.scalar(select(func.count()).select_from(InspectionLink)) or 0
    links = session.scalars(
        select(InspectionLink)
        .order_by(InspectionLink.made_at.desc(), InspectionLink.id)
        .offset(first)
        .limit(limit)
    ).all()
    return _views(session, links, at), total


def forget_sent_secrets(session: SystemSession) -> int:
    """Blank the messages that carried a link, once they are sent or given up: they are all that holds its secret."""
    done = session.execute(
        update(Mail)
        .where(Mail.kind == MAIL_KIND, Mail.status.in_(_OVER), Mail.text != "")
        .values(text="", html="")
        .execution_options(synchronize_session=False)
    )
    return int(done.rowcount)  # type: ignore[attr-defined]


def home_addresses(session: SchemeSession, household_id: str) -> list[str]:
    """Return the addresses of everybody who is or was of a home; who left it may still live there."""
    return list(
        session.scalars(
            select(Account.email)
            .join(Membership, Membership.account_id == Account.id)
            .where(Membership.household_id == household_id)
        )
    )


def administrator_addresses(session: SchemeSession) -> list[str]:
    """Return the addresses of everybody who runs the scheme, or did: who keeps the list does not accept by it."""
    return list(
        session.scalars(
            select(Account.email)
            .join(Membership, Membership.account_id == Account.id)
            .where(Membership.role == Role.ADMINISTRATOR.value)
        )
    )


def is_household_address(session: SchemeSession, sent_to: str, household_ids: Iterable[str]) -> bool:
    return any(is_address_of_home(sent_to, home_addresses(session, each)) for each in sorted(set(household_ids)))


def _views(session: SchemeSession, links: Sequence[InspectionLink], at: datetime) -> list[LinkView]:
    names = dict(
        session.execute(
            select(Electrician.id, Electrician.name).where(
                Electrician.id.in_([link.electrician_id for link in links if link.electrician_id])
            )
        ).all()
    )
    homes: dict[str, list[LinkedHome]] = {}
    for linked, reference in session.execute(
        select(LinkedVisit, Household.reference)
        .join(Household, Household.id == LinkedVisit.household_id)
        .where(LinkedVisit.link_id.in_([link.id for link in links]))
        .order_by(LinkedVisit.opens_on, Household.reference)
    ):
        homes.setdefault(linked.link_id, []).append(
            LinkedHome(linked.visit_id, linked.household_id, reference, linked.opens_on, linked.spent_at)
        )
    return [
        LinkView(
            id=link.id, kind=link.kind, state=_state(link, homes.get(link.id, []), at), sent_to=link.sent_to,
            electrician_id=link.electrician_id, electrician_name=names.get(link.electrician_id or "", ""),
            made_at=link.made_at, expires_at=link.expires_at, revoked_at=link.revoked_at,
            is_household_address=is_household_address(
                session, link.sent_to, [home.household_id for home in homes.get(link.id, [])]
            ),
            visits=tuple(homes.get(link.id, ())),
        )
        for link in links
    ]


def _state(link: InspectionLink, homes: Sequence[LinkedHome], at: datetime) -> str:
    if link.revoked_at is not None:
        return "revoked"
    if homes and all(home.spent_at is not None for home in homes):
        return "spent"
    return "expired" if at >= link.expires_at else "open"
