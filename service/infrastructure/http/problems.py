"""Every refusal as an RFC 9457 problem: one table from error class to status, one place that writes the body.

Domain and operations raise classes of ``common.errors``; webargs and werkzeug raise HTTP exceptions; a few
database errors mean "busy".  All of them leave through ``problem`` with a stable ``type`` made from the name.
"""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any
from urllib.parse import quote

import marshmallow as ma
from flask import Flask, Response, current_app, g, request
from flask_smorest import Api
from werkzeug.exceptions import HTTPException

from service.common.errors import (
    Conflict,
    Forbidden,
    Gone,
    NotFound,
    Rejected,
    ServiceError,
    TooMany,
    Unauthenticated,
)
from service.infrastructure.http.access import requires
from service.infrastructure.http.bodies import IdConverter, id_parameter
from service.infrastructure.http.conventions import Conventions

PROBLEM_TYPE = "application/problem+json"
STATUS: dict[type[ServiceError], int] = {
    NotFound: 404,
    Gone: 410,
    Forbidden: 403,
    Conflict: 409,
    Rejected: 422,
    Unauthenticated: 401,
    TooMany: 429,
    ServiceError: 400,
}
# What werkzeug, webargs and flask-smorest raise: status -> (last part of the type, title, meaning).
HTTP_PROBLEMS: dict[int, tuple[str, str, str]] = {
    400: ("malformed", "The request cannot be read", "The body, query or headers are not well formed."),
    401: ("unauthenticated", Unauthenticated.title, ""),
    403: ("forbidden", Forbidden.title, ""),
    404: ("not-found", NotFound.title, ""),
    405: ("method-not-allowed", "This method is not allowed here", "The Allow header lists the methods that are."),
    406: ("not-acceptable", "No form of the answer is acceptable", "Ask for application/json."),
    409: ("conflict", Conflict.title, ""),
    410: ("gone", Gone.title, ""),
    411: ("length-required", "The length of the body must be stated", "Send a Content-Length header."),
    412: ("stale", "It was changed in the meantime", "Get it again, look at the change, and send the new ETag."),
    413: ("body-too-large", "The body is too large", "Send less at a time."),
    414: ("address-too-long", "The address is too long", "Shorten the query."),
    415: ("unsupported-media-type", "This kind of body is not read here", "The operation names the kind it reads."),
    422: ("rejected", Rejected.title, ""),
    428: ("if-match-needed", "Say which state you are changing", "Send the ETag of your copy in If-Match."),
    429: ("too-many", TooMany.title, ""),
    500: ("internal", "Something went wrong here", "It is logged under the request's id; nothing was stored."),
    503: ("busy", "Busy for a moment", "Send the same request again after the seconds in Retry-After."),
}
# Fields whose value is never repeated back, whatever the rule says.
SECRET_FIELDS = frozenset({"password", "new_password", "old_password", "token", "secret", "code"})
LONGEST_VALUE = 80

log = logging.getLogger(__name__)


class FaultSchema(ma.Schema):
    """One thing that is wrong, and where."""

    pointer = ma.fields.String(
        required=True, metadata={"description": "JSON Pointer into the input, as a URI fragment (RFC 6901)"}
    )
    detail = ma.fields.String(required=True, metadata={"description": "The rule that is broken"})
    value = ma.fields.String(metadata={"description": "The value found, cut short; never for secrets"})
    location = ma.fields.String(metadata={"description": "Where the pointer starts, when it is not the body"})


class ProblemSchema(ma.Schema):
    """A problem as RFC 9457 describes it."""

    type = ma.fields.String(required=True, metadata={"format": "uri-reference"})
    title = ma.fields.String(required=True)
    status = ma.fields.Integer(required=True)
    detail = ma.fields.String(required=True)
    instance = ma.fields.String(metadata={"description": "Path of the request"})
    request_id = ma.fields.String(metadata={"description": "Names the line in the log, to quote when asking"})
    errors = ma.fields.List(ma.fields.Nested(FaultSchema))


