"""What every request and response must keep to, before any feature sees it.

A change must come from our own pages (a header that forms cannot send, and the browser's word on the origin),
in the media type that the operation reads, no larger than the cap.  Every answer carries a strict policy.
Forwarded headers are never read: behind a proxy, the public address is the ``base_url`` of the settings.
"""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from flask import Flask, Response, current_app, request
from werkzeug.exceptions import (
    BadRequest,
    LengthRequired,
    MethodNotAllowed,
    RequestEntityTooLarge,
    UnsupportedMediaType,
)

from service.common.errors import Forbidden
from service.infrastructure.http.bodies import view_of

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
KNOWN_METHODS = SAFE_METHODS | {"POST", "PUT", "PATCH", "DELETE"}
REQUESTED_BY = "plugward"
JSON_ONLY = frozenset({"application/json"})
PARTS = ("/app/", "/styles/", "/vendor/")
ONE_YEAR_S = 31_536_000
_INLINE_SCRIPT = re.compile(rb"<script\b([^>]*)>(.*?)</script\s*>", re.DOTALL | re.IGNORECASE)


class NotFromOurPages(Forbidden):
    """A change must be sent by the service's own pages, or by a program that says so in a header."""

    title = "Not sent from our own pages"


@dataclass(frozen=True)
class SecurityRules:
    """What of the settings this module needs."""

    base_url: str
    is_production: bool
    max_body_bytes: int
    index_html: bytes | None = None
    max_upload_bytes: int = 0


def init_security(app: Flask, rules: SecurityRules) -> None:
    """Put the checks before and the headers after every request; call before ``init_access``."""
    headers = ResponseHeaders(content_security_policy(rules.index_html), is_production=rules.is_production)
    allowed_origins = frozenset({origin_of(rules.base_url)})
    app.config["MAX_CONTENT_LENGTH"] = rules.max_body_bytes

    def check() -> None:
        _check_readable()
        if request.routing_exception is None:
            _check_method_and_size(_largest_body(rules))
            if request.method not in SAFE_METHODS:
                _check_sender(allowed_origins, is_host_trusted=not rules.is_production)
                _check_media_type()

    app.before_request(check)
    app.after_request(headers.add_to)


def content_security_policy(index_html: bytes | None) -> str:
    """Return the policy; the import map of the served index is the one inline script it lets through."""
    script = " ".join(["'self'", *import_map_hashes(index_html or b"")])
    return (
        f"default-src 'none'; script-src {script}; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
        "connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'; "
        "require-trusted-types-for 'script'; trusted-types 'none'"
    )


def import_map_hashes(index_html: bytes) -> list[str]:
    """Return the CSP source of the inline import map; any other inline script is refused.

    Raises
    ------
    ValueError
        If the page holds an inline script that is not an import map.
    """
    hashes = []
    for attributes, content in _INLINE_SCRIPT.findall(index_html):
        if re.search(rb"\bsrc\s*=", attributes):
            continue
        if not re.search(rb"""type\s*=\s*["']?importmap\b""", attributes):
            raise ValueError("index.html holds an inline script that is not an import map")
        digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
        hashes.append(f"'sha256-{digest}'")
    return hashes


class ResponseHeaders:
    """The headers of every answer, put together once and added in one go."""

    def __init__(self, policy: str, *, is_production: bool) -> None:
        self._always = [
            ("X-Content-Type-Options", "nosniff"),
            ("Referrer-Policy", "no-referrer"),
            ("Cross-Origin-Opener-Policy", "same-origin"),
            ("Cross-Origin-Resource-Policy", "same-origin"),
            ("Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
        ]
        if is_production:
            self._always.append(("Strict-Transport-Security", f"max-age={ONE_YEAR_S}; includeSubDomains"))
        self._usual_policy = [("Content-Security-Policy", policy)]
        self._unframed = [("X-Frame-Options", "DENY")]

    def add_to(self, response: Response) -> Response:
        """Add the headers; a page that set a policy of its own keeps it."""
        headers = response.headers
        if request.path.startswith(PARTS) and response.status_code < 400:
            # Scripts and styles are no documents: a page's policy says nothing about them, and there are seventy.
            headers.extend(self._always[:1])
            return response
        policy = headers.get("Content-Security-Policy")
        headers.extend(self._always + (self._usual_policy if policy is None else []))
        if policy is None or "frame-ancestors 'none'" in policy:
            headers.extend(self._unframed)
        if request.path.startswith("/api/"):
            headers["Cache-Control"] = "no-store"
        return response


def origin_of(url: str) -> str:
    """Return scheme://host[:port] of an address, as a browser writes it in Origin.

    >>> origin_of("https://Charging.example.test:443/app")
    'https://charging.example.test'
    """
    parts = urlsplit(url)
    port = {"http": 80, "https": 443}.get(parts.scheme)
    shown_port = "" if parts.port in (None, port) else f":{parts.port}"
    host = f"[{parts.hostname}]" if ":" in (parts.hostname or "") else parts.hostname
    return f"{parts.scheme}://{host}{shown_port}"


def _check_readable() -> None:
    """Refuse a query that is not UTF-8, or holds NUL, before something deeper trips over it."""
    try:
        text = request.query_string.decode("utf-8")
    except UnicodeDecodeError as error:
        raise BadRequest("The query is not UTF-8.") from error
    if "\x00" in text or "%00" in text or "\x00" in request.path:
        raise BadRequest("The address holds a NUL character.")


def _largest_body(rules: SecurityRules) -> int:
    """Return the cap of this request's body, which is higher for an operation that takes a file."""
    view = view_of(current_app, request.endpoint, request.method)
    if not getattr(view, "_takes_upload", False):
        return rules.max_body_bytes
    largest = max(rules.max_body_bytes, rules.max_upload_bytes)
    request.max_content_length = largest
    return largest


def _check_method_and_size(max_body_bytes: int) -> None:
    if request.method not in KNOWN_METHODS:
        raise MethodNotAllowed(sorted(KNOWN_METHODS))
    if request.headers.get("Transfer-Encoding") is not None:
        # Werkzeug cuts a body of unstated length at the cap without a word; half a body must never be stored.
        raise LengthRequired("Send the body with its Content-Length.")
    if (request.content_length or 0) > max_body_bytes:
        raise RequestEntityTooLarge(f"At most {max_body_bytes} bytes are read.")


def _check_sender(allowed_origins: frozenset[str], *, is_host_trusted: bool) -> None:
    if getattr(view_of(current_app, request.endpoint, request.method), "_from_anywhere", False):
        return
    if request.headers.get("X-Requested-By") != REQUESTED_BY:
        raise NotFromOurPages(f"Send the header X-Requested-By: {REQUESTED_BY}.")
    if request.headers.get("Sec-Fetch-Site", "same-origin") != "same-origin":
        raise NotFromOurPages("The browser says that another site sent this.")
    origin = request.headers.get("Origin")
    if origin is None or origin in allowed_origins:
        return
    # On a developer's machine the page may be open under another name of the same host (127.0.0.1).
    if not (is_host_trusted and origin == request.host_url.rstrip("/")):
        raise NotFromOurPages("The Origin header names another site.")


def _check_media_type() -> None:
    if not request.content_length:
        return
    view = view_of(current_app, request.endpoint, request.method)
    if getattr(view, "_takes_upload", False):
        return
    accepted: frozenset[str] = getattr(view, "_accepts", JSON_ONLY)
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype not in accepted or charset not in ("utf-8", "utf8", "us-ascii"):
        raise UnsupportedMediaType("Send the body as " + " or ".join(sorted(accepted)) + " in UTF-8.")
