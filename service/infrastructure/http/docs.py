"""The OpenAPI document and the problem types as pages for people: plain HTML from here, no script at all.

``docs_blueprint`` serves /api/v1/docs, /api/v1/problems and one page per problem type, and the stylesheet that
all server-rendered pages share.  What is shown comes from the document and from the error classes themselves.
"""

from __future__ import annotations

import gzip
import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request

from service.common.errors import ServiceError
from service.infrastructure.http.access import requires
from service.infrastructure.http.problems import HTTP_PROBLEMS, ProblemApi, problem_name, status_of

HERE = Path(__file__).parent
METHODS = ("get", "post", "put", "patch", "delete")


@dataclass(frozen=True)
class ProblemType:
    """One kind of refusal, as its page describes it."""

    name: str
    title: str
    status: int
    meaning: str


@dataclass(frozen=True)
class Shape:
    """A JSON schema in words: its type, the named shape it refers to, and its rules."""

    text: str
    ref: str | None
    rules: str


def docs_blueprint(api: ProblemApi, *, title: str = "Plugward's API") -> Blueprint:
    """Build the pages; the document is turned into HTML once, when first asked for."""
    pages = Blueprint("docs", __name__, template_folder="templates")
    kept: dict[str, str] = {}

    @pages.get("/api/v1/docs")
    @requires(public=True)
    def docs() -> Response:
        if "docs" not in kept:
            document = api.spec.to_dict()
            kept["docs"] = render_template(
                "plain/docs.html", title=title, groups=grouped(document), shapes=shapes(document)
            )
        return html_page(kept["docs"])

    @pages.get("/api/v1/problems")
    @requires(public=True)
    def problems() -> Response:
        return html_page(render_template("plain/problems.html", title="Problems", problems=problem_types()))

    @pages.get("/api/v1/problems/<name>")
    @requires(public=True)
    def one_problem(name: str) -> Response:
        found = [problem for problem in problem_types() if problem.name == name]
        if not found:
            abort(404, "No such kind of problem.")
        return html_page(render_template("plain/problems.html", title=found[0].title, problems=found))

    @pages.get("/problems/<name>")
    @requires(public=True)
    def problem_type(name: str) -> Any:
        # The ``type`` of a problem is this short address; the page lives beside the API's other pages.
        return redirect(f"/api/v1/problems/{name}", 308)

    @pages.get("/plain.css")
    @requires(public=True)
    def stylesheet() -> Response:
        return Response((HERE / "static" / "plain.css").read_bytes(), mimetype="text/css")

    return pages


