"""Signing in and out over HTTP; the cookie is the only credential a browser holds."""

import contextlib
from datetime import timedelta
from typing import Any

from flask import Response, g, request
from flask.views import MethodView
from sqlalchemy.exc import OperationalError

from service.accounts import operations
from service.accounts.domain import Duties, SessionLife
from service.accounts.schemas import (
    AdministratorListSchema,
    AdministratorSchema,
    DutiesSchema,
    SessionSchema,
    SignInSchema,
)
from service.common.errors import Unauthenticated
from service.infrastructure.http.access import Principal, principal, requires
from service.infrastructure.http.bodies import ApiBlueprint
from service.infrastructure.http.conventions import SESSION_COOKIE
from service.infrastructure.http.places import caller_place
from service.infrastructure.http.transactions import idempotent, now, scheme_session, services

COOKIE = SESSION_COOKIE
SEEN_EVERY = timedelta(minutes=1)

blueprint = ApiBlueprint("session", __name__, description="Sign in, see who is signed in, sign out.")


def _life() -> SessionLife:
    settings = services().settings
    return SessionLife(
        idle_administrator=timedelta(seconds=settings.session_idle_s_administrator),
        idle_member=timedelta(seconds=settings.session_idle_s_member),
        absolute=timedelta(seconds=settings.session_absolute_s),
    )


def authenticate() -> Principal | None:
    """Return the principal of the request's cookie, and note now and then that it was used."""
    token = request.cookies.get(COOKIE)
    if not token:
        return None
    database = services().database
    who = operations.who_is(database, token, life=_life(), now=now())
    if who is None:
        return None
    if now() - who.seen_at >= SEEN_EVERY:
        # A reader must not wait for, or fail over, a note that the next request can make as well.
        with contextlib.suppress(OperationalError), database.system(write=True) as session:
            operations.mark_seen(session, who.token_hash, now=now())
    g.signed_in = who
    return Principal(who.account_id, who.scheme_id, who.roles, who.household_id, who.token_hash)


def _shown(who: operations.SignedIn) -> dict[str, object]:
    return {
        "account": {"name": who.account_name, "email": who.email},
        "scheme": {"id": who.scheme_id, "name": who.scheme_name},
        "roles": sorted(who.roles),
        "household_id": who.household_id,
        "demo_mail": services().settings.is_demo,
    }


def _with_cookie(reply: Response, token: str) -> Response:
    reply.set_cookie(COOKIE, token, secure=True, httponly=True, samesite="Strict", path="/")
    return reply


@blueprint.route("/session")
class SessionView(MethodView):
    """The one session of this browser."""

    @requires(public=True)
    @blueprint.arguments(SignInSchema)
    @blueprint.response(200, SessionSchema)
    @blueprint.alt_response(401, description="No account has this address and password")
    @blueprint.alt_response(429, description="Too many failed attempts; Retry-After says how long to wait")
    def post(self, credentials: dict[str, str]) -> object:
        """Sign in; the reply sets the session cookie and any earlier session of this browser ends."""
        token = _sign_in(credentials["email"], credentials["password"])
        who = operations.who_is(services().database, token, life=_life(), now=now())
        if who is None:  # ended between the two transactions
            raise Unauthenticated(operations.WRONG)
        g.new_token = token
        return _shown(who)

    @requires("administrator", "member", "finance")
    @blueprint.response(200, SessionSchema)
    def get(self) -> object:
        """Say who is signed in."""
        principal()
        return _shown(g.signed_in)

    @requires("administrator", "member", "finance")
    @blueprint.response(204)
    def delete(self) -> None:
        """Sign out: the session ends on the server, whoever holds the cookie."""
        with services().database.system(write=True) as session:
            operations.close_session(session, principal().session_id)
        g.forget_token = True


@blueprint.route("/administrators")
class AdministratorsView(MethodView):
    """Those who run the scheme."""

    @requires("administrator")
    @blueprint.response(200, AdministratorListSchema)
    def get(self) -> object:
        """List those who run the scheme, with their duties."""
        return {"items": operations.list_duties(scheme_session())}


@blueprint.route("/administrators/<id:account_id>/duties")
class DutiesView(MethodView):
    """What one of them does for safety."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(DutiesSchema)
    @blueprint.response(200, AdministratorSchema)
    @blueprint.alt_response(404, description="Nobody by this id runs the scheme")
    @blueprint.alt_response(409, description="Nobody names themselves the safety officer")
    def post(self, values: dict[str, Any], account_id: str) -> object:
        """Set the duties of an administrator; the safety officer is named by another than themselves."""
        return operations.give_duties(
            scheme_session(), account_id, Duties(**values), by=principal().account_id, at=now()
        )


def _sign_in(email: str, password: str) -> str:
    """Check the password and open a session; every failure counts and reads the same."""
    shop, source = services(), caller_place()
    with shop.database.system(write=False) as session:
        operations.check_throttle(session, email=email, source=source, now=now())
        account = operations.find_account(session, email)
    # The slow part runs outside any transaction: it must not hold the write lock.
    is_right = operations.is_password_right(account, password, shop.hasher, shop.dummy_hash)
    with shop.database.system(write=True) as session:
        if not is_right or account is None:
            operations.note_failure(session, email=email, source=source, now=now())
        else:
            old = request.cookies.get(COOKIE)
            if old:
                operations.close_session(session, operations.token_hash(old))
            token = operations.open_session(session, account, now=now())
    if not is_right or account is None:
        raise Unauthenticated(operations.WRONG)
    return token


@blueprint.after_app_request
def _cookies(reply: Response) -> Response:
    if g.get("new_token"):
        return _with_cookie(reply, g.new_token)
    if g.get("forget_token"):
        reply.delete_cookie(COOKIE, secure=True, httponly=True, samesite="Strict", path="/")
    return reply
