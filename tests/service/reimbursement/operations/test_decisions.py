"""Many claims decided in one go."""

from datetime import date
from decimal import Decimal

import pytest
from sqlalchemy import select

from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.reckoning import reckon
from service.reimbursement.models import Claim
from service.reimbursement.operations import decisions, statements
from tests.conftest import NOON
from tests.factories.claims import claim, trip
from tests.factories.reminders import add_home, add_person
from tests.factories.tariffs import counted_statements

pytestmark = pytest.mark.both_databases
MEMBERS = 300


def test_three_hundred_members_are_approved_and_stated_in_a_few_statements(session: SchemeSession) -> None:
    home = add_home(session)
    decider = add_person(session, "Bo Finch", home)
    member = add_person(session, "Ada Finch", home)
    frozen = reckon(claim("2026-06", [trip(date(2026, 6, 1), "100")])).to_json()
    # One member stands for many: what is counted here is statements.
    rows = [
        Claim(
            account_id=member, household_id=home, month_on=date(2026, 6, 1), ordinal=place + 1, state="sent",
            miles=Decimal(100), total_pence=5500, reckoning=frozen, created_at=NOON, sent_at=NOON,
        )
        for place in range(MEMBERS)
    ]  # fmt: skip
    session.add_all(rows)
    session.flush()
    with counted_statements(session) as kept:
        done = decisions.approve_many(session, {row.id: row.version for row in rows}, by=decider, at=NOON)
        session.flush()
    assert (len(done.approved), done.failed, done.total_pence) == (MEMBERS, [], MEMBERS * 5500)
    assert len(kept) < 20
    assert len([row for row in session.scalars(select(Event)) if row.name == "ClaimDecided"]) == MEMBERS
    with counted_statements(session) as kept:
        stated = statements.make_statement(session, Month.read("2026-06"), by=decider, at=NOON)
    assert (stated.row.claim_count, stated.row.total_pence) == (MEMBERS, MEMBERS * 5500)
    assert len(kept) < 20