def html_page(html: str) -> Response:
    """Return a page, compressed where the browser takes that."""
    body = html.encode()
    response = Response(body, mimetype="text/html")
    response.headers["Vary"] = "Accept-Encoding"
    if "gzip" in request.accept_encodings and len(body) > 2048:
        response.set_data(gzip.compress(body, 6, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response


def problem_types() -> list[ProblemType]:
    """List every kind of problem: the statuses of HTTP itself and each error class of the service."""
    found = {
        name: ProblemType(name, title, status, meaning)
        for status, (name, title, meaning) in HTTP_PROBLEMS.items()
    }
    for error_class in _subclasses(ServiceError):
        meaning = " ".join((error_class.__doc__ or "").split())
        name = problem_name(error_class)
        found[name] = ProblemType(name, error_class.title, status_of(error_class), meaning)
    return sorted(found.values(), key=lambda problem: (problem.status, problem.name))


def grouped(document: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the document's operations by tag, in the order of the tags, each ready for the template."""
    descriptions = {tag["name"]: tag.get("description", "") for tag in document.get("tags", [])}
    groups: dict[str, list[dict[str, Any]]] = {name: [] for name in descriptions}
    for path, item in document["paths"].items():
        for method in METHODS:
            if operation := item.get(method):
                tag = (operation.get("tags") or ["other"])[0]
                groups.setdefault(tag, []).append(_operation(document, path, method, item, operation))
    return [
        {"name": name, "description": descriptions.get(name, ""), "operations": rows}
        for name, rows in groups.items()
        if rows
    ]


def shapes(document: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the named shapes of bodies, each with its fields."""
    named = document.get("components", {}).get("schemas", {})
    return [
        {
            "name": name,
            "fields": [
                {
                    "name": field,
                    "shape": shape_of(schema),
                    "is_required": field in found.get("required", []),
                    "is_read_only": schema.get("readOnly", False),
                    "description": schema.get("description", ""),
                }
                for field, schema in found.get("properties", {}).items()
            ],
        }
        for name, found in sorted(named.items())
    ]


def shape_of(schema: Mapping[str, Any]) -> Shape:
    """Put a JSON schema in words."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[-1]
        return Shape(name, name, "")
    if "anyOf" in schema:
        inner = [shape_of(option) for option in schema["anyOf"]]
        ref = next((option.ref for option in inner if option.ref), None)
        return Shape(" or ".join(option.text for option in inner), ref, "")
    kinds = schema.get("type", "any")
    kinds = [kinds] if isinstance(kinds, str) else kinds
    if "array" in kinds:
        item = shape_of(schema.get("items", {}))
        return Shape(" or ".join(["list of " + item.text, *(k for k in kinds if k != "array")]), item.ref, item.rules)
    return Shape(" or ".join(kinds), None, _rules(schema))


def _rules(schema: Mapping[str, Any]) -> str:
    words = []
    if "enum" in schema:
        words.append("one of " + ", ".join("null" if value is None else str(value) for value in schema["enum"]))
    for low, high, unit in (("minimum", "maximum", ""), ("minLength", "maxLength", " characters")):
        words += [f"at least {schema[low]}{unit}"] if schema.get(low) is not None else []
        words += [f"at most {schema[high]}{unit}"] if schema.get(high) is not None else []
    words += [str(schema["format"])] if "format" in schema else []
    # The pattern that only bars control characters says nothing to a reader.
    words += [f"pattern {schema['pattern']}"] if not schema.get("pattern", "^[^").startswith("^[^") else []
    words += [f"default {schema['default']}"] if "default" in schema else []
    return "; ".join(words)


def _operation(
    document: Mapping[str, Any], path: str, method: str, item: Mapping[str, Any], operation: Mapping[str, Any]
) -> dict[str, Any]:
    parameters = [_resolved(document, each) for each in [*item.get("parameters", []), *operation.get("parameters", [])]]
    roles = operation.get("x-roles") or []
    return {
        "anchor": "op-" + hashlib.sha256(f"{method} {path}".encode()).hexdigest()[:10],
        "method": method.upper(),
        "path": path,
        "summary": operation.get("summary", ""),
        "description": operation.get("description", ""),
        "roles": ", ".join(roles) if roles else "anybody, without signing in",
        "parameters": [{**each, "shape": shape_of(each.get("schema", {}))} for each in parameters],
        "bodies": _contents(operation.get("requestBody", {})),
        "responses": [
            {"status": status, "description": found.get("description", ""), "contents": _contents(found)}
            for status, found in _sorted_responses(document, operation)
        ],
    }


def _contents(holder: Mapping[str, Any]) -> list[tuple[str, Shape]]:
    return [(kind, shape_of(content.get("schema", {}))) for kind, content in holder.get("content", {}).items()]


def _sorted_responses(document: Mapping[str, Any], operation: Mapping[str, Any]) -> list[tuple[str, Any]]:
    found = [(str(status), _resolved(document, each)) for status, each in operation.get("responses", {}).items()]
    return sorted(found, key=lambda row: row[0])


def _resolved(document: Mapping[str, Any], part: Mapping[str, Any]) -> Mapping[str, Any]:
    """Follow one $ref into the components."""
    if "$ref" not in part:
        return part
    found: Any = document
    for step in part["$ref"].removeprefix("#/").split("/"):
        found = found[step]
    return found  # type: ignore[no-any-return]


def _subclasses(error_class: type[ServiceError]) -> Iterator[type[ServiceError]]:
    """Walk the error classes that the service itself defines."""
    for subclass in error_class.__subclasses__():
        if subclass.__module__.startswith("service."):
            yield subclass
        yield from _subclasses(subclass)
