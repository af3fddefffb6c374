"""One request is one transaction of one scheme: opened when first asked for, committed with the reply.

A safe method reads; any other method takes the write lock at once.  The commit happens
inside dispatch, so an error in it is answered like any other, and nothing is half saved.
"""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import Any, TypeVar

from argon2 import PasswordHasher
from flask import Flask, Response, current_app, g, request
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoFreeConnection

from service.common.clock import Clock
from service.common.errors import Conflict, Fault, Rejected
from service.infrastructure.db.busy import is_busy
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.http.access import principal
from service.infrastructure.idempotency import KeptReply, claim_key
from service.infrastructure.settings import Settings

log = logging.getLogger(__name__)
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
LONGEST_KEY = 255
View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Services:
    """What the composition root hands to every request."""

    settings: Settings
    database: Database
    clock: Clock
    hasher: PasswordHasher
    dummy_hash: str


def services() -> Services:
    """Return the running app's services."""
    found: Services = current_app.extensions["plugward"]
    return found


def now() -> datetime:
    """Return the request's instant: one for the whole request."""
    if "now" not in g:
        g.now = services().clock.now()
    return g.now  # type: ignore[no-any-return]


def scheme_session() -> SchemeSession:
    """Return the request's session, bound to the caller's scheme."""
    if "scheme_session" not in g:
        write = request.method not in SAFE
        g.scheme_session = services().database.scheme_session(principal().scheme_id, write=write)
    return g.scheme_session  # type: ignore[no-any-return]


def write_afterwards(note: Callable[[SchemeSession], None]) -> None:
    """Keep a note for after the answer is made: that it was read, or what it showed.

    A safe request stays a read; its notes go in together in a short write transaction of their own, before the
    answer leaves. Where that cannot be, the answer is given all the same, and the log says so.
    """
    g.setdefault("notes", []).append(note)


class TransactionalFlask(Flask):
    """A Flask app whose dispatch ends with the commit of the request's session."""

    def dispatch_request(self) -> Any:
        """Answer the request, then commit; an exception on the way leaves nothing stored."""
        try:
            reply = super().dispatch_request()
            session = g.get("scheme_session")
            if session is not None and request.method not in SAFE:
                session.commit()
        finally:
            session = g.pop("scheme_session", None)
            if session is not None:
                session.close()
        _write_notes()
        return reply


def _write_notes() -> None:
    """Write the request's notes; busy twice, they are lost and logged."""
    notes = g.pop("notes", ())
    if not notes:
        return
    for is_last in (False, True):
        try:
            with services().database.notes(principal().scheme_id) as session:
                for note in notes:
                    note(session)
            return
        except (DBAPIError, NoFreeConnection) as error:
            if isinstance(error, DBAPIError) and not is_busy(error):
                raise
            if is_last:
                log.error("%d notes of what was read could not be written: the database is busy", len(notes))


def idempotent(view: View) -> View:
    """Replay the first reply where the caller repeats a request under the same Idempotency-Key.

    Goes outside ``arguments`` and ``response``: what is kept is the reply as it was sent.
    """

    @wraps(view)
    def wrapper(*args: Any, **kwargs: Any) -> Any:
        key = request.headers.get("Idempotency-Key")
        if key is None:
            return view(*args, **kwargs)
        if not (0 < len(key) <= LONGEST_KEY and key.isprintable()):
            raise Rejected(Fault("Idempotency-Key", key, f"is 1 to {LONGEST_KEY} printable characters"))
        session, caller = scheme_session(), principal().account_id
        # The full path counts as the route: the same key for another household is another request.
        route = hashlib.sha256(f"{request.method} {request.path}".encode()).hexdigest()
        # What stands behind the ? is part of what is asked for.
        query = b"?%b\n" % request.query_string if request.query_string else b""
        print_of = hashlib.sha256(query + request.get_data(cache=True)).hexdigest()
        kept = claim_key(session, account_id=caller, route=route, key=key, fingerprint=print_of, at=now())
        if kept.is_finished:
            return _replayed(kept)
        reply: Response = current_app.make_response(view(*args, **kwargs))
        if reply.status_code < 400:
            kept.status = reply.status_code
            body = g.pop("body_to_keep", None) or reply.get_data(as_text=True)
            kept.reply = {"body": body, "etag": reply.headers.get("ETag")}
        else:
            session.delete(kept)
        return reply

    return wrapper  # type: ignore[return-value]


def tell_once(name: str, body: Mapping[str, Any]) -> None:
    """Leave one value out of what is kept for repeats of this request: a secret is told once and stored nowhere."""
    g.body_to_keep = json.dumps({**body, name: None})


def _replayed(kept: KeptReply) -> Response:
    """Return the reply as it was sent the first time, with its ETag: the caller may go on from either."""
    reply = Response(kept.reply["body"], status=kept.status, mimetype="application/json")
    reply.headers["Idempotent-Replay"] = "true"
    if kept.reply["etag"]:
        reply.headers["ETag"] = kept.reply["etag"]
    return reply


def conflict_of(error: Exception) -> Conflict:
    """Turn a broken unique or foreign key into the refusal a caller can act on."""
    return Conflict("Something with the same name or date exists already, or what this refers to is gone.")
