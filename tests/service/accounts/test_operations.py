"""Failed sign-ins are counted exactly, also where many fail at the same moment."""

from datetime import timedelta

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.domain import ATTEMPT_WINDOW, ATTEMPTS_PER_ACCOUNT_AND_SOURCE, Duties, SessionLife
from service.accounts.models import AuditEntry, Membership, Role, SignInAttempt
from service.accounts.operations import (
    add_membership,
    check_throttle,
    end_finance_role,
    find_account,
    give_duties,
    give_finance_role,
    note_failure,
    open_session,
    who_is,
)
from service.common.errors import Conflict, NotFound, Rejected, TooMany
from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.households import furnished_home
from tests.factories.threads import at_once
from tests.factories.visits import person

pytestmark = pytest.mark.both_databases


def fail(database: Database, *, email: str = "ada@home.example", minutes: float = 0) -> None:
    with database.system(write=True) as session:
        note_failure(session, email=email, source="192.0.2.1", now=NOON + timedelta(minutes=minutes))


def failures(database: Database) -> dict[str, list[int]]:
    """Return the counts by what they count against: an account, a source, or both together."""
    found: dict[str, list[int]] = {"account": [], "both": [], "source": []}
    with database.system(write=False) as session:
        for subject, count in session.execute(select(SignInAttempt.subject, SignInAttempt.failures)):
            found[subject.partition(":")[0]].append(count)
    return found


def test_failures_at_the_same_moment_are_all_counted(database: Database) -> None:
    at_once(8, lambda _: [fail(database) for _again in range(5)])
    assert failures(database) == {"account": [40], "both": [40], "source": [40]}


def test_a_source_is_counted_over_all_accounts(database: Database) -> None:
    at_once(4, lambda number: fail(database, email=f"person{number}@home.example"))
    assert failures(database) == {"account": [1] * 4, "both": [1] * 4, "source": [4]}


def test_a_window_that_is_over_begins_anew(database: Database) -> None:
    minutes = ATTEMPT_WINDOW / timedelta(minutes=1)
    fail(database)
    fail(database, minutes=minutes - 0.1)
    assert failures(database) == {"account": [2], "both": [2], "source": [2]}
    fail(database, minutes=minutes)
    assert failures(database) == {"account": [1], "both": [1], "source": [1]}
    with database.system(write=False) as session:
        starts = set(session.scalars(select(SignInAttempt.window_starts_at)))
    assert starts == {NOON + ATTEMPT_WINDOW}


def test_the_last_attempt_that_is_allowed_fills_the_window(database: Database) -> None:
    for _ in range(ATTEMPTS_PER_ACCOUNT_AND_SOURCE):
        with database.system(write=False) as session:
            check_throttle(session, email="ada@home.example", source="192.0.2.1", now=NOON)
        fail(database)
    with database.system(write=False) as session, pytest.raises(TooMany):
        check_throttle(session, email="ada@home.example", source="192.0.2.1", now=NOON)


@pytest.fixture
def people(database: Database, scheme: str, hasher: PasswordHasher) -> tuple[str, str]:
    """Two administrators of the scheme."""
    first, second = (person(database, hasher, scheme, f"{name}@scheme.example") for name in ("first", "second"))
    return first, second


def test_a_safety_officer_is_named_by_another_administrator(
    database: Database, scheme: str, people: tuple[str, str]
) -> None:
    first, second = people
    officer = Duties(is_safety_officer=True)
    with database.scheme(scheme, write=True) as session:
        with pytest.raises(Conflict, match="Another administrator"):
            give_duties(session, first, officer, by=first, at=NOON)
        assert give_duties(session, first, officer, by=second, at=NOON).is_safety_officer
        # One who is it already may change the rest of their own entry.
        duties = Duties(is_safety_officer=True, is_duty_contact=True, telephone="+44 1632 960 001")
        assert give_duties(session, first, duties, by=first, at=NOON).is_duty_contact
        with pytest.raises(NotFound):
            give_duties(session, "f" * 32, officer, by=first, at=NOON)


@pytest.mark.parametrize(
    "duties", [{"is_duty_contact": True}, {"telephone": "ring me"}, {"telephone": "1"}, {"telephone": "0" * 41}]
)
def test_the_duty_contact_has_a_number_that_can_be_rung(duties: dict[str, object]) -> None:
    with pytest.raises(Rejected) as refused:
        Duties(**duties)  # type: ignore[arg-type]
    assert [fault.field for fault in refused.value.faults] == ["telephone"]


