"""How input is read: strict JSON, unknown query names refused, ids checked in the path.

Python's own JSON reader takes NaN, repeated names and any depth; here each is a 400 that says where.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from typing import Any, ClassVar, NoReturn, TypeVar

import flask
import marshmallow as ma
from flask_smorest import Blueprint
from webargs import core
from webargs.flaskparser import FlaskParser, abort
from werkzeug.routing import BaseConverter

DEEPEST = 32  # own bound: the deepest body of the API, a tariff version, nests 7 levels
View = TypeVar("View", bound=Callable[..., Any])


class StrictParser(FlaskParser):
    """Reads JSON as RFC 8259 means it and refuses query names that the operation does not know."""

    DEFAULT_UNKNOWN_BY_LOCATION: ClassVar[dict[str, str | None]] = {  # type: ignore[misc]
        **FlaskParser.DEFAULT_UNKNOWN_BY_LOCATION,
        "query": ma.RAISE,
    }

    def _raw_load_json(self, req: flask.Request) -> Any:
        body = req.get_data(cache=True)
        return read_json(body) if body else core.missing

    def _handle_invalid_json_error(self, error: Any, req: flask.Request, *args: Any, **kwargs: Any) -> NoReturn:
        where = f" (line {error.lineno}, column {error.colno})" if isinstance(error, json.JSONDecodeError) else ""
        message = getattr(error, "msg", "the body is not UTF-8")
        abort(400, exc=error, messages={"json": [f"The body is not JSON: {message}{where}."]})


class ApiBlueprint(Blueprint):
    """The blueprint of every feature: reads input with ``StrictParser``."""

    ARGUMENTS_PARSER = StrictParser()


class IdConverter(BaseConverter):
    """``<id:household_id>``: 32 lower-case hexadecimal characters; anything else is an unknown id, so 404."""

    regex = "[0-9a-f]{32}"


def id_parameter(converter: IdConverter) -> dict[str, str]:
    """Describe ``IdConverter`` in the OpenAPI document."""
    return {"type": "string", "pattern": "^[0-9a-f]{32}$"}


def accepts(*media_types: str) -> Callable[[View], View]:
    """Declare the media types of an operation's body where it is not JSON; security.py refuses others."""

    def mark(view: View) -> View:
        view._accepts = frozenset(media_types)  # type: ignore[attr-defined]
        return view

    return mark


def takes_upload(view: View) -> View:
    """Declare that an operation's body is a file: of any stated media type, up to the cap of uploads.

    What the file is, its content says; the stated type is not believed, so it is not looked at.
    """
    view._takes_upload = True  # type: ignore[attr-defined]
    return view


def from_anywhere(view: View) -> View:
    """Declare that an operation may be called by other programs than our pages, such as a mail program's one click.

    Only for one that looks at no cookie: what it may do, a secret in its address says alone.
    """
    view._from_anywhere = True  # type: ignore[attr-defined]
    return view


def view_of(app: flask.Flask, endpoint: str | None, method: str) -> Any:
    """Return the function that answers a method at an endpoint, or None: decorators leave their marks on it."""
    view = app.view_functions.get(endpoint or "")
    view_class = getattr(view, "view_class", None)
    if view_class is None:
        return view
    found = getattr(view_class, method.lower(), None)
    return getattr(view_class, "get", None) if found is None and method == "HEAD" else found


def read_json(body: bytes) -> Any:
    """Return the value of a JSON text; whatever is wrong with it is a ``JSONDecodeError``."""
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        # The text stands in for the body: webargs takes an error in an empty document for a missing body.
        raise json.JSONDecodeError("it is not UTF-8", body.decode("utf-8", "replace"), 0) from error
    _check_depth(text)
    try:
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_repeats, parse_int=_bounded_int)
    except json.JSONDecodeError:
        raise
    except ValueError as error:
        raise json.JSONDecodeError(str(error), text, 0) from error


def _check_depth(text: str) -> None:
    """Refuse deep nesting before the reader recurses; texts with few brackets are not walked at all."""
    if text.count("[") + text.count("{") <= DEEPEST:
        return
    depth, is_string, is_escaped = 0, False, False
    for position, character in enumerate(text):
        if is_string:
            is_string = is_escaped or character != '"'
            is_escaped = character == "\\" and not is_escaped
        elif character == '"':
            is_string = True
        elif character in "[{":
            depth += 1
            if depth > DEEPEST:
                raise json.JSONDecodeError(f"it nests more than {DEEPEST} levels", text, position)
        elif character in "]}":
            depth -= 1


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a JSON number")


def _no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        repeated, _ = Counter(name for name, _ in pairs).most_common(1)[0]
        raise ValueError(f"the name {repeated[:40]!r} appears twice in one object")
    return found


def _bounded_int(digits: str) -> int:
    if len(digits) > 20:
        raise ValueError("a whole number has more than 20 digits")
    return int(digits)
