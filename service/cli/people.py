"""People whom the operator lets in: who sees and decides a scheme's claims."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from argon2 import PasswordHasher

from service.accounts import operations
from service.common.errors import Fault, NotFound, Rejected
from service.infrastructure.db.sessions import Database


def add_finance(
    database: Database,
    *,
    scheme_name: str,
    email: str,
    name: str,
    password: Callable[[], str],
    hasher: PasswordHasher,
    now: datetime,
) -> bool:
    """Give a person the finance role, with an account where the address has none; tell whether one was made.

    ``password`` is asked only for a new account: who signs in already keeps theirs.

    Raises
    ------
    NotFound, Conflict, Rejected
        Before anything is stored.
    """
    with database.system(write=False) as session:
        scheme_id = operations.find_scheme(session, scheme_name).id
        known = operations.find_account(session, email)
    if known is None and not name.strip():
        raise Rejected(Fault("name", name, "must be given: the address has no account yet"))
    if known is not None:
        account_id = known.id
    else:
        typed = password()
        with database.system(write=True) as session:
            account_id = operations.create_account(
                session, email=email, name=name, password=typed, hasher=hasher, now=now
            ).id
    with database.scheme(scheme_id, write=True) as scheme_session:
        operations.give_finance_role(scheme_session, account_id, by=None, at=now)
    return known is None


def end_finance(database: Database, *, scheme_name: str, email: str, now: datetime) -> None:
    """End a person's finance role in a scheme.

    Raises
    ------
    NotFound
        Where the scheme, the account or the role is not there.
    """
    with database.system(write=False) as session:
        scheme_id = operations.find_scheme(session, scheme_name).id
        account = operations.find_account(session, email)
    if account is None:
        raise NotFound("No account has this e-mail address.")
    with database.scheme(scheme_id, write=True) as scheme_session:
        operations.end_finance_role(scheme_session, account.id, by=None, at=now)
