"""Who may accept or refuse a result, against what, and what follows."""

from datetime import date
from typing import Any

import pytest
from argon2 import PasswordHasher

from service.accounts.domain import Duties
from service.accounts.models import Role
from service.common.errors import Conflict, Forbidden, Rejected
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.inspection_answers import InspectionAnswers
from service.safety.models import Inspection, Visit
from tests.factories.households import NOON, FurnishedHome, furnished_home
from tests.factories.safety import claim, document
from tests.factories.visits import agreed_visit, person, sent_link
from tests.service.safety.operations.test_submissions import results

OFFICER = "0" * 32
DECIDING: dict[str, Any] = {"by": OFFICER, "at": NOON}


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    return furnished_home(session)


def waiting(session: SchemeSession, home: FurnishedHome, **changes: Any) -> Inspection:
    """Return a result that came by a link to nobody on the list."""
    visit = agreed_visit(session, home)
    link = sent_link(session, visit).link
    sent = results(home.outlet_id, **{"file_id": document(session, home.id), **changes})
    (view,) = operations.submit(session, link.id, visit.id, sent, at=NOON).inspections
    return session.get_one(Inspection, (session.scheme_id, view.id))


def test_accepted_it_ends_its_visit_and_asked_twice_nothing_moves(session: SchemeSession, home: FurnishedHome) -> None:
    row = waiting(session, home)
    for _ in range(2):
        operations.accept_inspection(session, home.id, row.id, **DECIDING)
    assert (row.acceptance_ground, row.accepted_by, row.accepted_at) == ("officer", OFFICER, NOON)
    visit = session.get_one(Visit, (session.scheme_id, row.visit_id))
    assert (visit.state, visit.ended_at) == ("accepted", NOON)
    with pytest.raises(Conflict, match="accepted"):
        operations.refuse_inspection(session, home.id, row.id, "a reason", **DECIDING)


def test_a_typed_date_is_a_claim_that_nobody_accepts(session: SchemeSession, home: FurnishedHome) -> None:
    view = claim(session, home.id, home.outlet_id)
    assert view.source == "typed"
    with pytest.raises(Conflict, match="claim"):
        operations.accept_inspection(session, home.id, view.id, **DECIDING)


def test_typed_with_document_and_answers_it_waits_for_a_safety_officer(
    session: SchemeSession, home: FurnishedHome
) -> None:
    view = claim(session, home.id, home.outlet_id, file_id=document(session, home.id), answers=InspectionAnswers())
    assert (view.source, view.accepted_at) == ("officer", None)
    assert operations.accept_inspection(session, home.id, view.id, **DECIDING).acceptance_ground == "officer"


def test_without_document_partial_refused_or_superseded_it_cannot_be_accepted(
    session: SchemeSession, home: FurnishedHome
) -> None:
    row = waiting(session, home)
    for name, value, words in (
        ("file_id", None, "no document"),
        ("is_partial", True, "still to come"),
        ("refused_at", NOON, "refused"),
        ("superseded_at", NOON, "taken the place"),
    ):
        before = getattr(row, name)
        setattr(row, name, value)
        with pytest.raises(Conflict, match=words):
            operations.accept_inspection(session, home.id, row.id, **DECIDING)
        setattr(row, name, before)


def test_a_refusal_has_a_reason_and_what_was_found_keeps_stopping(session: SchemeSession, home: FurnishedHome) -> None:
    row = waiting(session, home, observations=[{"code": "C1"}])
    with pytest.raises(Rejected):
        operations.refuse_inspection(session, home.id, row.id, " ", **DECIDING)
    for _ in range(2):
        view = operations.refuse_inspection(session, home.id, row.id, "not this home's certificate", **DECIDING)
    assert (view.refused_at, view.refusal_reason) == (NOON, "not this home's certificate")
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    assert outlet.clearance == "do_not_use"
    waiting_rows, count = operations.list_decided(session, state="refused", first=0, limit=9)
    assert ([each.id for each in waiting_rows], count) == ([row.id], 1)


def test_nobody_decides_about_a_home_they_live_or_lived_in(
    database: Database, scheme: str, hasher: PasswordHasher
) -> None:
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        row_id = waiting(session, home).id
    officer = person(database, hasher, scheme, "o@scheme.example", duties=Duties(is_safety_officer=True))
    with database.scheme(scheme, write=True) as session:
        from service.accounts.operations import add_membership

        membership = add_membership(
            session, account_id=officer, role=Role.MEMBER, household_id=home.id, now=NOON
        )
        membership.ended_at = NOON
    with database.scheme(scheme, write=True) as session:
        for decide in (
            lambda: operations.accept_inspection(session, home.id, row_id, by=officer, at=NOON),
            lambda: operations.refuse_inspection(session, home.id, row_id, "a reason", by=officer, at=NOON),
        ):
            with pytest.raises(Forbidden, match="live in this home"):
                decide()


def test_a_visit_ends_only_when_all_of_its_outlets_are_accepted(session: SchemeSession, home: FurnishedHome) -> None:
    row = waiting(session, home)
    other = claim(session, home.id, home.outlet_id, inspected_on=date(2026, 11, 1))
    session.get_one(Inspection, (session.scheme_id, other.id)).visit_id = row.visit_id
    operations.accept_inspection(session, home.id, row.id, **DECIDING)
    assert session.get_one(Visit, (session.scheme_id, row.visit_id)).state == "recorded"
