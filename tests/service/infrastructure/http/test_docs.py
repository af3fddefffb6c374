"""The reference pages: what they show is what the document and the error classes say."""

from html.parser import HTMLParser
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.infrastructure.http.docs import problem_types, shape_of
from service.infrastructure.http.problems import HTTP_PROBLEMS


class Reading(HTMLParser):
    """Collects texts, ids, in-page links and whatever could run or load from elsewhere."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text, self.ids, self.links, self.loads = "", set[str](), set[str](), list[str]()
        self.feed(html)

    def handle_data(self, data: str) -> None:
        self.text += data + " "

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if "id" in found:
            assert found["id"] not in self.ids
            self.ids.add(found["id"])
        if tag == "a":
            self.links.add(found["href"])
        if tag in ("script", "style", "iframe", "img") or "style" in found or any(n.startswith("on") for n in found):
            self.loads.append(tag)
        if tag == "link":
            assert found["href"] in ("/plain.css", "/favicon.svg")


def read(client: FlaskClient, path: str) -> Reading:
    response = client.get(path)
    assert (response.status_code, response.mimetype) == (200, "text/html")
    return Reading(response.get_data(as_text=True))


def test_the_page_shows_every_operation_with_its_roles_parameters_and_answers(app: Flask, client: FlaskClient) -> None:
    page = read(client, "/api/v1/docs")
    document = app.extensions["test-api"].spec.to_dict()
    count = 0
    for path, item in document["paths"].items():
        for method in set(item) & {"get", "post", "put", "patch", "delete"}:
            count += 1
            assert path in page.text
            assert item[method].get("summary", "") in page.text
    assert count == page.text.count("Who:")
    for words in (
        "administrator, member",
        "anybody, without signing in",
        "If-Match",
        "X-Requested-By",
        "Thing",
        "page_size",
        "at most 200",
        "one of name, -name, price, -price",
        "Things to try the edge with.",
    ):
        assert words in page.text, words


def test_every_link_inside_the_page_leads_somewhere(client: FlaskClient) -> None:
    page = read(client, "/api/v1/docs")
    inside = {link.removeprefix("#") for link in page.links if link.startswith("#")}
    assert inside
    assert inside <= page.ids
    for link in page.links - {f"#{name}" for name in inside}:
        assert client.get(link).status_code == 200, link


@pytest.mark.parametrize("path", ["/api/v1/docs", "/api/v1/problems", "/api/v1/problems/stale"])
def test_pages_run_nothing_and_load_nothing_from_elsewhere(client: FlaskClient, path: str) -> None:
    assert read(client, path).loads == []


def test_every_shape_and_field_of_the_document_is_shown(app: Flask, client: FlaskClient) -> None:
    page = read(client, "/api/v1/docs")
    for name, shape in app.extensions["test-api"].spec.to_dict()["components"]["schemas"].items():
        assert f"shape-{name}" in page.ids
        for field in shape["properties"]:
            assert field in page.text


def test_every_problem_that_is_raised_has_a_page_at_its_type(client: FlaskClient) -> None:
    for kind in ("conflict", "too_many", "locked", "bug", "faults"):
        problem = client.get(f"/api/v1/raise/{kind}").get_json(force=True)
        page = client.get(problem["type"], follow_redirects=True)
        assert page.status_code == 200
        assert problem["title"] in page.get_data(as_text=True)


def test_the_list_of_problems_is_complete_and_each_says_what_it_means(client: FlaskClient) -> None:
    page = read(client, "/api/v1/problems")
    names = [problem.name for problem in problem_types()]
    assert len(names) == len(set(names))
    assert {name for name, _, _ in HTTP_PROBLEMS.values()} <= set(names)
    assert "not-from-our-pages" in names
    for problem in problem_types():
        assert problem.meaning, problem.name
        assert f"/problems/{problem.name}" in page.text


def test_an_unknown_kind_of_problem_is_not_found(client: FlaskClient, problem_of: Any) -> None:
    assert problem_of(client.get("/api/v1/problems/no-such-kind"))["status"] == 404


def test_the_page_is_compressed_where_the_browser_takes_that(client: FlaskClient) -> None:
    plain = client.get("/api/v1/docs")
    packed = client.get("/api/v1/docs", headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert len(packed.data) < len(plain.data) / 3


@pytest.mark.parametrize(
    ("schema", "text", "ref", "rules"),
    [
        ({"$ref": "#/components/schemas/Thing"}, "Thing", "Thing", ""),
        ({"anyOf": [{"$ref": "#/x/Thing"}, {"type": "null"}]}, "Thing or null", "Thing", ""),
        ({"type": "array", "items": {"$ref": "#/x/Thing"}}, "list of Thing", "Thing", ""),
        ({"type": ["array", "null"], "items": {"type": "string"}}, "list of string or null", None, ""),
        (
            {"type": "integer", "minimum": 1, "maximum": 9, "default": 2},
            "integer",
            None,
            "at least 1; at most 9; default 2",
        ),
        ({"type": "string", "format": "date"}, "string", None, "date"),
        ({"type": "string", "pattern": "^[0-9]$"}, "string", None, "pattern ^[0-9]$"),
        ({"type": ["string", "null"], "enum": ["a", None]}, "string or null", None, "one of a, null"),
        ({}, "any", None, ""),
    ],
)
def test_a_schema_is_put_in_words(schema: dict[str, Any], text: str, ref: str | None, rules: str) -> None:
    shape = shape_of(schema)
    assert (shape.text, shape.ref, shape.rules) == (text, ref, rules)
