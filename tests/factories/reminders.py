"""Homes with members and rechecks for tests of reminders: rows written directly, names invented."""

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import select

from service.accounts.models import Account, Membership, Role
from service.households.models import Household, Lead, Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail, Postmark
from service.safety.models import Inspection, Recheck

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
ADDRESS, POSTCODE = "17 Thistle Quay", "ZZ9 4QX"
POSTMARK = Postmark("a secret of at least thirty-two characters", "mail.example")


def add_home(session: SchemeSession, reference: str = "H-1", *, zone: str = "Europe/London") -> str:
    """Add a home and return its id."""
    home = Household(
        reference=reference,
        member_name="Ada Finch",
        address=ADDRESS,
        postcode=POSTCODE,
        zone=zone,
        nation="england",
        created_at=NOON,
    )
    session.add(home)
    session.flush()
    return home.id


def add_person(
    session: SchemeSession, name: str, household_id: str | None, role: Role = Role.MEMBER, **changes: Any
) -> str:
    """Add a person with a role in the scheme and return the account's id."""
    email = f"{name.split()[0].lower()}@people.example"
    account = Account(email=email, name=name, password_hash="!", created_at=NOON)
    session.add(account)
    session.flush()
    session.add(Membership(account_id=account.id, role=role.value, household_id=household_id, since_at=NOON, **changes))
    session.flush()
    return account.id


def add_outlet(session: SchemeSession, household_id: str, label: str = "Drive socket") -> str:
    """Add an outlet and return its id."""
    outlet = Outlet(household_id=household_id, ordinal=1, label=label, kind="socket_13a", limit_a=10)
    session.add(outlet)
    session.flush()
    return outlet.id


def add_lead(session: SchemeSession, household_id: str, label: str = "Blue lead") -> str:
    """Add a lead and return its id."""
    lead = Lead(household_id=household_id, label=label, kind="mode_2", rated_a=10, set_a=10)
    session.add(lead)
    session.flush()
    return lead.id


def add_recheck(
    session: SchemeSession,
    household_id: str,
    item_id: str,
    due_on: date,
    *,
    kind: str = "lead",
    inspected_on: date | None = None,
    rule_name: str = "",
) -> str:
    """Add an open recheck, of an outlet with the inspection that set its date; return its id."""
    if inspected_on is not None:
        session.add(
            Inspection(
                household_id=household_id,
                outlet_id=item_id,
                inspected_on=inspected_on,
                next_due_on=due_on,
                certificate_number="C-1",
                electrician="Rowan Ellery",
                recorded_at=NOON,
            )
        )
    recheck = Recheck(
        household_id=household_id, item_kind=kind, item_id=item_id, due_on=due_on, rule="look at it every so often",
        rule_name=rule_name, interval_days=(due_on - inspected_on).days if inspected_on else None,
    )
    session.add(recheck)
    session.flush()
    return recheck.id


def queued_mail(session: SchemeSession) -> list[Mail]:
    """Return the queued messages, oldest first."""
    session.flush()
    return list(session.scalars(select(Mail).order_by(Mail.queued_at, Mail.dedupe_key)))
