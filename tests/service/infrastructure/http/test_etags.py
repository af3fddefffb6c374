"""ETags: strong, asked for on every change, and honoured on every read."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.exceptions import PreconditionFailed, PreconditionRequired

from service.infrastructure.http.etags import etag_of, require_match

THING = "/api/v1/things/" + "0" * 31 + "1"
ADMINISTRATOR = {"X-Test-Roles": "administrator", "X-Requested-By": "plugward"}


@pytest.mark.parametrize(("version", "etag"), [((7,), '"7"'), (("9f3c", 2), '"9f3c-2"'), (("a.b_c",), '"a.b_c"')])
def test_a_version_becomes_a_strong_etag(version: tuple[Any, ...], etag: str) -> None:
    assert etag_of(*version) == etag


@pytest.mark.parametrize("version", [(), ("",), ('a"b',), ("a b",), ("ü",), ("a\n",)])
def test_what_could_break_the_header_is_refused(version: tuple[Any, ...]) -> None:
    with pytest.raises(ValueError):
        etag_of(*version)


@pytest.mark.parametrize(
    ("if_match", "error"),
    [
        (None, PreconditionRequired),
        ("", PreconditionRequired),
        ('"2"', PreconditionFailed),
        ('W/"3"', PreconditionFailed),
        ('"33"', PreconditionFailed),
        ("nonsense", PreconditionFailed),
        ('"3"', None),
        ('"1", "3"', None),
        ("*", None),
    ],
)
def test_a_change_must_name_the_version_it_was_made_from(app: Flask, if_match: str | None, error: Any) -> None:
    headers = {} if if_match is None else {"If-Match": if_match}
    with app.test_request_context("/", method="PUT", headers=headers):
        if error is None:
            require_match(3)
        else:
            with pytest.raises(error):
                require_match(3)


def test_a_read_carries_the_etag_and_a_change_the_next(client: FlaskClient) -> None:
    read = client.get(THING, headers=ADMINISTRATOR)
    assert read.headers.get_all("ETag") == ['"3"']
    changed = client.put(THING, json={"name": "b"}, headers={**ADMINISTRATOR, "If-Match": read.headers["ETag"]})
    assert (changed.status_code, changed.headers["ETag"]) == (200, '"4"')


@pytest.mark.parametrize("if_none_match", ['"3"', 'W/"3"', '"1", "3"', "*"])
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_a_copy_that_is_still_right_is_not_sent_again(client: FlaskClient, if_none_match: str, method: str) -> None:
    response = client.open(THING, method=method, headers={**ADMINISTRATOR, "If-None-Match": if_none_match})
    assert (response.status_code, response.data, response.headers["ETag"]) == (304, b"", '"3"')


def test_an_older_copy_is_replaced(client: FlaskClient) -> None:
    assert client.get(THING, headers={**ADMINISTRATOR, "If-None-Match": '"2"'}).status_code == 200


def test_a_change_without_if_match_is_refused_before_its_body_is_looked_at(client: FlaskClient) -> None:
    assert client.put(THING, json={}, headers=ADMINISTRATOR).status_code == 428
    assert client.delete(THING, headers=ADMINISTRATOR).status_code == 428
    assert client.delete(THING, headers={**ADMINISTRATOR, "If-Match": '"3"'}).status_code == 204


def test_the_document_names_the_headers(app: Flask) -> None:
    item = app.extensions["test-api"].spec.to_dict()["paths"]["/api/v1/things/{thing_id}"]
    assert {"$ref": "#/components/parameters/IF_MATCH"} in item["put"]["parameters"]
    assert {"$ref": "#/components/parameters/IF_NONE_MATCH"} in item["get"]["parameters"]
    assert {"412", "428"} <= set(item["put"]["responses"])
    assert "ETag" in item["get"]["responses"]["200"]["headers"]
