"""The book of figures over HTTP: for whom it is, what it lists, and what it says is not known."""

from collections.abc import Callable
from typing import Any

import pytest

from service.figures import operations
from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.figures import recorded
from tests.factories.home_clients import home_clients, pointers

URL = "/api/v1/figures"


@pytest.fixture
def finance(client: Callable[..., Any], scheme: str) -> Any:
    return client("finance", scheme)


def found(who: Any, query: str = "") -> dict[str, Any]:
    reply = who.get(f"{URL}{query}")
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return reply.get_json()  # type: ignore[no-any-return]


def test_administrator_finance_and_member_read_the_same_book(
    database: Database, client: Callable[..., Any], scheme: str, finance: Any
) -> None:
    clients = home_clients(database, client, scheme)
    books = [found(who) for who in (finance, clients.administrator, clients.member)]
    assert books[0] == books[1] == books[2]
    assert len(books[0]["items"]) > 100


def test_a_figure_carries_source_standing_days_and_words(finance: Any) -> None:
    (row,) = found(finance, "?name=advisory_electric_public&on=2026-08-31")["items"]
    assert row == {
        "name": "advisory_electric_public", "key": "", "subject": "Company car: advisory rates",
        "label": "electric, charged in public", "from_on": "2026-06-01", "until_on": "2026-09-01",
        "is_in_force": True, "value": "15", "unit": "pence per mile", "standing": "published",
        "source": "HMRC, advisory fuel rates, via an accountants' note", "recorded_by": None, "recorded_at": None,
    }


def test_what_is_not_known_is_said_for_today_and_for_any_day(finance: Any) -> None:
    book = found(finance)
    assert book["on"] == "2026-11-25"
    missing = {(row["name"], row["key"]): row["since_on"] for row in book["not_known"]}
    assert missing["advisory_electric_home", ""] == "2026-09-01"
    assert missing["advisory_petrol", "above_2000"] == "2026-09-01"
    assert found(finance, "?name=advisory_electric_home&on=2026-08-31")["not_known"] == []
    early = found(finance, "?on=2017-01-01&name=advisory_electric_home")
    assert (early["items"], early["not_known"][0]["since_on"]) == ([], None)


def test_the_whole_book_marks_what_is_in_force(finance: Any) -> None:
    rows = found(finance, "?name=mileage_allowance_first")["items"]
    assert [(row["from_on"], row["value"], row["is_in_force"]) for row in rows] == [
        ("2011-04-06", "45", False), ("2026-04-06", "55", True)
    ]
    assert not any(row["is_in_force"] for row in found(finance, "?name=advisory_electric_home")["items"])


def test_what_the_operator_recorded_says_by_whom_and_when(database: Database, finance: Any) -> None:
    with database.system(write=True) as session:
        operations.record_figure(session, recorded(), by="Op", at=NOON)
    (row,) = found(finance, "?name=advisory_electric_home&on=2026-11-25")["items"]
    assert (row["standing"], row["recorded_by"], row["recorded_at"]) == ("operator", "Op", "2026-11-25T12:00:00+00:00")


@pytest.mark.parametrize(
    ("query", "pointer"), [("?name=diesel", "#/name"), ("?on=2026-02-30", "#/on"), ("?key=x", "#/key")]
)
def test_a_query_that_means_nothing_is_refused(finance: Any, query: str, pointer: str) -> None:
    reply = finance.get(f"{URL}{query}")
    assert reply.status_code == 422
    assert pointers(reply) == [pointer]


def test_nobody_writes_figures_over_http(finance: Any) -> None:
    assert finance.post(URL, json={}).status_code == 405
