"""A safety officer's decisions over HTTP: who may make them, and what is refused."""

from collections.abc import Callable
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from tests.factories.home_clients import HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect


@pytest.fixture
def people(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id)
    return people


def decision(people: HomeClients, **changes: Any) -> dict[str, Any]:
    usual = {"kind": "stricter", "item_kind": "outlet", "item_id": people.home.outlet_id, "clearance": "do_not_use"}
    return {**usual, "reason": "worn shutters", **changes}


def test_a_decision_stops_at_once_and_its_ending_gives_way_to_the_evidence(
    people: HomeClients, client: Callable[..., Any], scheme: str
) -> None:
    officer = client("safety_officer", scheme)
    made = send(officer, "POST", f"{people.path}/overrides", decision(people), key="one")
    assert made.status_code == 201, made.get_data(as_text=True)
    assert send(officer, "POST", f"{people.path}/overrides", decision(people), key="one").json == made.json

    def shown() -> str:
        return str(people.member.get(people.path).json["clearances"][0]["clearance"])

    assert shown() == "do_not_use"
    ended = send(officer, "POST", f"{people.path}/overrides/{made.json['id']}/ending")
    assert (ended.status_code, ended.json["ended_at"] is not None, shown()) == (200, True, "fit_to_use")
    listed = people.administrator.get(f"{people.path}/overrides").json
    assert (listed["total"], listed["items"][0]["reason"]) == (1, "worn shutters")


def test_only_a_safety_officer_decides(people: HomeClients) -> None:
    for who in (people.administrator, people.member):
        assert send(who, "POST", f"{people.path}/overrides", decision(people)).status_code == 403
    assert people.member.get(f"{people.path}/overrides").status_code == 403


def test_a_milder_answer_is_refused_and_named(people: HomeClients, client: Callable[..., Any], scheme: str) -> None:
    officer = client("safety_officer", scheme)
    reply = send(officer, "POST", f"{people.path}/overrides", decision(people, clearance="fit_to_use"))
    assert (reply.status_code, pointers(reply)) == (422, ["#/clearance"])
