"""Cars and their state of charge over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send

CAR = {"label": "green estate", "battery_kwh": 64.5, "miles_per_kwh": 3.25, "onboard_limit_a": 16, "onboard_phases": 3}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_a_member_adds_reads_and_removes_a_car(people: HomeClients) -> None:
    added = send(people.member, "POST", f"{people.path}/vehicles", CAR)
    assert added.status_code == 201
    assert added.json == {
        **CAR, "id": added.json["id"], "ordinal": 2, "ceiling_percent": 80, "reserve_percent": 20,
        "outlet_id": None, "lead_id": None, "other_outlet_ids": [], "taper_from_percent": None, "standby_w": 0,
        "port": "not_known",
    }
    path = f"{people.path}/vehicles/{added.json['id']}"
    assert people.member.get(path).json == added.json
    assert [car["ordinal"] for car in people.administrator.get(f"{people.path}/vehicles").json["items"]] == [1, 2]
    assert send(people.member, "DELETE", path).status_code == 428
    assert send(people.member, "DELETE", path, etag=added.headers["ETag"]).status_code == 204
    assert people.member.get(path).status_code == 404


BAD_CARS: list[tuple[Any, str]] = [
    ({"battery_kwh": 0.5}, "#/battery_kwh"),
    ({"battery_kwh": 250.5}, "#/battery_kwh"),
    ({"battery_kwh": 1.00005}, "#/battery_kwh"),
    ({"battery_kwh": "64"}, "#/battery_kwh"),
    ({"miles_per_kwh": 10.5}, "#/miles_per_kwh"),
    ({"miles_per_kwh": 3.333}, "#/miles_per_kwh"),
    ({"miles_per_kwh": 1e300}, "#/miles_per_kwh"),
    ({"onboard_limit_a": 5}, "#/onboard_limit_a"),
    ({"onboard_phases": 2}, "#/onboard_phases"),
    ({"ceiling_percent": 49}, "#/ceiling_percent"),
    ({"ceiling_percent": 50, "reserve_percent": 50}, "#/reserve_percent"),
    ({"outlet_id": UNKNOWN}, "#/outlet_id"),
    ({"lead_id": UNKNOWN}, "#/lead_id"),
    ({"port": "roof"}, "#/port"),
    ({"ordinal": 1}, "#/ordinal"),
]


def test_a_bad_car_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_CARS:
        reply = send(people.member, "POST", f"{people.path}/vehicles", {**CAR, **changes})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_a_member_changes_limits_and_an_administrator_what_the_car_is(people: HomeClients) -> None:
    etag = people.member.get(people.car).headers["ETag"]
    changed = send(people.member, "PATCH", people.car, {"ceiling_percent": 90, "reserve_percent": 30}, etag=etag)
    assert (changed.status_code, changed.json["ceiling_percent"]) == (200, 90)
    refused = send(people.member, "PATCH", people.car, {"battery_kwh": 60}, etag=changed.headers["ETag"])
    assert refused.status_code == 403
    by_administrator = send(
        people.administrator, "PATCH", people.car, {"battery_kwh": 60}, etag=changed.headers["ETag"]
    )
    assert by_administrator.json["battery_kwh"] == 60
    assert send(people.member, "PATCH", people.car, {"label": "x"}, etag=changed.headers["ETag"]).status_code == 412


def test_a_car_of_another_home_is_not_found(people: HomeClients) -> None:
    for method in ("GET", "PATCH", "DELETE"):
        assert send(people.stranger, method, people.car, {}, etag="*").status_code == 404
    elsewhere = f"/api/v1/households/{people.neighbour.id}/vehicles/{people.home.car_id}"
    assert people.administrator.get(elsewhere).status_code == 404
    assert people.stranger.get(f"{people.path}/vehicles").status_code == 404
    assert send(people.stranger, "POST", f"{people.path}/vehicles", CAR).status_code == 404


def test_a_driver_notes_the_charge_and_nobody_overwrites_it_unseen(people: HomeClients) -> None:
    path = f"{people.car}/state_of_charge"
    unread = people.member.get(path)
    assert unread.json == {"percent": None, "read_at": None}
    put = send(people.member, "PUT", path, {"percent": 55}, etag=unread.headers["ETag"])
    assert put.json == {"percent": 55, "read_at": "2026-11-25T12:00:00+00:00"}
    assert people.member.get(path).json == put.json
    assert send(people.member, "PUT", path, {"percent": 60}, etag=unread.headers["ETag"]).status_code == 412
    assert send(people.member, "PUT", path, {"percent": 60}).status_code == 428


def test_a_bad_charge_is_pointed_at(people: HomeClients) -> None:
    for percent in (-1, 101, 55.5, "55", None):
        reply = send(people.member, "PUT", f"{people.car}/state_of_charge", {"percent": percent}, etag="*")
        assert (reply.status_code, pointers(reply)) == (422, ["#/percent"]), percent


def test_a_member_says_where_the_charging_port_is_and_it_stays_so_until_told_otherwise(people: HomeClients) -> None:
    told = send(people.member, "PATCH", people.car, {"port": "rear_left"}, etag="*")
    assert (told.status_code, told.json["port"]) == (200, "rear_left")
    other = send(people.member, "PATCH", people.car, {"ceiling_percent": 85}, etag="*")
    assert other.json["port"] == "rear_left"


def test_the_state_of_charge_is_the_drivers_business(people: HomeClients) -> None:
    path = f"{people.car}/state_of_charge"
    assert people.administrator.get(path).status_code == 403
    assert send(people.administrator, "PUT", path, {"percent": 5}, etag="*").status_code == 403
    assert people.stranger.get(path).status_code == 404
    assert send(people.stranger, "PUT", path, {"percent": 5}, etag="*").status_code == 404


def test_an_outlet_of_another_home_or_named_twice_is_no_other_outlet(people: HomeClients) -> None:
    found = send(people.member, "POST", f"{people.path}/vehicles", {**CAR, "other_outlet_ids": ["0" * 32]})
    assert pointers(found) == ["#/other_outlet_ids/0"]
    outlet_id = people.home.outlet_id
    body = {**CAR, "outlet_id": outlet_id, "other_outlet_ids": [outlet_id]}
    assert pointers(send(people.member, "POST", f"{people.path}/vehicles", body)) == ["#/other_outlet_ids/0"]
    kept = send(people.member, "POST", f"{people.path}/vehicles", {**CAR, "other_outlet_ids": [outlet_id]})
    assert kept.json["other_outlet_ids"] == [outlet_id]
