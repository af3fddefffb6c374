"""Pages: bounded, counted in the body, sorted only by declared keys."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from service.common.errors import Rejected
from service.infrastructure.http.fields import StrictSchema, Text
from service.infrastructure.http.paging import (
    GREATEST_SIZE,
    LAST_PAGE,
    Page,
    PageQuery,
    SortKey,
    first_row,
    page_schema,
    sort_field,
    sort_key,
)

ADMINISTRATOR = {"X-Test-Roles": "administrator"}


class RowSchema(StrictSchema):
    name = Text(max_length=5)


def test_the_envelope_holds_items_total_and_the_page_asked_for(client: FlaskClient) -> None:
    body = client.get("/api/v1/things?page=3&page_size=20", headers=ADMINISTRATOR).get_json()
    assert body == {"items": [{"id": "0" * 31 + "1", "name": "a"}], "total": 1, "page": 3, "page_size": 20}


def test_the_usual_page_is_the_first_fifty() -> None:
    assert PageQuery().load({}) == {"page": 1, "page_size": 50}


@pytest.mark.parametrize(
    "query", ["page=0", "page=-1", "page=x", "page=1.5", "page=", "page_size=0", "page_size=201", "page=" + "9" * 40]
)
def test_a_page_out_of_bounds_is_rejected(client: FlaskClient, query: str) -> None:
    assert client.get(f"/api/v1/things?{query}", headers=ADMINISTRATOR).status_code == 422


def test_the_greatest_page_keeps_the_offset_inside_64_bits() -> None:
    assert first_row(1, 50) == 0
    assert first_row(3, 20) == 40
    assert first_row(LAST_PAGE, GREATEST_SIZE) < 2**63


def test_a_page_schema_is_named_after_its_row() -> None:
    schema = page_schema(RowSchema)
    assert schema.__name__ == "RowPageSchema"
    assert schema().dump(Page([{"name": "a"}], 7, 1, 50)) == {
        "items": [{"name": "a"}],
        "total": 7,
        "page": 1,
        "page_size": 50,
    }


@pytest.mark.parametrize(("text", "key"), [("name", SortKey("name", False)), ("-price", SortKey("price", True))])
def test_a_sort_key_is_read_with_its_direction(text: str, key: SortKey) -> None:
    assert sort_key(text, ("name", "price")) == key


@pytest.mark.parametrize("text", ["size", "--name", "-", "", "name,price", "name desc"])
def test_an_undeclared_sort_key_is_rejected(text: str) -> None:
    with pytest.raises(Rejected):
        sort_key(text, ("name", "price"))


def test_the_usual_sort_must_be_declared() -> None:
    with pytest.raises(ValueError):
        sort_field("name", usual="price")


def test_the_document_lists_the_sort_keys(app: Any) -> None:
    parameters = app.extensions["test-api"].spec.to_dict()["paths"]["/api/v1/things"]["get"]["parameters"]
    sort = next(each for each in parameters if each["name"] == "sort")
    assert sort["schema"]["enum"] == ["name", "-name", "price", "-price"]