class ProblemApi(Api):
    """An Api whose errors are RFC 9457 problems, on the wire and in the document."""

    ERROR_SCHEMA = ProblemSchema

    def _register_responses(self) -> None:
        # Private in flask-smorest 0.47 (pinned): it documents errors under the type of ordinary responses.
        usual = self.DEFAULT_RESPONSE_CONTENT_TYPE  # type: ignore[has-type]
        self.DEFAULT_RESPONSE_CONTENT_TYPE = PROBLEM_TYPE
        super()._register_responses()
        self.DEFAULT_RESPONSE_CONTENT_TYPE = usual

    def _register_pagination_header(self) -> None:
        """Document no X-Pagination header: totals are in the body (paging.py)."""

    def _init_spec(self, *, extra_plugins: list[Any] | None = None, **options: Any) -> None:
        self._app.url_map.converters["id"] = IdConverter
        super()._init_spec(extra_plugins=[*(extra_plugins or ()), Conventions()], **options)
        self.register_converter(IdConverter, id_parameter)

    @requires(public=True)
    def _openapi_json(self) -> Response:
        return Response(json.dumps(self.spec.to_dict()), mimetype="application/json")

    def _register_error_handlers(self) -> None:
        super()._register_error_handlers()
        register_problems(self._app)

    def handle_http_exception(self, error: HTTPException) -> Response:
        """Answer what werkzeug, webargs or flask-smorest refused."""
        return http_problem(error)


def register_problems(app: Flask) -> None:
    """Make the errors of the service, and whatever nobody caught, problems too."""
    app.register_error_handler(ServiceError, service_problem)
    app.register_error_handler(Exception, unexpected_problem)


def answer_as_busy(
    app: Flask,
    error_class: type[Exception],
    *,
    when: Callable[[Any], bool] = lambda error: True,
    retry_after_s: int = 1,
) -> None:
    """Answer 503 with Retry-After where ``error_class`` is raised and ``when`` agrees; else 500 as ever."""

    def busy(error: Exception) -> Response:
        if not when(error):
            return unexpected_problem(error)
        return problem(503, headers={"Retry-After": str(retry_after_s)})

    app.register_error_handler(error_class, busy)


def problem(
    status: int,
    detail: str = "",
    *,
    name: str | None = None,
    title: str | None = None,
    errors: list[dict[str, str]] | None = None,
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Build the problem response; what is not given comes from the table for the status."""
    usual_name, usual_title, meaning = HTTP_PROBLEMS.get(status, (f"status-{status}", f"Status {status}", ""))
    body: dict[str, Any] = {
        "type": f"/problems/{name or usual_name}",
        "title": title or usual_title,
        "status": status,
        "detail": detail or meaning or title or usual_title,
        "instance": quote(request.path),
    }
    if request_id := g.get("request_id"):
        body["request_id"] = request_id
    if errors:
        body["errors"] = errors
    response = Response(json.dumps(body), status=status, mimetype=PROBLEM_TYPE)
    response.headers.extend(dict(headers or {}))
    return response


def service_problem(error: ServiceError) -> Response:
    """Answer an error that the service raised on purpose."""
    headers = {"Retry-After": str(error.retry_after_s)} if isinstance(error, TooMany) else {}
    errors = [fault_entry(fault) for fault in error.faults] if isinstance(error, Rejected) else None
    return problem(
        status_of(type(error)),
        error.detail,
        name=problem_name(type(error)),
        title=error.title,
        errors=errors,
        headers=headers,
    )


def http_problem(error: HTTPException) -> Response:
    """Answer an HTTP exception, keeping its headers (Allow of a 405) and its field messages."""
    if error.response is not None:
        return error.response  # type: ignore[return-value]
    status = error.code or 500
    of_the_body = ("content-type", "content-length")
    headers = {name: value for name, value in error.get_headers() if name.lower() not in of_the_body}
    if status < 400:
        return Response(status=status, headers=headers)
    data = getattr(error, "data", None) or {}
    headers.update(data.get("headers") or {})
    messages = data.get("errors") or data.get("messages") or {}
    errors = list(message_entries(messages))
    own_words = error.description if error.description != type(error).description else None
    detail = data.get("message") or _summary(errors) or own_words or ""
    return problem(status, detail, errors=errors, headers=headers)


def unexpected_problem(error: Exception) -> Response:
    """Answer 500 for what nobody caught: the log says where, the caller only learns the request's id.

    The exception's own words are left out of both, because they may quote what was sent or stored.
    """
    if isinstance(error, HTTPException):
        return http_problem(error)
    if current_app.config.get("PROPAGATE_EXCEPTIONS"):
        raise error
    log.error("request failed", exc_info=error, extra={"request_id": g.get("request_id")})
    return problem(500)


def status_of(error_class: type[ServiceError]) -> int:
    """Return the status of the nearest class in the table."""
    return next(STATUS[base] for base in error_class.__mro__ if base in STATUS)


def problem_name(error_class: type) -> str:
    """Return the last part of the problem's type: the class name in kebab case."""
    return re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "-", error_class.__name__).lower()


