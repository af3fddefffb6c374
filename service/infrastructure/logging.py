"""Logs as JSON lines without personal data.

A request leaves one line: its id, method, route template (never the address itself), status and milliseconds.
Bodies, query strings, headers and e-mail addresses are never logged; an exception is logged as its class and the
places it passed, because its words may quote what was sent or stored.
"""

from __future__ import annotations

import json
import logging
import secrets
import sys
import time
import traceback
from datetime import UTC, datetime
from types import TracebackType
from typing import IO, Any

from flask import Flask, Response, g, request

OUR_LOGGERS = "service"
LONGEST_TEXT = 300
# What a record has anyway; whatever else it has was passed as ``extra`` by our own code.
_STANDARD = frozenset(logging.makeLogRecord({}).__dict__) | {"message", "asctime", "taskName"}

request_log = logging.getLogger("service.requests")


class JsonLines(logging.Formatter):
    """One JSON object a line; values that could be an address are withheld, whoever wrote them."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        is_ours = record.name.split(".", 1)[0] == OUR_LOGGERS
        # A library's arguments may hold what a person sent; its template does not.
        message = record.getMessage() if is_ours else str(record.msg)
        line: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": harmless(message),
        }
        if is_ours:
            line.update({name: harmless(value) for name, value in record.__dict__.items() if name not in _STANDARD})
        if record.exc_info and record.exc_info[0]:
            line["error"] = record.exc_info[0].__name__
            line["passed"] = places(record.exc_info[2])
        return json.dumps({name: value for name, value in line.items() if value is not None})


def configure_logging(level: str, stream: IO[str] | None = None) -> None:
    """Send every logger's lines to one stream (standard error by default) as JSON."""
    handler = logging.StreamHandler(stream or sys.stderr)
    handler.setFormatter(JsonLines())
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)
    logging.getLogger(OUR_LOGGERS).setLevel(level)
    # Werkzeug's own access lines hold whole addresses.
    logging.getLogger("werkzeug").setLevel(logging.WARNING)


def log_requests(app: Flask) -> None:
    """Give every request an id and one line; call before everything else that hooks into requests."""
    app.before_request(_start)
    app.after_request(_finish)


def harmless(value: object) -> object:
    """Return numbers as they are and text cut short; text with an '@' is withheld."""
    if value is None or isinstance(value, bool | int | float):
        return value
    text = str(value)
    return "(withheld)" if "@" in text else text[:LONGEST_TEXT]


def places(trace: TracebackType | None) -> list[str]:
    """Return the last places an exception passed, as file:line:function."""
    frames = traceback.extract_tb(trace)[-12:]
    return [f"{'/'.join(frame.filename.split('/')[-3:])}:{frame.lineno}:{frame.name}" for frame in frames]


def _start() -> None:
    g.request_id = secrets.token_hex(8)
    g.started_s = time.perf_counter()


def _finish(response: Response) -> Response:
    rule = request.url_rule
    request_log.info(
        "request",
        extra={
            "request_id": g.request_id,
            "method": request.method if len(request.method) < 10 else "(other)",
            "route": rule.rule if rule is not None else g.get("route", "(none)"),
            "status": response.status_code,
            "ms": round((time.perf_counter() - g.started_s) * 1000, 1),
        },
    )
    response.headers["X-Request-Id"] = g.request_id
    return response
