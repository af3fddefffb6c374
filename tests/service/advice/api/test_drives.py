"""Drawings of the drive over HTTP: kept, changed, answered, printed; the member's own, read by an administrator."""

from collections.abc import Callable
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from tests.factories.drives import DRIVE_BODY
from tests.factories.home_clients import HomeClients, home_clients, pointers, send

BODY = {"label": "Our drive", "drawing": DRIVE_BODY}


@pytest.fixture
def people(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    return home_clients(database, client, scheme)


def kept(people: HomeClients, body: Any = BODY) -> tuple[str, str]:
    added = send(people.member, "POST", f"{people.path}/drives", body)
    assert added.status_code == 201, added.get_data(as_text=True)
    return f"{people.path}/drives/{added.json['id']}", added.headers["ETag"]


def test_a_drawing_is_kept_read_changed_and_deleted(people: HomeClients) -> None:
    path, etag = kept(people)
    assert people.member.get(path).json["drawing"] == DRIVE_BODY
    assert [each["label"] for each in people.administrator.get(f"{people.path}/drives").json["items"]] == ["Our drive"]
    changed = {"label": "By the garage", "drawing": {**DRIVE_BODY, "cable_m": 7.5}}
    assert send(people.member, "PUT", path, changed).status_code == 428
    put = send(people.member, "PUT", path, changed, etag=etag)
    assert (put.status_code, put.json["label"], put.json["drawing"]["cable_m"]) == (200, "By the garage", 7.5)
    assert send(people.member, "PUT", path, changed, etag=etag).status_code == 412
    assert send(people.member, "DELETE", path, etag=put.headers["ETag"]).status_code == 204
    assert people.member.get(path).status_code == 404


def test_the_same_key_keeps_one_drawing(people: HomeClients) -> None:
    replies = [send(people.member, "POST", f"{people.path}/drives", BODY, key="k") for _ in range(2)]
    assert replies[0].json == replies[1].json
    assert len(people.member.get(f"{people.path}/drives").json["items"]) == 1


def test_no_more_than_ten_are_kept(people: HomeClients) -> None:
    for _ in range(10):
        kept(people)
    assert send(people.member, "POST", f"{people.path}/drives", BODY).status_code == 409


def test_faults_of_the_drawing_are_all_pointed_at(people: HomeClients) -> None:
    wrong = {
        **DRIVE_BODY,
        "outlet_height_m": 2,
        "places": [{"label": "", "start": [1, 1], "end": [1, 2]}],
        "openings": [{"wall": 9, "from_m": 0, "to_m": 1, "kind": "door"}],
    }
    reply = send(people.member, "POST", f"{people.path}/drives", {"label": " ", "drawing": wrong})
    assert reply.status_code == 422
    assert set(pointers(reply)) == {
        "#/label", "#/drawing/outlet_height_m", "#/drawing/places/0/label", "#/drawing/places/0/end",
        "#/drawing/openings/0/wall",
    }  # fmt: skip
    fine = {**DRIVE_BODY, "walls": [{"start": [0, 0.05], "end": [1, 1]}]}
    assert send(people.member, "POST", f"{people.path}/drives", {"label": "x", "drawing": fine}).status_code == 422


def test_port_and_cable_are_not_known_until_somebody_says_them(people: HomeClients) -> None:
    path, etag = kept(people)
    before = people.member.get(f"{path}/positions").json
    assert before["best"] is None
    assert any("charging port" in words for words in before["not_known"])
    send(people.member, "PATCH", people.car, {"port": "front_left"}, etag="*")
    send(people.member, "PUT", path, {**BODY, "drawing": {**DRIVE_BODY, "cable_m": 5}}, etag=etag)
    after = people.administrator.get(f"{path}/positions").json
    assert after["best"]["cars_reached"] == 1
    assert [(each["way"], each["is_reached"]) for each in after["best"]["reaches"]] == [
        ("nose_in", True), ("nose_out", False),
    ]  # fmt: skip
    assert after["working"][0]["rule"] == "the cable that the drawing says to reckon with"
    assert after["notifiable"]["standing"]


def test_consents_are_shown_as_recorded_and_else_not_known(people: HomeClients) -> None:
    path, _ = kept(people)
    yes = {"answer": "yes", "given_on": "2026-11-01"}
    assert send(people.member, "PUT", f"{people.path}/consents/landlord", yes, etag="*").status_code == 200
    shown = {each["kind"]: each for each in people.member.get(f"{path}/positions").json["consents"]}
    assert (shown["landlord"]["answer"], shown["landlord"]["given_on"]) == ("yes", "2026-11-01")
    assert {shown[kind]["answer"] for kind in ("freeholder", "insurer", "highway")} == {"not_known"}


def test_the_drawing_prints_as_svg(people: HomeClients) -> None:
    path, _ = kept(people)
    reply = people.member.get(f"{path}/drive.svg")
    assert (reply.status_code, reply.mimetype) == (200, "image/svg+xml")
    assert "<script" not in reply.get_data(as_text=True)


def test_a_stranger_sees_nothing_and_an_administrator_changes_nothing(people: HomeClients) -> None:
    path, _ = kept(people)
    for place in (path, f"{path}/positions", f"{path}/drive.svg", f"{people.path}/drives"):
        assert people.stranger.get(place).status_code == 404
    assert send(people.administrator, "PUT", path, BODY, etag="*").status_code == 403
    assert send(people.administrator, "DELETE", path, etag="*").status_code == 403
