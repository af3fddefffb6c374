"""Reading input: strict JSON with the place of the fault, and ids that can only be ids."""

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.infrastructure.http.bodies import DEEPEST, read_json

ADMINISTRATOR = {"X-Test-Roles": "administrator", "X-Requested-By": "plugward"}


def post(client: FlaskClient, body: bytes) -> Any:
    return client.post("/api/v1/things", data=body, headers=ADMINISTRATOR, content_type="application/json")


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"{", "line 1, column 2"),
        (b'{"name": "a",\n "x" 1}', "line 2, column 6"),
        (b'{"name": "\xff"}', "not UTF-8"),
        (b"\xff\xfe{\x00}\x00", "not UTF-8"),
        (b'{"name": NaN}', "NaN"),
        (b'{"name": -Infinity}', "-Infinity"),
        (b'{"name": "a", "name": "b"}', "'name' appears twice"),
        (b'{"parts": [{"name": "a", "name": "b"}]}', "'name' appears twice"),
        (b"[" * 3000, f"more than {DEEPEST} levels"),
        (b'{"a":' * 100 + b"1" + b"}" * 100, f"more than {DEEPEST} levels"),
        (b'{"name": ' + b"9" * 400 + b"}", "20 digits"),
        (b"   ", "line 1"),
    ],
)
def test_malformed_json_is_a_400_that_says_where(client: FlaskClient, problem_of: Any, body: bytes, words: str) -> None:
    found = problem_of(post(client, body))
    assert found["status"] == 400
    assert found["errors"][0]["pointer"] == "#"
    assert words in found["detail"]


@pytest.mark.parametrize("body", [b"[]", b"1", b'"a"', b"null", b"true", b"1e400"])
def test_json_of_another_kind_than_an_object_is_rejected(client: FlaskClient, problem_of: Any, body: bytes) -> None:
    assert problem_of(post(client, body))["status"] in (400, 422)


@pytest.mark.parametrize("text", ["a\x00b", "a\nb", "\u2028", "\ud800", "\x7f"])
def test_control_characters_and_half_surrogates_are_rejected_with_a_pointer(
    client: FlaskClient, problem_of: Any, text: str
) -> None:
    body = problem_of(post(client, json.dumps({"name": text}).encode()))
    assert (body["status"], body["errors"][0]["pointer"]) == (422, "#/name")


def test_an_odd_unknown_name_is_repeated_back_safely(client: FlaskClient, problem_of: Any) -> None:
    body = problem_of(post(client, b'{"name": "a", "\\ud800/~": 1}'))
    assert body["errors"][0]["pointer"] == "#/%5Cud800~1~0"


@pytest.mark.parametrize("value", [{"a": [1, 2.5, "x", None, True]}, "[[[[" * 30, '\\"[' * 40, 10**19, []])
def test_well_formed_json_reads_as_python_reads_it(value: Any) -> None:
    assert read_json(json.dumps(value).encode()) == value


def test_nesting_is_counted_exactly() -> None:
    read_json(b"[" * DEEPEST + b"]" * DEEPEST)
    with pytest.raises(json.JSONDecodeError):
        read_json(b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1))
    read_json(b"[" + b"[]," * 500 + b"[]]")


@pytest.mark.parametrize("wrong", ["1", "A" * 32, "0" * 33, "g" * 32, "%00" + "0" * 31, "0" * 32 + "%0A"])
def test_what_is_not_an_id_is_an_unknown_id(client: FlaskClient, wrong: str) -> None:
    assert client.get(f"/api/v1/things/{wrong}", headers=ADMINISTRATOR).status_code in (400, 404)


def test_the_id_is_documented_with_its_pattern(app: Any) -> None:
    item = app.extensions["test-api"].spec.to_dict()["paths"]["/api/v1/things/{thing_id}"]
    assert item["parameters"][0]["schema"] == {"type": "string", "pattern": "^[0-9a-f]{32}$"}
