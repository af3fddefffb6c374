"""Lost updates are refused: a version becomes a strong ETag, a change must name the version it was made from.

RFC 9110 sections 8.8.3 and 13.1; RFC 6585 section 3 for the 428.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from copy import deepcopy
from functools import wraps
from typing import Any, TypeVar

from flask import request
from werkzeug.exceptions import HTTPException, PreconditionFailed, PreconditionRequired

UNSAFE = frozenset({"PUT", "PATCH", "DELETE"})
View = TypeVar("View", bound=Callable[..., Any])
_PART = re.compile(r"[0-9A-Za-z_.-]+")


class NotModified(HTTPException):
    """The caller's copy is still right: 304 with the ETag and no body."""

    code = 304

    def __init__(self, etag: str) -> None:
        super().__init__()
        self.etag = etag

    def get_headers(self, environ: Any = None, scope: Any = None) -> list[tuple[str, str]]:
        """Return the ETag, as RFC 9110 section 15.4.5 asks."""
        return [("ETag", self.etag)]


def etag_of(*version: int | str) -> str:
    """Return the strong ETag of a version, which may be made of several parts.

    >>> etag_of(7), etag_of("9f3c", 2)
    ('"7"', '"9f3c-2"')
    """
    parts = [str(part) for part in version]
    if not parts or not all(_PART.fullmatch(part) for part in parts):
        raise ValueError(f"an ETag is made of letters, digits, '.', '_' and '-'; got {version!r}")
    return '"' + "-".join(parts) + '"'


def etag_headers(*version: int | str) -> dict[str, str]:
    """Return the headers that carry the ETag; on a GET, raise ``NotModified`` where the caller has it already."""
    etag = etag_of(*version)
    if request.method in ("GET", "HEAD") and request.if_none_match.contains_weak(etag.strip('"')):
        raise NotModified(etag)
    return {"ETag": etag}


def require_match(*version: int | str) -> None:
    """Let a change through only if If-Match names this version: 428 without the header, 412 where it is stale.

    ``If-Match: *`` is honoured as RFC 9110 defines it: the caller says on purpose that any state will do.
    """
    _require_if_match()
    if not request.if_match.contains(etag_of(*version).strip('"')):
        raise PreconditionFailed("Somebody changed this after you read it. Get it again and repeat your change.")


def etagged(view: View) -> View:
    """Mark a view as working with ETags: documents the headers, and asks for If-Match before all else."""

    @wraps(view)
    def wrapper(*args: Any, **kwargs: Any) -> Any:
        if request.method in UNSAFE:
            _require_if_match()
        return view(*args, **kwargs)

    # flask-smorest documents IF_MATCH, 412 and 428 of what bears this mark; its own content hashes are not used.
    wrapper._apidoc = {**deepcopy(getattr(view, "_apidoc", {})), "etag": True}  # type: ignore[attr-defined]
    return wrapper  # type: ignore[return-value]


def _require_if_match() -> None:
    if not request.if_match:
        raise PreconditionRequired("Send the ETag of the copy you changed in the If-Match header.")
