"""Routines and journeys over HTTP: the member's alone."""

from typing import Any

import pytest

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send

MONDAY = {"weekday": 0, "leaves_at": "07:30", "returns_at": "17:45", "returns_days_later": 0, "miles": "42.5"}
TRIP = {
    "leaves_at": "2026-11-27T08:00:00+00:00", "returns_at": "2026-11-27T18:00:00+00:00", "miles": "120",
    "is_important": True, "replaces_routine": False, "note": "choir",
}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_a_week_is_replaced_whole_under_its_etag(people: HomeClients) -> None:
    path = f"{people.car}/routine"
    empty = people.member.get(path)
    assert empty.json == {"departures": []}
    night = {**MONDAY, "weekday": 6, "leaves_at": "21:15", "returns_at": "07:10", "returns_days_later": 1}
    put = send(people.member, "PUT", path, {"departures": [night, MONDAY]}, etag=empty.headers["ETag"])
    assert put.json == {"departures": [MONDAY, night]}
    read = people.member.get(path)
    assert (read.json, read.headers["ETag"]) == (put.json, put.headers["ETag"])
    assert send(people.member, "PUT", path, {"departures": []}, etag=empty.headers["ETag"]).status_code == 412
    assert send(people.member, "PUT", path, {"departures": []}).status_code == 428


BAD_DEPARTURES: list[tuple[Any, str]] = [
    ({"weekday": 7}, "#/departures/1/weekday"),
    ({"leaves_at": "24:00"}, "#/departures/1/leaves_at"),
    ({"leaves_at": "7:30"}, "#/departures/1/leaves_at"),
    ({"returns_at": "07:00"}, "#/departures/1/returns_at"),
    ({"returns_days_later": 7}, "#/departures/1/returns_days_later"),
    ({"miles": 42.5}, "#/departures/1/miles"),
    ({"miles": "2000.1"}, "#/departures/1/miles"),
    ({"miles": "1.25"}, "#/departures/1/miles"),
    ({"weekday": 0}, "#/departures/1/leaves_at"),
]


def test_a_bad_departure_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_DEPARTURES:
        body = {"departures": [MONDAY, {**MONDAY, "weekday": 1, **changes}]}
        reply = send(people.member, "PUT", f"{people.car}/routine", body, etag="*")
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_a_journey_is_entered_changed_and_taken_out(people: HomeClients) -> None:
    path = f"{people.car}/journeys"
    added = send(people.member, "POST", path, TRIP, key="k-1")
    assert (added.status_code, added.json) == (201, {**TRIP, "id": added.json["id"], "is_business": False})
    assert send(people.member, "POST", path, TRIP, key="k-1").json == added.json
    assert people.member.get(path).json == {"items": [added.json]}
    own = f"{path}/{added.json['id']}"
    assert people.member.get(own).headers["ETag"] == added.headers["ETag"]
    changed = send(people.member, "PATCH", own, {"miles": "99.5"}, etag=added.headers["ETag"])
    assert changed.json == {**added.json, "miles": "99.5"}
    assert send(people.member, "DELETE", own, etag=added.headers["ETag"]).status_code == 412
    assert send(people.member, "DELETE", own, etag=changed.headers["ETag"]).status_code == 204
    assert people.member.get(path).json == {"items": []}


def test_a_journey_is_held_in_utc_whatever_offset_it_came_with(people: HomeClients) -> None:
    body = {**TRIP, "leaves_at": "2026-11-27T09:00:00+01:00"}
    reply = send(people.member, "POST", f"{people.car}/journeys", body)
    assert reply.json["leaves_at"] == "2026-11-27T08:00:00+00:00"


BAD_JOURNEYS: list[tuple[Any, str]] = [
    ({"leaves_at": "2026-11-27T08:00:00"}, "#/leaves_at"),
    ({"returns_at": "2026-11-27T08:00:00Z"}, "#/returns_at"),
    ({"returns_at": "2027-01-27T08:00:00Z"}, "#/returns_at"),
    ({"leaves_at": "2026-11-24T08:00:00Z", "returns_at": "2026-11-25T12:00:00Z"}, "#/returns_at"),
    ({"miles": "-1"}, "#/miles"),
    ({"note": "x" * 201}, "#/note"),
    ({"is_important": "yes"}, "#/is_important"),
]


def test_a_bad_journey_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_JOURNEYS:
        reply = send(people.member, "POST", f"{people.car}/journeys", {**TRIP, **changes})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_an_administrator_sees_no_departure(people: HomeClients) -> None:
    own = f"journeys/{send(people.member, 'POST', f'{people.car}/journeys', TRIP).json['id']}"
    for method, part, body in (
        ("GET", "routine", None), ("PUT", "routine", {"departures": []}), ("GET", "journeys", None),
        ("POST", "journeys", TRIP), ("GET", own, None), ("PATCH", own, {}), ("DELETE", own, None),
    ):
        assert send(people.administrator, method, f"{people.car}/{part}", body, etag="*").status_code == 403
        assert send(people.stranger, method, f"{people.car}/{part}", body, etag="*").status_code == 404
    assert "choir" not in people.administrator.get(people.path).get_data(as_text=True)


def test_a_journey_stands_under_its_own_car_only(people: HomeClients) -> None:
    journey_id = send(people.member, "POST", f"{people.car}/journeys", TRIP).json["id"]
    body = {"label": "other", "battery_kwh": 50, "miles_per_kwh": 4, "onboard_limit_a": 16}
    other = send(people.member, "POST", f"{people.path}/vehicles", body).json["id"]
    for path in (f"{people.path}/vehicles/{other}/journeys/{journey_id}", f"{people.car}/journeys/{UNKNOWN}"):
        assert people.member.get(path).status_code == 404
        assert send(people.member, "DELETE", path, etag="*").status_code == 404
