"""Whoever claimed is told once for each time that their claim was asked about or decided."""

from datetime import date
from decimal import Decimal
from functools import partial

from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.events import ClaimDecided, ClaimQueried
from service.reimbursement.models import Claim
from service.reminders import operations
from service.reminders.emails import claim_news
from tests.factories.reminders import NOON, POSTMARK, add_home, add_person, queued_mail

render = partial(claim_news, base_url="https://charging.example")


def tell(session: SchemeSession, event: ClaimQueried | ClaimDecided) -> int:
    count = operations.tell_claim_news(session, event, at=NOON, render=render, postmark=POSTMARK)
    session.flush()
    return count


def test_each_question_and_each_decision_is_told_once_to_the_member_alone(session: SchemeSession) -> None:
    home = add_home(session)
    member = add_person(session, "Ada Finch", home)
    add_person(session, "Bo Finch", home)
    claim = Claim(
        account_id=member, household_id=home, month_on=date(2026, 10, 1), ordinal=1, state="sent",
        miles=Decimal(10), total_pence=550, created_at=NOON,
    )  # fmt: skip
    session.add(claim)
    session.flush()
    events = [
        ClaimQueried(claim.id, "a" * 32), ClaimQueried(claim.id, "b" * 32),
        ClaimDecided(claim.id, is_approved=False, decided_ms=1), ClaimDecided(claim.id, is_approved=True, decided_ms=2),
    ]  # fmt: skip
    assert [tell(session, event) for event in [*events, *events]] == [1, 1, 1, 1, 0, 0, 0, 0]
    mail = queued_mail(session)
    assert {row.recipient for row in mail} == {"ada@people.example"}
    assert len({row.subject for row in mail}) == 3


def test_a_claim_that_is_gone_is_told_to_nobody(session: SchemeSession) -> None:
    assert tell(session, ClaimQueried("0" * 32, "a" * 32)) == 0
