"""Sign in and out, know who is asking, create schemes and people, and write the audit trail.

Signing in looks up people across schemes, so it runs in a system session; everything an
account then does runs in a session of its own scheme.
"""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import Boolean, bindparam, delete, select, text, update
from sqlalchemy.exc import OperationalError

from service.accounts.domain import (
    ATTEMPT_WINDOW,
    GUESSES_PER_PLACE,
    SAFETY_OFFICER,
    Duties,
    SessionLife,
    check_password,
    guess_subject,
    new_token,
    normal_email,
    throttle_subjects,
    token_hash,
)
from service.accounts.models import (
    Account,
    AuditEntry,
    Membership,
    Role,
    Scheme,
    SignInAttempt,
    SignInSession,
)
from service.common.errors import Conflict, NotFound, TooMany, Unauthenticated
from service.infrastructure.db.sessions import Database, SchemeSession, SystemSession
from service.infrastructure.db.types import UtcInstant

WRONG = "No account has this e-mail address and password. Check both; passwords are case-sensitive."


@dataclass(frozen=True)
class SignedIn:
    """Who is asking: account, scheme, roles and, for a member, the household."""

    account_id: str
    account_name: str
    email: str
    scheme_id: str
    scheme_name: str
    roles: frozenset[str]
    household_id: str | None
    token_hash: str
    seen_at: datetime


def check_throttle(session: SystemSession, *, email: str, source: str | None, now: datetime) -> None:
    """Refuse a further attempt where the account or the source has failed too often lately.

    Raises
    ------
    TooMany
        With the seconds until the window ends.
    """
    for subject, limit in throttle_subjects(email, source):
        _check_failures(session, subject, limit, "Too many failed sign-ins.", now=now)


def _check_failures(session: SystemSession, subject: str, limit: int, words: str, *, now: datetime) -> None:
    row = session.get(SignInAttempt, subject)
    if row and row.failures >= limit and now < row.window_starts_at + ATTEMPT_WINDOW:
        wait_s = int((row.window_starts_at + ATTEMPT_WINDOW - now).total_seconds()) + 1
        raise TooMany(wait_s, f"{words} Wait {-(-wait_s // 60)} minutes, then try again.")


# One statement a subject: of two failures that read the same count on PostgreSQL, one would be forgotten.
_COUNT_FAILURE = text(
    "INSERT INTO sign_in_attempts (subject, window_starts_at, failures) VALUES (:subject, :now, 1)"
    " ON CONFLICT (subject) DO UPDATE SET"
    " failures = CASE WHEN sign_in_attempts.window_starts_at <= :over THEN 1 ELSE sign_in_attempts.failures + 1 END,"
    " window_starts_at = CASE WHEN sign_in_attempts.window_starts_at <= :over"
    " THEN excluded.window_starts_at ELSE sign_in_attempts.window_starts_at END"
).bindparams(bindparam("now", type_=UtcInstant()), bindparam("over", type_=UtcInstant()))


def note_failure(session: SystemSession, *, email: str, source: str | None, now: datetime) -> None:
    """Count a failed attempt against the account and the source, anew where the last window is over."""
    for subject, _limit in throttle_subjects(email, source):
        _count_failure(session, subject, now=now)


def _count_failure(session: SystemSession, subject: str, *, now: datetime) -> None:
    session.execute(_COUNT_FAILURE, {"subject": subject, "now": now, "over": now - ATTEMPT_WINDOW})


@contextmanager
def slowed_where_guessed(database: Database, place: str | None, *, now: datetime) -> Iterator[None]:
    """Look a secret address up inside: one that opens nothing (``NotFound``) counts against the place it came from.

    What opens something is served whatever else came from there: many people share the address of a network, and a
    secret is far too long to be guessed.

    Raises
    ------
    TooMany
        Of an address that opens nothing, where too many of them came from there lately.  ``place`` of None is
        nowhere: behind a proxy that nobody said to trust everybody would be slowed down.
    """
    if place is None:
        yield
        return
    subject = guess_subject(place)
    try:
        yield
    except NotFound:
        with database.system(write=False) as session:
            _check_failures(session, subject, GUESSES_PER_PLACE, "Too many addresses that open nothing.", now=now)
        # Who guesses must not make others wait: a count that cannot be written at once is left out.
        with suppress(OperationalError), database.system(write=True) as session:
            _count_failure(session, subject, now=now)
        raise


