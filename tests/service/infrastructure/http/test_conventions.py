"""What all operations share is in the document of each, and the document follows its own rules."""

from typing import Any

import pytest
from flask import Flask


@pytest.fixture
def document(app: Flask) -> dict[str, Any]:
    found: dict[str, Any] = app.extensions["test-api"].spec.to_dict()
    return found


def operations(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, item[method])
        for path, item in document["paths"].items()
        for method in sorted(set(item) & {"get", "post", "put", "patch", "delete"})
    ]


def refs(part: Any) -> set[str]:
    if isinstance(part, dict):
        found = {part["$ref"]} if isinstance(part.get("$ref"), str) else set()
        return found.union(*map(refs, part.values()))
    return set().union(*map(refs, part)) if isinstance(part, list) else set()


def test_exactly_the_changing_operations_ask_for_the_header(document: dict[str, Any]) -> None:
    for path, method, operation in operations(document):
        asks = {"$ref": "#/components/parameters/REQUESTED_BY"} in operation.get("parameters", [])
        assert asks == (method != "get"), (method, path)


def test_creations_take_an_idempotency_key(document: dict[str, Any]) -> None:
    takers = {
        path
        for path, _, operation in operations(document)
        if {"$ref": "#/components/parameters/IDEMPOTENCY_KEY"} in operation.get("parameters", [])
    }
    assert takers == {"/api/v1/things"}


def test_a_path_with_an_id_may_answer_404(document: dict[str, Any]) -> None:
    for path, method, operation in operations(document):
        assert ("404" in operation["responses"]) == ("{" in path), (method, path)


def test_every_reference_leads_to_a_component(document: dict[str, Any]) -> None:
    found = refs(document)
    assert found
    for reference in found:
        part: Any = document
        for step in reference.removeprefix("#/").split("/"):
            part = part[step]


def test_the_session_cookie_is_the_security_scheme(document: dict[str, Any]) -> None:
    scheme = document["components"]["securitySchemes"]["session"]
    assert (scheme["type"], scheme["in"], scheme["name"]) == ("apiKey", "cookie", "__Host-plugward")