def test_only_an_administrator_with_the_duty_is_a_safety_officer(
    database: Database, scheme: str, hasher: PasswordHasher
) -> None:
    life = SessionLife(timedelta(hours=1), timedelta(hours=1), timedelta(hours=1))
    officer = Duties(is_safety_officer=True)
    with database.scheme(scheme, write=True) as session:
        home_id = furnished_home(session).id
    roles = {}
    for email, role, household_id in (("o@x.example", Role.ADMINISTRATOR, None), ("m@x.example", Role.MEMBER, home_id)):
        person(database, hasher, scheme, email, role, household_id, officer)
        with database.system(write=True) as system:
            account = find_account(system, email)
            assert account is not None
            token = open_session(system, account, now=NOON)
        who = who_is(database, token, life=life, now=NOON)
        assert who is not None
        roles[email] = who.roles
    assert roles == {"o@x.example": {"administrator", "safety_officer"}, "m@x.example": {"member"}}


def test_the_finance_role_is_given_once_ended_and_given_again(
    database: Database, scheme: str, people: tuple[str, str]
) -> None:
    account_id, by = people
    with database.scheme(scheme, write=True) as session:
        give_finance_role(session, account_id, by=by, at=NOON)
        with pytest.raises(Conflict, match="already"):
            give_finance_role(session, account_id, by=by, at=NOON)
        end_finance_role(session, account_id, by=by, at=NOON + timedelta(days=1))
        with pytest.raises(NotFound):
            end_finance_role(session, account_id, by=by, at=NOON)
        give_finance_role(session, account_id, by=None, at=NOON + timedelta(days=2))
        stored = session.execute(
            select(Membership.since_at, Membership.ended_at)
            .where(Membership.role == Role.FINANCE.value)
            .order_by(Membership.since_at)
        ).all()
        trail = session.execute(
            select(AuditEntry.action, AuditEntry.account_id)
            .where(AuditEntry.subject_id == account_id)
            .order_by(AuditEntry.happened_at)
        ).all()
    day = timedelta(days=1)
    assert [tuple(row) for row in stored] == [(NOON, NOON + day), (NOON + 2 * day, None)]
    assert [tuple(row) for row in trail] == [
        ("give_finance_role", by), ("end_finance_role", by), ("give_finance_role", None),
    ]


def test_ending_the_finance_role_leaves_the_other_roles_of_an_open_session(
    database: Database, scheme: str, people: tuple[str, str]
) -> None:
    account_id, by = people
    life = SessionLife(timedelta(hours=1), timedelta(hours=1), timedelta(hours=1))
    with database.scheme(scheme, write=True) as session:
        give_finance_role(session, account_id, by=by, at=NOON)
    with database.system(write=True) as system:
        account = find_account(system, "first@scheme.example")
        assert account is not None
        token = open_session(system, account, now=NOON)
    roles = []
    for _ in range(2):
        who = who_is(database, token, life=life, now=NOON)
        assert who is not None
        roles.append(who.roles)
        with database.scheme(scheme, write=True) as session:
            if len(roles) == 1:
                end_finance_role(session, account_id, by=by, at=NOON)
    assert roles == [{"administrator", "finance"}, {"administrator"}]


@pytest.mark.parametrize(
    ("roles", "idle"),
    [
        ((Role.MEMBER,), timedelta(hours=8)),
        ((Role.FINANCE,), timedelta(minutes=30)),
        ((Role.MEMBER, Role.FINANCE), timedelta(minutes=30)),
        ((Role.ADMINISTRATOR,), timedelta(minutes=30)),
    ],
)
def test_a_session_that_sees_more_than_its_own_home_ends_sooner(
    database: Database, scheme: str, hasher: PasswordHasher, roles: tuple[Role, ...], idle: timedelta
) -> None:
    life = SessionLife(timedelta(minutes=30), timedelta(hours=8), timedelta(hours=12))
    with database.scheme(scheme, write=True) as session:
        home_id = furnished_home(session).id
    first, *others = roles
    home_of = {Role.MEMBER: home_id}
    account_id = person(database, hasher, scheme, "p@x.example", first, home_of.get(first))
    with database.scheme(scheme, write=True) as session:
        for role in others:
            add_membership(session, account_id=account_id, role=role, household_id=home_of.get(role), now=NOON)
    with database.system(write=True) as system:
        account = find_account(system, "p@x.example")
        assert account is not None
        token = open_session(system, account, now=NOON)
    last = NOON + idle - timedelta(seconds=1)
    assert who_is(database, token, life=life, now=last) is not None
    assert who_is(database, token, life=life, now=last + timedelta(seconds=1)) is None
