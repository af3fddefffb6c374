"""Supply, circuits, outlets and leads over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send

OUTLET = {"label": "drive", "kind": "charging_point", "limit_a": 32, "is_tethered": True, "place": "outdoors"}
LEAD = {"label": "cable", "kind": "mode_3_cable", "rated_a": 32, "set_a": 16, "since_on": "2026-01-05"}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_a_supply_that_nobody_recorded_is_not_known(people: HomeClients) -> None:
    reply = people.member.get(f"{people.path}/supply")
    assert reply.json == {
        "fuse_a": None, "phases": 1, "earthing": "not_known", "looped": "not_known", "other_loads": "", "loads": [],
    }
    assert people.stranger.get(f"{people.path}/supply").status_code == 404


def test_a_supply_is_put_under_its_etag(people: HomeClients) -> None:
    path = f"{people.path}/supply"
    etag = people.administrator.get(path).headers["ETag"]
    assert send(people.administrator, "PUT", path, {"fuse_a": 80}).status_code == 428
    put = send(people.administrator, "PUT", path, {"fuse_a": 80, "earthing": "tt"}, etag=etag)
    assert (put.status_code, put.json["fuse_a"], put.json["earthing"]) == (200, 80, "tt")
    assert send(people.administrator, "PUT", path, {"fuse_a": 60}, etag=etag).status_code == 412
    assert send(people.member, "PUT", path, {"fuse_a": 60}, etag=put.headers["ETag"]).status_code == 403


def test_a_circuit_is_recorded_run_by_run(people: HomeClients) -> None:
    body = {"label": "garage", "runs": [{"kind": "board"}, {"kind": "radial", "cable": "6 mm2", "length_m": 14.5}]}
    reply = send(people.administrator, "POST", f"{people.path}/circuits", body)
    assert reply.status_code == 201
    assert [(run["position"], run["length_m"]) for run in reply.json["runs"]] == [(0, None), (1, 14.5)]


def test_loads_are_put_row_by_row_and_a_bad_one_is_pointed_at(people: HomeClients) -> None:
    path = f"{people.path}/supply"
    loads = [{"kind": "shower", "power_w": 8500}, {"kind": "cooker", "power_w": None}]
    put = send(people.administrator, "PUT", path, {"loads": loads}, etag="*")
    assert (put.status_code, put.json["loads"]) == (200, loads)
    assert people.member.get(path).json["loads"] == loads
    bad = {"#/loads/0/kind": {"kind": "sauna"}, "#/loads/0/power_w": {"kind": "cooker", "power_w": 100_001}}
    for pointer, load in bad.items():
        reply = send(people.administrator, "PUT", path, {"loads": [load]}, etag="*")
        assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_a_circuit_is_replaced_under_the_etag_of_its_content(people: HomeClients) -> None:
    body = {"label": "garage", "runs": [{"kind": "radial", "length_m": 14}]}
    circuit_id = send(people.administrator, "POST", f"{people.path}/circuits", body).json["id"]
    path = f"{people.path}/circuits/{circuit_id}"
    read = people.member.get(path)
    better = {"label": "garage", "runs": [
        {"kind": "board", "device_kind": "mcb_b", "device_a": 32, "rcd_type": "a", "rcd_ma": 30},
        {"kind": "radial", "cable_kind": "flat_twin_and_earth", "cable_mm2": 2.5, "installed": "C", "length_m": 14,
         "ambient_c": 30, "grouped_circuits": 1, "insulation_mm": 0},
    ]}  # fmt: skip
    assert send(people.administrator, "PUT", path, better).status_code == 428
    put = send(people.administrator, "PUT", path, better, etag=read.headers["ETag"])
    assert (put.status_code, [run["kind"] for run in put.json["runs"]]) == (200, ["board", "radial"])
    assert (put.json["runs"][1]["cable_mm2"], put.json["runs"][1]["installed"]) == (2.5, "C")
    assert people.member.get(path).headers["ETag"] == put.headers["ETag"] != read.headers["ETag"]
    assert send(people.administrator, "PUT", path, body, etag=read.headers["ETag"]).status_code == 412
    assert send(people.member, "PUT", path, body, etag="*").status_code == 403
    assert people.stranger.get(path).status_code == 404
    reply = send(people.administrator, "PUT", path, {**body, "runs": [{"kind": "ring", "ambient_c": 61}]}, etag="*")
    assert (reply.status_code, pointers(reply)) == (422, ["#/runs/0/ambient_c"])


BAD_RUNS: list[tuple[Any, str]] = [
    ([], "#/runs"),
    ([{"kind": "hose"}], "#/runs/0/kind"),
    ([{"kind": "ring"}, {"kind": "spur", "length_m": 2000}], "#/runs/1/length_m"),
    ([{"kind": "ring", "length_m": 1.25}], "#/runs/0/length_m"),
    ([{"kind": "ring", "length_m": True}], "#/runs/0/length_m"),
    ([{"kind": "ring", "colour": "grey"}], "#/runs/0/colour"),
]


def test_a_bad_run_is_pointed_at(people: HomeClients) -> None:
    for runs, pointer in BAD_RUNS:
        reply = send(people.administrator, "POST", f"{people.path}/circuits", {"label": "x", "runs": runs})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), runs


def test_an_outlet_is_added_read_and_changed(people: HomeClients) -> None:
    added = send(people.administrator, "POST", f"{people.path}/outlets", OUTLET)
    assert added.status_code == 201
    path = f"{people.path}/outlets/{added.json['id']}"
    read = people.member.get(path)
    assert (read.json, read.headers["ETag"]) == (added.json, added.headers["ETag"])
    changed = send(people.administrator, "PATCH", path, {"limit_a": 16}, etag=read.headers["ETag"])
    assert (changed.status_code, changed.json) == (200, {**added.json, "limit_a": 16})
    assert people.member.get(path, headers={"If-None-Match": changed.headers["ETag"]}).status_code == 304


def test_the_same_key_adds_one_outlet(people: HomeClients) -> None:
    replies = [send(people.administrator, "POST", f"{people.path}/outlets", OUTLET, key="k-1") for _ in range(2)]
    assert replies[0].json == replies[1].json
    assert len(people.administrator.get(people.path).json["outlets"]) == 2


BAD_OUTLETS: list[tuple[Any, str]] = [
    ({"limit_a": 81}, "#/limit_a"),
    ({"limit_a": "32"}, "#/limit_a"),
    ({"limit_a": None}, "#/limit_a"),
    ({"phases": 2}, "#/phases"),
    ({"kind": "socket_13a", "is_tethered": None}, "#/limit_a"),
    ({"place": "roof"}, "#/place"),
    ({"circuit_id": UNKNOWN}, "#/circuit_id"),
    ({"circuit_id": "x"}, "#/circuit_id"),
    ({"since_on": "2026-02-30"}, "#/since_on"),
    ({"label": ""}, "#/label"),
    ({"label": "a\u0000b"}, "#/label"),
    ({"car_place": "roof"}, "#/car_place"),
    ({"ip_code": "44"}, "#/ip_code"),
    ({"nights_a_week": 8}, "#/nights_a_week"),
]


def test_a_bad_outlet_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_OUTLETS:
        reply = send(people.administrator, "POST", f"{people.path}/outlets", {**OUTLET, **changes})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_another_kind_of_outlet_is_another_outlet(people: HomeClients) -> None:
    path = f"{people.path}/outlets/{people.home.outlet_id}"
    etag = people.administrator.get(path).headers["ETag"]
    reply = send(people.administrator, "PATCH", path, {"kind": "charging_point"}, etag=etag)
    assert (reply.status_code, pointers(reply)) == (422, ["#/kind"])


def test_a_lead_is_added_and_its_setting_changed(people: HomeClients) -> None:
    added = send(people.administrator, "POST", f"{people.path}/leads", LEAD)
    assert (added.status_code, added.json["since_on"]) == (201, "2026-01-05")
    path = f"{people.path}/leads/{added.json['id']}"
    etag = people.member.get(path).headers["ETag"]
    assert send(people.administrator, "PATCH", path, {"set_a": 20}, etag=etag).json["set_a"] == 20
    reply = send(people.administrator, "PATCH", path, {"set_a": 40}, etag=people.member.get(path).headers["ETag"])
    assert (reply.status_code, pointers(reply)) == (422, ["#/set_a"])


def test_what_a_lead_can_be_set_to_is_kept_and_checked(people: HomeClients) -> None:
    path = f"{people.path}/leads/{people.home.lead_id}"
    change = {"settings_a": [6, 8, 10], "has_plug_sensor": "yes", "length_m": 7.5}
    changed = send(people.administrator, "PATCH", path, change, etag="*")
    assert {name: changed.json[name] for name in change} == change
    for settings, pointer in (([6, 12], "#/settings_a/1"), ([8, 6], "#/settings_a")):
        reply = send(people.administrator, "PATCH", path, {"settings_a": settings}, etag="*")
        assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_a_member_changes_no_equipment(people: HomeClients) -> None:
    assert send(people.member, "POST", f"{people.path}/outlets", OUTLET).status_code == 403
    assert send(people.member, "POST", f"{people.path}/leads", LEAD).status_code == 403
    for part in (f"outlets/{people.home.outlet_id}", f"leads/{people.home.lead_id}"):
        assert send(people.member, "PATCH", f"{people.path}/{part}", {}, etag='"1"').status_code == 403


def test_what_is_not_this_homes_is_not_found(people: HomeClients) -> None:
    for part in (f"outlets/{people.neighbour.outlet_id}", f"leads/{people.neighbour.lead_id}", f"outlets/{UNKNOWN}"):
        assert people.administrator.get(f"{people.path}/{part}").status_code == 404
        assert send(people.administrator, "PATCH", f"{people.path}/{part}", {}, etag="*").status_code == 404
    for part in (f"outlets/{people.home.outlet_id}", f"leads/{people.home.lead_id}"):
        assert people.stranger.get(f"{people.path}/{part}").status_code == 404
    assert send(people.administrator, "POST", f"/api/v1/households/{UNKNOWN}/outlets", OUTLET).status_code == 404
