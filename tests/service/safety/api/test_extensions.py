"""Extension leads over HTTP: members and administrators record and end them, and see why they may not be used."""

from collections.abc import Callable
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from tests.factories.home_clients import HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases


@pytest.fixture
def people(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id)
    return people


def use(people: HomeClients, **changes: Any) -> dict[str, Any]:
    usual = {"outlet_id": people.home.outlet_id, "label": "Orange drum", "mark": "7", "size_mm2": 1.25, "length_m": 9.5}
    return {**usual, **changes}


def test_a_use_stops_at_once_is_listed_with_its_reasons_and_ends_by_a_word_of_the_member(people: HomeClients) -> None:
    path = f"{people.path}/extension_leads"
    made = send(people.member, "POST", path, use(people), key="one")
    assert made.status_code == 201, made.get_data(as_text=True)
    assert send(people.member, "POST", path, use(people), key="one").json == made.json
    assert (made.json["size_mm2"], made.json["length_m"], made.json["is_coiled"]) == (1.25, 9.5, "not_known")
    assert (made.json["allows_charging"], made.json["limit_a"], made.json["can_be_lifted"]) == (False, None, True)
    assert "no inspection names this lead" in made.json["reasons"]
    assert made.json["do_now"][0] == "End the charge at the car."
    assert {step["what"] for step in made.json["working"]} > {"Extension lead", "Longest by size"}

    def shown() -> Any:
        return people.member.get(f"{people.path}/clearance").json["clearances"][0]

    assert (shown()["clearance"], shown()["needs"][0]) == ("do_not_use", "extension_ended")
    assert people.administrator.get(path).json["items"] == [made.json]
    ended = send(people.member, "POST", f"{path}/{made.json['id']}/ending")
    assert (ended.status_code, ended.json["ended_at"] is not None, ended.json["reasons"]) == (200, True, [])
    assert (ended.json["allows_charging"], ended.json["ended_by"] is not None) == (None, True)
    assert shown()["clearance"] == "fit_to_use"


def test_an_administrator_records_and_ends_one_too_and_a_neighbour_does_neither(people: HomeClients) -> None:
    path = f"{people.path}/extension_leads"
    made = send(people.administrator, "POST", path, use(people))
    assert made.status_code == 201
    for method, url, body in (
        ("GET", path, None), ("POST", path, use(people)), ("POST", f"{path}/{made.json['id']}/ending", None),
    ):  # fmt: skip
        assert send(people.stranger, method, url, body).status_code == 404
    assert send(people.administrator, "POST", f"{path}/{made.json['id']}/ending").status_code == 200


def test_what_cannot_be_is_named_and_nothing_is_kept(people: HomeClients) -> None:
    path = f"{people.path}/extension_leads"
    for changes, pointer in (
        ({"outlet_id": people.neighbour.outlet_id}, "#/outlet_id"), ({"size_mm2": 7}, "#/size_mm2"),
        ({"length_m": 1001}, "#/length_m"), ({"is_chained": "maybe"}, "#/is_chained"), ({"label": ""}, "#/label"),
    ):  # fmt: skip
        reply = send(people.member, "POST", path, use(people, **changes))
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes
    assert people.member.get(path).json["total"] == 0
