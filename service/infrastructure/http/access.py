"""Who may call what: every operation declares its roles, and what declares nothing answers nobody.

``requires`` leaves a mark on the view and in the OpenAPI operation (``x-roles``); one hook before each request
reads the mark, asks the authenticator that accounts registered for the principal, and compares.  The app's start
fails while any route lacks a mark.
"""

from __future__ import annotations

import http
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, TypeVar

from flask import Flask, current_app, g, request

from service.common.errors import Forbidden, NotFound, Unauthenticated
from service.infrastructure.http.bodies import view_of

ROLES = ("administrator", "member", "safety_officer", "finance", "electrician")
LINK_ROLE = "electrician"
"""Held by whoever shows the secret of an inspection link in its header: no cookie gives it, it gives nothing else."""

EXTENSION = "plugward-authenticator"
LINK_EXTENSION = "plugward-link-authenticator"
View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Principal:
    """The signed-in account, as one session knows it; ``household_id`` is the member's own home.

    Of an electrician ``link_id`` names the link; there is no account, and the link's id stands in for one.
    """

    account_id: str
    scheme_id: str
    roles: frozenset[str]
    household_id: str | None
    session_id: str
    link_id: str | None = None

    def has(self, role: str) -> bool:
        """Say whether the account holds the role in this scheme."""
        return role in self.roles


@dataclass(frozen=True)
class Policy:
    """What an operation asks of its caller: any one of the roles, or nothing where public."""

    roles: frozenset[str]
    is_public: bool

    @property
    def is_by_link(self) -> bool:
        """Say whether only the secret of a link opens it, in a header; a cookie is then not looked at."""
        return LINK_ROLE in self.roles


@dataclass(frozen=True)
class Operation:
    """One cell row of the access table: a method at a rule, with its policy if it declares one."""

    endpoint: str
    rule: str
    method: str
    policy: Policy | None


class UndeclaredAccessError(RuntimeError):
    """An operation does not say who may call it."""


def requires(*roles: str, public: bool = False) -> Callable[[View], View]:
    """Declare that any one of ``roles`` may call the view, or anybody where ``public``.

    Goes anywhere among the decorators of a function or a MethodView's method: the check runs before the request
    is read, so a caller without the role learns nothing about the input.
    """
    if public == bool(roles) or not set(roles) <= set(ROLES) or (LINK_ROLE in roles and len(roles) > 1):
        raise ValueError(f"requires() takes roles out of {ROLES}, or public=True; got {roles}, public={public}")
    policy = Policy(frozenset(roles), public)

    def mark(view: View) -> View:
        view._access = policy  # type: ignore[attr-defined]
        documents = deepcopy(getattr(view, "_apidoc", {}))
        manual = documents.setdefault("manual_doc", {})
        manual["x-roles"] = [role for role in ROLES if role in policy.roles]
        if public:
            manual["security"] = []
        else:
            refusals = {status: http.HTTPStatus(status).name for status in (401, 403)}
            manual.setdefault("responses", {}).update(refusals)
        if policy.is_by_link:
            manual["security"] = [{"inspection_link": []}]
            manual["responses"].update({404: "NOT_FOUND", 410: "GONE", 429: "TOO_MANY_REQUESTS"})
        view._apidoc = documents  # type: ignore[attr-defined]
        return view

    return mark


def init_access(app: Flask) -> None:
    """Check every routed request against its operation's policy; call after ``init_security``."""
    app.before_request(_check_access)


def set_authenticator(app: Flask, authenticator: Callable[[], Principal | None]) -> None:
    """Register the function that reads the current request's principal, or None where nobody is signed in."""
    app.extensions[EXTENSION] = authenticator


def set_link_authenticator(app: Flask, authenticator: Callable[[], Principal | None]) -> None:
    """Register the function that reads the holder of a link from the request's header, or None without one."""
    app.extensions[LINK_EXTENSION] = authenticator


def find_principal() -> Principal | None:
    """Return who is signed in, asked once a request; None where nobody is."""
    if "principal" not in g:
        authenticator = current_app.extensions.get(EXTENSION)
        g.principal = authenticator() if authenticator else None
    return g.principal  # type: ignore[no-any-return]


def principal() -> Principal:
    """Return who is signed in, or raise ``Unauthenticated``."""
    found = find_principal()
    if found is None:
        raise Unauthenticated("Sign in, then send the request again.")
    return found


def require_own_household(household_id: str) -> None:
    """Raise ``NotFound`` unless the household is the caller's own: another's answers as one that is not there."""
    if principal().household_id != household_id:
        raise NotFound("No such household.")


def require_visible_household(household_id: str) -> None:
    """Raise ``NotFound`` unless the caller is an administrator or the household is their own."""
    if not principal().has("administrator"):
        require_own_household(household_id)


def operations(app: Flask) -> Iterator[Operation]:
    """List every method of every route with what it declares; HEAD and OPTIONS follow from the others."""
    for rule in app.url_map.iter_rules():
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            policy = getattr(view_of(app, rule.endpoint, method), "_access", None)
            yield Operation(rule.endpoint, rule.rule, method, policy)


def check_every_operation_declares_access(app: Flask) -> None:
    """Fail the start of an app that has an operation without a declared policy."""
    missing = [f"{row.method} {row.rule}" for row in operations(app) if row.policy is None]
    if missing:
        raise UndeclaredAccessError("These operations must declare @requires(...): " + ", ".join(missing))


def _check_access() -> None:
    if request.routing_exception is not None or request.url_rule is None:
        return
    if request.method == "OPTIONS" and getattr(request.url_rule, "provide_automatic_options", False):
        return
    policy: Policy | None = getattr(view_of(current_app, request.endpoint, request.method), "_access", None)
    if policy is None:
        raise Forbidden("This operation does not say who may call it, so nobody may.")
    if policy.is_public:
        return
    if policy.is_by_link:
        _check_link()
    elif not principal().roles & policy.roles:
        raise Forbidden(f"This needs the role {' or '.join(sorted(policy.roles))}.")


def _check_link() -> None:
    """Let the holder of a link through; a session, whatever roles it has, is told that it is not enough."""
    authenticator = current_app.extensions.get(LINK_EXTENSION)
    holder = authenticator() if authenticator else None
    if holder is None:
        principal()
        raise Forbidden("This needs an electrician's link.")
    g.principal = holder