def find_account(session: SystemSession, email: str) -> Account | None:
    """Return the account of an address, signed in or not."""
    return session.scalar(select(Account).where(Account.email == normal_email(email)))


def is_password_right(account: Account | None, password: str, hasher: PasswordHasher, dummy_hash: str) -> bool:
    """Verify a password; an unknown or disabled account costs the same time as a wrong password."""
    known = account.password_hash if account and account.disabled_at is None else dummy_hash
    try:
        hasher.verify(known, password)
    except (VerificationError, InvalidHashError):
        return False
    return known is not dummy_hash


def open_session(session: SystemSession, account: Account, *, now: datetime) -> str:
    """Open a session in the account's (oldest) scheme and return its token.

    Raises
    ------
    Unauthenticated
        If no membership is in force: a leaver's password opens nothing.
    """
    membership = session.scalar(
        select(Membership)
        .where(Membership.account_id == account.id, Membership.ended_at.is_(None))
        .order_by(Membership.since_at, Membership.id)
        .limit(1)
    )
    if membership is None:
        raise Unauthenticated(WRONG)
    token = new_token()
    session.add(
        SignInSession(
            token_hash=token_hash(token),
            account_id=account.id,
            scheme_id=membership.scheme_id,
            created_at=now,
            seen_at=now,
        )
    )
    return token


# Written out: it runs at every request, and building it anew costs more than asking.
_WHO = text(
    "SELECT s.created_at, s.seen_at, s.scheme_id, a.id AS account_id, a.name, a.email, c.name AS scheme_name,"
    " m.role, m.household_id, m.is_safety_officer"
    " FROM sign_in_sessions s"
    " JOIN accounts a ON a.id = s.account_id AND a.disabled_at IS NULL"
    " JOIN schemes c ON c.id = s.scheme_id"
    " JOIN memberships m ON m.scheme_id = s.scheme_id AND m.account_id = s.account_id AND m.ended_at IS NULL"
    " WHERE s.token_hash = :hashed"
).columns(created_at=UtcInstant, seen_at=UtcInstant, is_safety_officer=Boolean)


def who_is(database: Database, token: str, *, life: SessionLife, now: datetime) -> SignedIn | None:
    """Return who holds a token, or None where the session ended or its person left."""
    hashed = token_hash(token)
    rows = database.system_rows(_WHO, {"hashed": hashed})
    if not rows:
        return None
    first = rows[0]
    roles = frozenset(row.role for row in rows)
    if any(row.is_safety_officer for row in rows if row.role == Role.ADMINISTRATOR.value):
        roles |= {SAFETY_OFFICER}
    ends_at = life.ends_at(
        created_at=first.created_at, seen_at=first.seen_at, is_member_only=roles <= {Role.MEMBER.value}
    )
    if now >= ends_at:
        return None
    household_id = next((row.household_id for row in rows if row.household_id), None)
    return SignedIn(
        account_id=first.account_id,
        account_name=first.name,
        email=first.email,
        scheme_id=first.scheme_id,
        scheme_name=first.scheme_name,
        roles=roles,
        household_id=household_id,
        token_hash=hashed,
        seen_at=first.seen_at,
    )


def mark_seen(session: SystemSession, hashed: str, *, now: datetime) -> None:
    """Note that a session was used; callers do so about once a minute, not at each request."""
    session.execute(update(SignInSession).where(SignInSession.token_hash == hashed).values(seen_at=now))


def close_session(session: SystemSession, hashed: str) -> None:
    """End a session on the server; the cookie is worthless from then on."""
    session.execute(delete(SignInSession).where(SignInSession.token_hash == hashed))


