"""Works at a home over HTTP: the member's own verdict and quotes, and the administrator's list for a budget."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from openpyxl import load_workbook
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.advice.operations.upgrade_standings import due_homes, keep, reckon
from service.households.models import Household
from tests.conftest import NOON
from tests.factories.fleet import make_fleet
from tests.factories.home_clients import UNKNOWN, pointers, send

QUOTE = {"kind": "point_tethered", "cost_pence": "115050", "quoted_on": "2026-11-20", "note": "8 m of cable"}


class People:
    """Two homes and who asks."""

    def __init__(self, database: Any, client: Any, scheme: str) -> None:
        fleet = make_fleet(database, scheme, 2, seed=3, now=NOON)
        self.home, self.neighbours = fleet.household_ids
        self.member = client("member", scheme, self.home)
        self.administrator = client("administrator", scheme)
        self.path = f"/api/v1/households/{self.home}"
        self.quotes = f"{self.path}/upgrade_quotes"


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> People:
    return People(database, client, scheme)


def reckon_all(database: Any, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        keep(session, reckon(session, due_homes(session, at=NOON, limit=9), at=NOON), at=NOON)


def test_member_and_administrator_get_the_same_verdict_with_its_working(people: People) -> None:
    own = send(people.member, "GET", f"{people.path}/upgrade")
    assert own.status_code == 200
    assert [option["work"] for option in own.json["options"]] == [
        "ev_marked_socket", "dedicated_circuit", "point_untethered", "point_tethered"
    ]
    assert own.json["answer"] == "stay" and own.json["headline"].startswith("Stay")
    assert all(option["working"] for option in own.json["options"]) and own.json["working"]
    assert {"electrician", "network", "notifiable", "smart", "tax"} <= {note["kind"] for note in own.json["takes"]}
    assert send(people.administrator, "GET", f"{people.path}/upgrade").json == own.json


def test_nothing_of_when_cars_leave_is_in_it(people: People) -> None:
    text = send(people.administrator, "GET", f"{people.path}/upgrade").get_data(as_text=True)
    assert "leaves_at" not in text and "departures\":" not in text


def test_a_second_car_is_reckoned_with_and_a_wrong_one_refused_by_name(people: People) -> None:
    asked = f"{people.path}/upgrade?second_miles=150"
    both = send(people.member, "GET", asked).json
    assert both["has_second_car"] and both["short_kwh"] > 0
    wrong = send(people.member, "GET", f"{asked}&second_leaves_at=18:00&second_returns_at=08:00")
    assert wrong.status_code == 422 and pointers(wrong) == ["#/second_returns_at"]


def test_a_second_car_is_its_members_question(people: People) -> None:
    """Asked with one hour after the other, what falls short would tell an administrator when the first car is there."""
    asked = f"{people.path}/upgrade?second_miles=150"
    assert send(people.administrator, "GET", asked).status_code == 403


def test_a_neighbours_home_is_not_there(people: People) -> None:
    for path in ("upgrade", "upgrade_quotes"):
        assert send(people.member, "GET", f"/api/v1/households/{people.neighbours}/{path}").status_code == 404
        assert send(people.administrator, "GET", f"/api/v1/households/{UNKNOWN}/{path}").status_code == 404


def test_a_quote_is_entered_once_read_changed_and_deleted(people: People, database: Any, scheme: str) -> None:
    made = send(people.member, "POST", people.quotes, QUOTE, key="once")
    assert made.status_code == 201 and made.json == {"id": made.json["id"], **QUOTE}
    assert send(people.member, "POST", people.quotes, QUOTE, key="once").json == made.json
    assert send(people.administrator, "GET", people.quotes).json == {"items": [made.json], "most": 30}
    one = f"{people.quotes}/{made.json['id']}"
    etag = send(people.member, "GET", one).headers["ETag"]
    option = send(people.member, "GET", f"{people.path}/upgrade").json["options"][3]
    assert (option["cost_pence"], option["is_quoted"], option["is_cost_assumed"]) == ("115050", True, False)
    assert send(people.member, "PATCH", one, {"cost_pence": "99000"}).status_code == 428
    changed = send(people.administrator, "PATCH", one, {"cost_pence": "99000"}, etag=etag)
    assert changed.json == {**made.json, "cost_pence": "99000"}
    assert send(people.member, "DELETE", one, etag=etag).status_code == 412
    assert send(people.member, "DELETE", one, etag=changed.headers["ETag"]).status_code == 204
    assert send(people.member, "GET", people.quotes).json["items"] == []
    with database.scheme(scheme, write=False) as session:
        trail = session.scalars(select(AuditEntry).where(AuditEntry.subject_kind == "upgrade_quote")).all()
    assert sorted(entry.action for entry in trail) == ["add", "change", "remove"]


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"cost_pence": "5000001"}, "/cost_pence"),
        ({"cost_pence": "12.5"}, "/cost_pence"),
        ({"cost_pence": 1150}, "/cost_pence"),
        ({"quoted_on": "2026-11-26"}, "/quoted_on"),
        ({"kind": "palace"}, "/kind"),
        ({"note": "x" * 301}, "/note"),
    ],
)
def test_a_quote_that_cannot_be_is_refused_beside_its_field(people: People, change: dict, pointer: str) -> None:
    reply = send(people.member, "POST", people.quotes, {**QUOTE, **change})
    assert (reply.status_code, pointers(reply)) == (422, [f"#{pointer}"])


def test_no_more_quotes_are_kept_than_the_bound(people: People) -> None:
    for number in range(30):
        assert send(people.member, "POST", people.quotes, QUOTE, key=f"k{number}").status_code == 201
    assert send(people.member, "POST", people.quotes, QUOTE).status_code == 409


def test_the_list_says_how_many_homes_are_reckoned(people: People, database: Any, scheme: str) -> None:
    before = send(people.administrator, "GET", "/api/v1/upgrades?budget_pounds=2000").json
    assert (before["reckoned_count"], before["home_count"]) == (0, 2)
    assert {row["place"] for row in before["items"]} == {"not_reckoned"}
    reckon_all(database, scheme)
    after = send(people.administrator, "GET", "/api/v1/upgrades?budget_pounds=2000").json
    assert after["reckoned_count"] == 2
    assert {row["place"] for row in after["items"]} == {"no_gain"}
    assert len(after["working"]) == 2


def test_a_cheap_quote_makes_the_list_choose_the_home_at_once(people: People, database: Any, scheme: str) -> None:
    reckon_all(database, scheme)
    send(people.member, "POST", people.quotes, {**QUOTE, "cost_pence": "500"})
    found = send(people.administrator, "GET", "/api/v1/upgrades?budget_pounds=5").json
    first = found["items"][0]
    assert (first["household_id"], first["place"], first["is_paid_for"]) == (people.home, "chosen", True)
    assert first["work"]["work"] == "point_tethered" and found["spent_pounds"] == 5
    broke = send(people.administrator, "GET", "/api/v1/upgrades?budget_pounds=4").json["items"][0]
    assert (broke["place"], broke["is_paid_for"]) == ("not_reached", False)


@pytest.mark.parametrize("budget", ["-1", "10000001", "12.5", "lots"])
def test_a_budget_that_cannot_be_is_refused(people: People, budget: str) -> None:
    assert send(people.administrator, "GET", f"/api/v1/upgrades?budget_pounds={budget}").status_code == 422


def test_members_have_no_list_and_no_export(people: People) -> None:
    for path in ("/api/v1/upgrades", "/api/v1/upgrades/export"):
        assert send(people.member, "GET", path).status_code == 403


def test_the_export_has_every_home_in_order_and_is_written_down(people: People, database: Any, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        session.get(Household, (scheme, people.home)).reference = "=1+1"
    reckon_all(database, scheme)
    text = send(people.administrator, "GET", "/api/v1/upgrades/export?budget_pounds=2000")
    assert text.headers["Content-Disposition"] == 'attachment; filename="upgrades-2026-11-25.csv"'
    rows = list(csv.DictReader(io.StringIO(text.data.decode("utf-8-sig"))))
    assert [row["Rank"] for row in rows] == ["1", "2"]
    assert "'=1+1" in [row["Home"] for row in rows]
    book = send(people.administrator, "GET", "/api/v1/upgrades/export?budget_pounds=2000&format=xlsx")
    sheet = load_workbook(io.BytesIO(book.data)).active
    assert sorted(cell.value for cell in sheet["B"][1:]) == sorted(row["Home"].lstrip("'") for row in rows)
    assert {cell.data_type for cell in sheet["B"]} <= {"s", "inlineStr"}
    with database.scheme(scheme, write=False) as session:
        trail = session.scalars(select(AuditEntry).where(AuditEntry.action == "export")).all()
    assert [entry.subject_kind for entry in trail] == ["upgrades", "upgrades"]
