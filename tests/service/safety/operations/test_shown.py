"""What stood on whose screen: kept once for as long as it stays the same."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select

from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.report_details import IncidentDetails
from service.safety.models import ShownAnswer
from service.safety.operations import SafetyAnswer
from tests.factories.households import NOON, FurnishedHome, furnished_home
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

ADA, BO = "a" * 32, "b" * 32
HOUR = timedelta(hours=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home that may charge."""
    made = furnished_home(session)
    inspect(session, made.id, made.outlet_id)
    return made


def answers(session: SchemeSession, home: FurnishedHome, hours: int = 0) -> tuple[SafetyAnswer, ...]:
    found = operations.home_clearance(session, home.id, at=NOON + hours * HOUR)
    return operations.answers_to_show(found.outlets, found.leads)


def show(session: SchemeSession, home: FurnishedHome, who: str, hours: int = 0) -> int:
    count = operations.note_shown(
        session, home.id, answers(session, home, hours), account_id=who, at=NOON + hours * HOUR
    )
    session.flush()
    return count


def stop(session: SchemeSession, home: FurnishedHome, hours: int) -> str:
    details = IncidentDetails("scorch", home.outlet_id, home.lead_id, None, "")
    return operations.report_incident(session, home.id, details, by=None, at=NOON + hours * HOUR)


def test_the_same_answer_is_kept_once(session: SchemeSession, home: FurnishedHome) -> None:
    assert [show(session, home, ADA, hours) for hours in (0, 1, 2)] == [2, 0, 0]


def test_each_person_has_their_own_line(session: SchemeSession, home: FurnishedHome) -> None:
    assert [show(session, home, ADA), show(session, home, BO)] == [2, 2]


def test_a_changed_answer_is_kept_with_its_words(session: SchemeSession, home: FurnishedHome) -> None:
    show(session, home, ADA)
    stop(session, home, 1)
    assert show(session, home, ADA, 1) == 2
    newest = session.scalars(
        select(ShownAnswer).where(ShownAnswer.item_kind == "outlet").order_by(ShownAnswer.shown_at.desc())
    ).first()
    found = operations.home_clearance(session, home.id, at=NOON + HOUR).outlets[0]
    assert newest is not None
    assert (newest.clearance, newest.answer["evidence"]) == (found.clearance.value, found.evidence)
    assert newest.answer["missing"] == list(found.missing)


def test_an_answer_that_comes_back_is_kept_again(session: SchemeSession, home: FurnishedHome) -> None:
    show(session, home, ADA)
    first = answers(session, home)
    other = tuple(SafetyAnswer(one.item_kind, one.item_id, "not_known", {}) for one in first)
    counts = [
        operations.note_shown(session, home.id, shown, account_id=ADA, at=NOON + hours * HOUR)
        for hours, shown in ((1, other), (2, first))
    ]
    assert counts == [2, 2]


def test_another_homes_answers_are_not_mixed_in(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    show(session, home, ADA)
    assert show(session, other, ADA) == 2