def create_scheme(session: SystemSession, *, scheme_id: str, name: str, now: datetime) -> Scheme:
    """Create a tenant."""
    scheme = Scheme(id=scheme_id, name=name, created_at=now)
    session.add(scheme)
    session.flush()
    return scheme


def create_account(
    session: SystemSession, *, email: str, name: str, password: str, hasher: PasswordHasher, now: datetime
) -> Account:
    """Create a person who can sign in.

    Raises
    ------
    Rejected, Conflict
        If the password breaks a rule, or the address has an account already.
    """
    check_password(password)
    if find_account(session, email):
        raise Conflict("An account with this e-mail address exists already.")
    account = Account(email=normal_email(email), name=name.strip(), password_hash=hasher.hash(password), created_at=now)
    session.add(account)
    session.flush()
    return account


def add_membership(
    session: SchemeSession,
    *,
    account_id: str,
    role: Role,
    household_id: str | None,
    now: datetime,
    duties: Duties | None = None,
) -> Membership:
    """Give an account a role in the session's scheme."""
    membership = Membership(account_id=account_id, role=role.value, household_id=household_id, since_at=now)
    if duties is not None:
        membership.is_safety_officer, membership.is_duty_contact = duties.is_safety_officer, duties.is_duty_contact
        membership.telephone = duties.telephone
    session.add(membership)
    return membership


def find_scheme(session: SystemSession, name: str) -> Scheme:
    """Return the scheme of a name.

    Raises
    ------
    NotFound, Conflict
        Conflict where several schemes have the name.
    """
    found = session.scalars(select(Scheme).where(Scheme.name == name.strip()).limit(2)).all()
    if not found:
        raise NotFound("No scheme has this name.")
    if len(found) > 1:
        raise Conflict("More than one scheme has this name.")
    return found[0]


def give_finance_role(session: SchemeSession, account_id: str, *, by: str | None, at: datetime) -> Membership:
    """Let an account see and decide the scheme's claims; ``by`` is None where the operator does it.

    The role opens claims, statements and figures, and nothing of a home.

    Raises
    ------
    Conflict
        Where the account has the role.
    """
    if _finance_membership(session, account_id) is not None:
        raise Conflict("This account has the finance role already.")
    membership = add_membership(session, account_id=account_id, role=Role.FINANCE, household_id=None, now=at)
    audit(
        session, account_id=by, action="give_finance_role", subject_kind="account", subject_id=account_id, at=at,
        fields=("role",),
    )
    return membership


def end_finance_role(session: SchemeSession, account_id: str, *, by: str | None, at: datetime) -> None:
    """End the finance role of an account: what its open sessions could do by it ends at once.

    Raises
    ------
    NotFound
        Where the account does not have the role.
    """
    membership = _finance_membership(session, account_id)
    if membership is None:
        raise NotFound("This account does not have the finance role.")
    membership.ended_at = at
    audit(
        session, account_id=by, action="end_finance_role", subject_kind="account", subject_id=account_id, at=at,
        fields=("ended_at",),
    )


def _finance_membership(session: SchemeSession, account_id: str) -> Membership | None:
    return session.scalar(
        select(Membership)
        .where(
            Membership.account_id == account_id,
            Membership.role == Role.FINANCE.value,
            Membership.ended_at.is_(None),
        )
        .with_for_update()
    )


@dataclass(frozen=True)
class Administrator:
    """Somebody who runs the scheme, with the duties they were given."""

    account_id: str
    name: str
    email: str
    is_safety_officer: bool
    is_duty_contact: bool
    telephone: str


def list_duties(session: SchemeSession) -> list[Administrator]:
    """Return those who run the scheme, by name, with their duties."""
    rows = session.execute(
        select(
            Account.id, Account.name, Account.email, Membership.is_safety_officer, Membership.is_duty_contact,
            Membership.telephone,
        )
        .join(Membership, Membership.account_id == Account.id)
        .where(Membership.role == Role.ADMINISTRATOR.value, Membership.ended_at.is_(None))
        .where(Account.disabled_at.is_(None))
        .order_by(Account.name, Account.id)
    )
    return [Administrator(*row) for row in rows]


