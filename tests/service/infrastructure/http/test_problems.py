"""Problems: every refusal, whoever raised it, is an RFC 9457 body that says where and what."""

import json
import logging
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.common.errors import NotFound, Rejected
from service.infrastructure.http.problems import LONGEST_VALUE, pointer, problem_name, shown, status_of

ADMINISTRATOR = {"X-Test-Roles": "administrator", "X-Requested-By": "plugward"}
THING = "/api/v1/things/" + "0" * 31 + "1"


@pytest.mark.parametrize(
    ("method", "path", "options", "status", "name"),
    [
        ("GET", "/api/v1/nothing", {}, 404, "not-found"),
        ("POST", "/api/v1/nothing", {}, 404, "not-found"),
        ("GET", "/api/v1/things/not-an-id", {}, 404, "not-found"),
        ("DELETE", "/api/v1/things", {"headers": ADMINISTRATOR}, 405, "method-not-allowed"),
        ("TRACE", "/api/v1/things", {}, 405, "method-not-allowed"),
        ("GET", "/api/v1/things", {}, 401, "unauthenticated"),
        ("GET", "/api/v1/things", {"headers": {"X-Test-Roles": "member"}}, 403, "forbidden"),
        ("GET", "/api/v1/raise/conflict", {}, 409, "conflict"),
        ("GET", "/api/v1/raise/too_many", {}, 429, "too-many"),
        ("GET", "/api/v1/raise/locked", {}, 503, "busy"),
        ("GET", "/api/v1/raise/disk", {}, 500, "internal"),
        ("GET", "/api/v1/raise/bug", {}, 500, "internal"),
        ("PUT", THING, {"headers": ADMINISTRATOR, "json": {"name": "b"}}, 428, "if-match-needed"),
        ("PUT", THING, {"headers": {**ADMINISTRATOR, "If-Match": '"2"'}, "json": {"name": "b"}}, 412, "stale"),
        ("POST", "/api/v1/things", {"headers": ADMINISTRATOR, "data": b"x" * 5000}, 413, "body-too-large"),
        ("POST", "/api/v1/things", {"headers": ADMINISTRATOR, "data": {"name": "b"}}, 415, "unsupported-media-type"),
        ("POST", "/api/v1/things", {"headers": ADMINISTRATOR}, 422, "rejected"),
    ],
)
def test_every_refusal_is_a_problem_with_a_stable_type(
    client: FlaskClient, problem_of: Any, method: str, path: str, options: dict[str, Any], status: int, name: str
) -> None:
    body = problem_of(client.open(path, method=method, **options))
    assert body["status"] == status
    assert body["type"] == f"/problems/{name}"
    assert body["instance"] == path


def test_a_refused_method_names_the_allowed_ones(client: FlaskClient) -> None:
    response = client.delete("/api/v1/things", headers=ADMINISTRATOR)
    assert {"GET", "POST"} <= set(response.headers["Allow"].split(", "))


@pytest.mark.parametrize(("kind", "seconds"), [("too_many", "30"), ("locked", "2")])
def test_too_many_and_busy_say_when_to_come_back(client: FlaskClient, kind: str, seconds: str) -> None:
    assert client.get(f"/api/v1/raise/{kind}").headers["Retry-After"] == seconds


def test_domain_faults_become_pointers_with_rule_and_short_value(client: FlaskClient, problem_of: Any) -> None:
    errors = problem_of(client.get("/api/v1/raise/faults"))["errors"]
    assert errors[0]["pointer"] == "#/sheets/0/bands/1/name"
    assert errors[0]["detail"] == "appears twice"
    assert len(errors[0]["value"]) == LONGEST_VALUE
    assert errors[1] == {"pointer": "#", "detail": "has no sheet"}
    assert errors[2] == {"pointer": "#/a~0b~1c", "detail": "is odd", "value": "\\ud800"}


def test_field_messages_become_pointers_into_the_body(client: FlaskClient, problem_of: Any) -> None:
    sent = {"name": "", "parts": [{"name": "ok"}, {"name": "too long", "colour": 1}]}
    errors = problem_of(client.post("/api/v1/things", json=sent, headers=ADMINISTRATOR))["errors"]
    assert {entry["pointer"] for entry in errors} == {"#/name", "#/parts/1/name", "#/parts/1/colour"}
    assert all("location" not in entry for entry in errors)