def pointer(*parts: object) -> str:
    """Return a JSON Pointer as a URI fragment, escaped by RFC 6901 sections 3 and 6.

    >>> pointer("sheets", 0, "a/b")
    '#/sheets/0/a~1b'
    """
    escaped = (_printable(part).replace("~", "~0").replace("/", "~1") for part in parts)
    return "#" + "".join("/" + quote(part, safe="~!$&'()*+,;=:@-._") for part in escaped)


def fault_entry(fault: Any) -> dict[str, str]:
    """Turn a domain fault (dotted path, value, rule) into an entry of ``errors``."""
    parts = fault.field.split(".") if fault.field else []
    entry = {"pointer": pointer(*parts), "detail": fault.rule}
    if fault.value is not None and not (parts and parts[-1] in SECRET_FIELDS):
        entry["value"] = shown(fault.value)
    return entry


def shown(value: object) -> str:
    """Return a value as short printable text, for a problem and never for a log."""
    text = value if isinstance(value, str) else repr(value)
    text = _printable(text)
    return text if len(text) <= LONGEST_VALUE else text[: LONGEST_VALUE - 1] + "…"


def message_entries(messages: Any) -> Iterator[dict[str, str]]:
    """Walk the nested messages of webargs ({location: {field: [message]}}) as entries of ``errors``."""
    if not isinstance(messages, Mapping):
        return
    for location, nested in messages.items():
        for parts, detail in _flat(nested, ()):
            entry = {"pointer": pointer(*parts), "detail": detail}
            if location != "json":
                entry["location"] = str(location)
            yield entry


def _flat(messages: Any, parts: tuple[object, ...]) -> Iterator[tuple[tuple[object, ...], str]]:
    if isinstance(messages, Mapping):
        for key, nested in messages.items():
            yield from _flat(nested, parts if key == "_schema" else (*parts, key))
    elif isinstance(messages, list | tuple):
        for message in messages:
            yield from _flat(message, parts)
    else:
        yield parts, str(messages)


def _summary(errors: list[dict[str, str]]) -> str:
    """Say in words what the entries say, so that a reader of ``detail`` alone knows what to do."""
    lines = (f"{entry['pointer'][2:]}: {entry['detail']}".removeprefix(": ") for entry in errors[:3])
    return " ".join(lines) + (f" And {len(errors) - 3} more." if len(errors) > 3 else "")


def _printable(value: object) -> str:
    """Return text without half surrogates, which no encoder accepts."""
    return str(value).encode("utf-8", "backslashreplace").decode("utf-8")