def give_duties(session: SchemeSession, account_id: str, duties: Duties, *, by: str, at: datetime) -> Administrator:
    """Set the duties of an administrator; who accepts inspections is named by another than themselves.

    Raises
    ------
    NotFound, Conflict
        Conflict where somebody names themselves the safety officer.
    """
    membership = session.scalar(
        select(Membership)
        .where(
            Membership.account_id == account_id,
            Membership.role == Role.ADMINISTRATOR.value,
            Membership.ended_at.is_(None),
        )
        .with_for_update()
    )
    if membership is None:
        raise NotFound("Nobody by this id runs the scheme.")
    if account_id == by and duties.is_safety_officer and not membership.is_safety_officer:
        raise Conflict("Another administrator must name you the safety officer.")
    membership.is_safety_officer, membership.is_duty_contact = duties.is_safety_officer, duties.is_duty_contact
    membership.telephone = duties.telephone.strip()
    session.flush()
    audit(
        session, account_id=by, action="give_duties", subject_kind="account", subject_id=account_id, at=at,
        fields=("is_safety_officer", "is_duty_contact", "telephone"),
    )
    return next(each for each in list_duties(session) if each.account_id == account_id)


def is_of_household(session: SchemeSession, account_id: str, household_id: str) -> bool:
    """Say whether an account is, or ever was, of a household."""
    found = select(Membership.id).where(Membership.account_id == account_id, Membership.household_id == household_id)
    return session.scalars(found).first() is not None


@dataclass(frozen=True)
class Recipient:
    """A person mail can go to."""

    account_id: str
    name: str
    email: str


def list_members(session: SchemeSession, household_id: str) -> list[Recipient]:
    """Return the people of a household who are in the scheme now."""
    rows = session.execute(
        select(Account.id, Account.name, Account.email)
        .join(Membership, Membership.account_id == Account.id)
        .where(
            Membership.household_id == household_id,
            Membership.role == Role.MEMBER.value,
            Membership.ended_at.is_(None),
            Account.disabled_at.is_(None),
        )
        .order_by(Account.id)
    )
    return [Recipient(*row) for row in rows]


def list_administrators(session: SchemeSession) -> list[Recipient]:
    """Return the people who run the session's scheme."""
    rows = session.execute(
        select(Account.id, Account.name, Account.email)
        .join(Membership, Membership.account_id == Account.id)
        .where(
            Membership.role == Role.ADMINISTRATOR.value,
            Membership.ended_at.is_(None),
            Account.disabled_at.is_(None),
        )
        .order_by(Account.id)
    )
    return [Recipient(*row) for row in rows]


def audit(
    session: SchemeSession,
    *,
    account_id: str | None,
    action: str,
    subject_kind: str,
    subject_id: str,
    at: datetime,
    fields: tuple[str, ...] = (),
) -> None:
    """Append one line to the audit trail in the caller's transaction."""
    session.add(
        AuditEntry(
            happened_at=at,
            account_id=account_id,
            action=action,
            subject_kind=subject_kind,
            subject_id=subject_id,
            fields=list(fields),
        )
    )


def is_audited_within_the_hour(
    session: SchemeSession,
    *,
    account_id: str,
    action: str,
    subject_kind: str,
    subject_id: str,
    at: datetime,
    fields: tuple[str, ...] = (),
) -> bool:
    """Tell whether the trail holds the same line, from the hour before an instant."""
    lines = session.scalars(
        select(AuditEntry).where(
            AuditEntry.happened_at > at - timedelta(hours=1),
            AuditEntry.account_id == account_id,
            AuditEntry.action == action,
            AuditEntry.subject_kind == subject_kind,
            AuditEntry.subject_id == subject_id,
        )
    )
    return any(line.fields == list(fields) for line in lines)


def audit_once_an_hour(session: SchemeSession, **line: Any) -> None:
    """Append a line that repeats at every reading, unless the last hour has it already."""
    if not is_audited_within_the_hour(session, **line):
        audit(session, **line)