def test_query_faults_say_that_they_are_in_the_query(client: FlaskClient, problem_of: Any) -> None:
    response = client.get("/api/v1/things?page=0&page_size=201&sort=size&colour=red", headers=ADMINISTRATOR)
    errors = problem_of(response)["errors"]
    assert {entry["pointer"] for entry in errors} == {"#/page", "#/page_size", "#/sort", "#/colour"}
    assert {entry["location"] for entry in errors} == {"query"}


def test_detail_alone_says_what_is_wrong(client: FlaskClient, problem_of: Any) -> None:
    assert "name: Missing data" in problem_of(client.post("/api/v1/things", json={}, headers=ADMINISTRATOR))["detail"]


def test_a_password_is_never_repeated_back(client: FlaskClient, problem_of: Any) -> None:
    response = client.post("/api/v1/session", json={"password": "hush-hush"}, headers=ADMINISTRATOR)
    assert problem_of(response)["errors"] == [{"pointer": "#/password", "detail": "is too short"}]
    assert "hush-hush" not in response.get_data(as_text=True)


@pytest.mark.parametrize("kind", ["bug", "disk"])
def test_what_nobody_caught_tells_no_secrets_but_is_logged_with_the_requests_id(
    client: FlaskClient, problem_of: Any, caplog: pytest.LogCaptureFixture, kind: str
) -> None:
    with caplog.at_level(logging.ERROR):
        response = client.get(f"/api/v1/raise/{kind}")
    body = problem_of(response)
    assert "b.example" not in response.get_data(as_text=True)
    failures = [record for record in caplog.records if record.message == "request failed"]
    assert [record.request_id for record in failures] == [body["request_id"]]
    assert response.headers["X-Request-Id"] == body["request_id"]


def test_the_document_says_problem_json_for_every_refusal(app: Any) -> None:
    document = app.extensions["test-api"].spec.to_dict()
    assert document["openapi"] == "3.1.0"
    refusals = document["components"]["responses"]
    assert refusals
    for name, response in refusals.items():
        if name != "NOT_MODIFIED":
            assert list(response["content"]) == ["application/problem+json"], name
    for item in document["paths"].values():
        for method in set(item) & {"get", "post", "put", "patch", "delete"}:
            assert item[method]["responses"]["default"] == {"$ref": "#/components/responses/DEFAULT_ERROR"}


def test_the_problem_on_the_wire_has_only_documented_members(app: Any, client: FlaskClient, problem_of: Any) -> None:
    documented = app.extensions["test-api"].spec.to_dict()["components"]["schemas"]
    body = problem_of(client.get("/api/v1/raise/faults"))
    assert set(body) <= set(documented["Problem"]["properties"])
    assert set(documented["Problem"]["required"]) <= set(body)
    for entry in body["errors"]:
        assert set(entry) <= set(documented["Fault"]["properties"])


def test_a_subclass_takes_the_status_of_its_nearest_class_and_a_type_of_its_own() -> None:
    class NoPlanYet(NotFound):
        """No plan."""

    assert status_of(NoPlanYet) == 404
    assert problem_name(NoPlanYet) == "no-plan-yet"
    assert status_of(Rejected) == 422


@pytest.mark.reference
@pytest.mark.parametrize(
    ("parts", "expected"),
    # RFC 6901 sections 5 and 6 evaluate these names of one example document as URI fragments.
    [
        ([], "#"),
        (["foo"], "#/foo"),
        (["foo", 0], "#/foo/0"),
        ([""], "#/"),
        (["a/b"], "#/a~1b"),
        (["c%d"], "#/c%25d"),
        (["e^f"], "#/e%5Ef"),
        (["g|h"], "#/g%7Ch"),
        (["i\\j"], "#/i%5Cj"),
        (['k"l'], "#/k%22l"),
        ([" "], "#/%20"),
        (["m~n"], "#/m~0n"),
    ],
)
def test_pointers_are_written_as_rfc_6901_writes_fragments(
    parts: list[Any], expected: str, record_property: Any
) -> None:
    got = pointer(*parts)
    record_property("source", "RFC 6901, sections 5 and 6, from memory")
    record_property("expected", expected)
    record_property("got", got)
    assert got == expected


def test_shown_values_are_short_and_always_encodable() -> None:
    assert shown("abc") == "abc"
    assert shown(12) == "12"
    assert shown("x" * 1000) == "x" * (LONGEST_VALUE - 1) + "…"
    json.dumps(shown("\ud800")).encode("utf-8")
