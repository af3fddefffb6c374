"""Visits over HTTP: who sees what, and that no change is lost."""

from typing import Any

import pytest
from argon2 import PasswordHasher

from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from tests.factories.home_clients import UNKNOWN, pointers
from tests.factories.visits import BASE, Doorstep, doorstep


@pytest.fixture
def door(app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme: str) -> Doorstep:
    return doorstep(app, database, hasher, clock, scheme)


def test_a_change_names_the_state_it_was_made_from(door: Doorstep) -> None:
    path = f"{BASE}/visits/{door.ask()}"
    etag = door.administrator.get(path).headers["ETag"]
    change = {"cost_pence": 9_500}
    assert door.administrator.patch(path, json=change).status_code == 428
    changed = door.administrator.patch(path, json=change, headers={"If-Match": etag})
    assert (changed.status_code, changed.json["cost_pence"]) == (200, 9_500)
    assert door.administrator.patch(path, json=change, headers={"If-Match": etag}).status_code == 412
    cost = door.administrator.patch(path, json={"cost_pence": 0}, headers={"If-Match": changed.headers["ETag"]})
    assert cost.status_code == 200


def test_times_are_the_homes_wall_clock(door: Doorstep) -> None:
    path = f"{BASE}/visits/{door.ask()}"
    times = {"agreed_from": "09:00", "agreed_until": "11:30"}
    shown = door.administrator.patch(path, json=times, headers={"If-Match": "*"}).json
    assert {name: shown[name] for name in times} == times
    backwards = door.administrator.patch(path, json={"agreed_until": "08:00"}, headers={"If-Match": "*"})
    assert (backwards.status_code, pointers(backwards)) == (422, ["#/agreed_until"])


def test_the_list_shows_what_a_day_is_planned_by(door: Doorstep) -> None:
    door.ask()
    door.ask(door.neighbour, on=None)
    rows = door.administrator.get(f"{BASE}/visits").json
    assert rows["total"] == 2
    assert {(row["reference"], row["area"], row["state"]) for row in rows["items"]} == {
        ("H-1", "ZZ1", "date_agreed"),
        ("H-2", "ZZ2", "asked"),
    }
    assert all(row["risk"] == sum(int(step["result"]) for step in row["risk_working"]) for row in rows["items"])
    one = door.administrator.get(f"{BASE}/visits?state=asked&area=zz2&sort=-asked_at&page=1&page_size=1").json
    assert [row["outlets"] for row in one["items"]] == [["garage socket"]]


def test_a_member_sees_their_own_visits_without_cost_or_risk(door: Doorstep) -> None:
    door.ask()
    (row,) = door.member.get(f"{door.path}/visits").json["items"]
    assert row["state"] == "date_agreed"
    assert not {"cost_pence", "risk", "risk_working", "electrician_id"} & set(row)
    assert door.member.get(f"{BASE}/visits").status_code == 403
    assert door.member.get(f"{BASE}/households/{door.neighbour.id}/visits").status_code == 404
    assert door.administrator.get(f"{BASE}/households/{UNKNOWN}/visits").status_code == 404


def test_an_impossible_step_is_refused_with_what_is_possible(door: Doorstep) -> None:
    path = f"{BASE}/visits/{door.ask(on=None)}/steps"
    reply = door.administrator.post(path, json={"state": "done"})
    assert (reply.status_code, pointers(reply)) == (422, ["#/state"])
    assert "date_agreed, cancelled" in reply.json["errors"][0]["detail"]
    steps = door.administrator.post(path, json={"state": "cancelled", "note": "sold the car"}).json["steps"]
    assert [(step["state"], step["by"], step["note"]) for step in steps] == [
        ("asked", "administrator", "before the first charge"),
        ("cancelled", "administrator", "sold the car"),
    ]
