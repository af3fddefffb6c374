"""The supervised first charge and the photo of a setting over HTTP."""

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.common.clock import FixedClock
from service.infrastructure.files import StoredFile
from service.safety.models import SupervisedCharge
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.households import NOON
from tests.factories.safety import document, inspect

MINUTE = timedelta(minutes=1)


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home whose socket is inspected and checked, and was not charged from under supervision yet."""
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id)
        for charge in session.scalars(select(SupervisedCharge)):
            session.delete(charge)
    return people


def start(people: HomeClients, **changes: Any) -> Any:
    body = {"outlet_id": people.home.outlet_id, "lead_id": people.home.lead_id, "current_a": 10, **changes}
    return send(people.member, "POST", f"{people.path}/supervised_charges", body)


def feel(people: HomeClients, clock: FixedClock, charge_id: str, answer: str, minutes: int) -> Any:
    clock.move(NOON + minutes * MINUTE - clock.now())
    return send(people.member, "POST", f"{people.path}/supervised_charges/{charge_id}/feelings", {"answer": answer})


def outlet(people: HomeClients) -> str:
    return str(people.member.get(people.path).json["clearances"][0]["clearance"])


def test_felt_twice_at_its_times_it_clears_the_socket(people: HomeClients, clock: FixedClock) -> None:
    assert outlet(people) == "not_known"
    begun = start(people)
    assert begun.status_code == 201
    assert (begun.json["state"], begun.json["first_from_at"], begun.json["later_from_at"]) == (
        "first_to_come", "2026-11-25T12:30:00+00:00", "2026-11-25T14:00:00+00:00",
    )
    early = feel(people, clock, begun.json["id"], "cool", 10)
    assert (early.status_code, pointers(early)) == (422, ["#/answer"])
    first = feel(people, clock, begun.json["id"], "cool", 31)
    assert (first.json["charge"]["state"], outlet(people)) == ("later_to_come", "not_known")
    assert first.json["charge"]["words"].startswith("No sign so far.")
    assert feel(people, clock, begun.json["id"], "noticeable", 121).json["charge"]["is_clear"] is True
    assert outlet(people) == "fit_to_use"
    assert feel(people, clock, begun.json["id"], "cool", 122).status_code == 409


def test_heat_stops_use_and_says_what_to_do_now(people: HomeClients, clock: FixedClock) -> None:
    charge_id = start(people).json["id"]
    reply = feel(people, clock, charge_id, "too_hot", 5)
    assert (reply.status_code, reply.json["do_now"][0]) == (200, "End the charge at the car.")
    assert [report["sign"] for report in reply.json["reports"]] == ["too_hot"]
    assert (reply.json["charge"]["state"], outlet(people)) == ("stopped", "do_not_use")


def test_it_survives_a_reload_in_the_list(people: HomeClients) -> None:
    charge_id = start(people).json["id"]
    for who in (people.member, people.administrator):
        listed = who.get(f"{people.path}/supervised_charges").json
        assert (listed["total"], [charge["id"] for charge in listed["items"]]) == (1, [charge_id])


def test_without_an_accepted_inspection_or_within_limits_it_does_not_start(people: HomeClients) -> None:
    assert pointers(start(people, current_a=11)) == ["#/current_a", "#/current_a", "#/current_a"]
    assert pointers(start(people, outlet_id=people.neighbour.outlet_id)) == ["#/outlet_id"]
    body = {"outlet_id": people.neighbour.outlet_id, "lead_id": people.neighbour.lead_id, "current_a": 10}
    path = f"/api/v1/households/{people.neighbour.id}/supervised_charges"
    refused = send(people.stranger, "POST", path, body)
    assert (refused.status_code, "No accepted inspection" in refused.json["detail"]) == (409, True)


def test_strangers_find_nothing(people: HomeClients) -> None:
    charge_id = start(people).json["id"]
    path = f"{people.path}/supervised_charges"
    assert people.stranger.get(path).status_code == 404
    assert send(people.stranger, "POST", f"{path}/{charge_id}/feelings", {"answer": "warm"}).status_code == 404
    assert send(people.member, "POST", f"{path}/{UNKNOWN}/feelings", {"answer": "warm"}).status_code == 404
    assert send(people.administrator, "POST", f"{path}/{charge_id}/feelings", {"answer": "warm"}).status_code == 403


def test_a_photo_of_the_setting_is_what_plans_reckon_with(people: HomeClients, database: Any, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        file_id = document(session, people.home.id)
        session.get_one(StoredFile, (scheme, file_id)).purpose = "setting_photo"
    path = f"{people.path}/leads/{people.home.lead_id}/setting_photo"
    reply = send(people.member, "POST", path, {"file_id": file_id, "shown_a": 8})
    assert reply.json == {
        "lead_id": people.home.lead_id, "set_a": 8, "setting_shown_a": 8,
        "setting_shown_at": "2026-11-25T12:00:00+00:00", "file_id": file_id,
    }
    assert people.member.get(people.path).json["leads"][0]["set_a"] == 8
    assert pointers(send(people.member, "POST", path, {"file_id": file_id, "shown_a": 13})) == ["#/shown_a"]
    assert pointers(send(people.member, "POST", path, {"file_id": UNKNOWN, "shown_a": 8})) == ["#/file_id"]
    assert send(people.stranger, "POST", path, {"file_id": file_id, "shown_a": 8}).status_code == 404
