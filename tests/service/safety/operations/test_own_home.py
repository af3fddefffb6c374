"""What makes an answer milder is decided by somebody who neither lives in the home nor lived there."""

from collections.abc import Callable
from typing import Any

import pytest
from argon2 import PasswordHasher

from service.accounts.domain import Duties
from service.accounts.models import Role
from service.accounts.operations import add_membership
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.report_details import LeadTestDetails
from service.safety.operations.own_home import OwnHousehold
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect, inspection_details
from tests.factories.visits import MEMBER, person
from tests.service.safety.operations.test_acceptance import waiting
from tests.service.safety.operations.test_overrides import DUE, extension, stricter, visit

OFFICER = Duties(is_safety_officer=True)


@pytest.fixture
def home(database: Database, scheme: str, hasher: PasswordHasher) -> FurnishedHome:
    """A home with a member and an inspection that counts."""
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        inspect(session, home.id, home.outlet_id, next_due_on=DUE)
    person(database, hasher, scheme, MEMBER, Role.MEMBER, home.id)
    return home


@pytest.fixture(params=["who lives there", "who lived there", "a second account of who lives there"])
def insider(request: Any, database: Database, scheme: str, hasher: PasswordHasher, home: FurnishedHome) -> str:
    """The account of a safety officer who has to do with the home."""
    if request.param.startswith("a second"):
        return person(database, hasher, scheme, "Member+desk@Home.example", duties=OFFICER)
    account_id = person(database, hasher, scheme, "officer@scheme.example", duties=OFFICER)
    with database.scheme(scheme, write=True) as session:
        membership = add_membership(session, account_id=account_id, role=Role.MEMBER, household_id=home.id, now=NOON)
        membership.ended_at = NOON if "lived" in request.param else None
    return account_id


def decisions(session: SchemeSession, home: FurnishedHome) -> dict[str, Callable[[str | None], object]]:
    """Return what makes an answer milder, each ready for who decides it."""
    day = NOON.date()
    result = waiting(session, home).id
    found = operations.record_inspection(session, home.id, inspection_details(home.outlet_id, "C2"), **WRITING).id
    booked = visit(session, home)
    decided = operations.make_override(session, home.id, stricter(home, "not_known"), **WRITING).id
    replaced = LeadTestDetails("replacement", is_passed=True, done_at=NOON, tested_by="somebody (invented)")
    return {
        "replace the lead": lambda by: operations.record_lead_test(
            session, home.id, home.lead_id, replaced, by=by, at=NOON
        ),
        "accept": lambda by: operations.accept_inspection(session, home.id, result, by=by or "0" * 32, at=NOON),
        "close": lambda by: operations.close_observation(session, home.id, found, 0, day, by=by, at=NOON),
        "put off": lambda by: operations.make_override(session, home.id, extension(home, booked), by=by, at=NOON),
        "end": lambda by: operations.end_override(session, home.id, decided, by=by, at=NOON),
    }


@pytest.mark.parametrize("what", ["accept", "close", "put off", "end", "replace the lead"])
def test_nobody_makes_the_answer_of_a_home_of_their_own_milder(
    database: Database, scheme: str, home: FurnishedHome, insider: str, what: str
) -> None:
    with database.scheme_session(scheme, write=True) as session:
        decide = decisions(session, home)[what]
        with pytest.raises(OwnHousehold, match="does not live in this home"):
            decide(insider)


def test_somebody_elses_decisions_stand_and_a_stricter_one_anybody_makes(
    database: Database, scheme: str, home: FurnishedHome, hasher: PasswordHasher
) -> None:
    outsider = person(database, hasher, scheme, "elsewhere@scheme.example", duties=OFFICER)
    at_home = person(database, hasher, scheme, "member+desk@home.example", duties=OFFICER)
    with database.scheme_session(scheme, write=True) as session:
        found = decisions(session, home)
        for what in ("put off", "close", "end", "accept", "replace the lead"):
            assert found[what](outsider) is not None
        assert operations.make_override(session, home.id, stricter(home), by=at_home, at=NOON).made_by == at_home
