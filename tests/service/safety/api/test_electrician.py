"""Whoever holds a link needs no account, and an account opens no link."""

from typing import Any

import pytest
from argon2 import PasswordHasher

from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from tests.factories.home_clients import pointers
from tests.factories.visits import BASE, Doorstep, doorstep, found_at, photo, submission


@pytest.fixture
def door(app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme: str) -> Doorstep:
    return doorstep(app, database, hasher, clock, scheme)


def test_a_cookie_is_not_looked_at_where_a_link_is_shown(door: Doorstep) -> None:
    holder = door.link(door.ask())
    secret = holder.client.environ_base["HTTP_INSPECTION_LINK"]
    path = f"{BASE}/inspection_link"
    # The browser of an administrator sends its cookie too: it neither helps nor hinders.
    assert door.administrator.get(path, headers={"Inspection-Link": secret}).status_code == 200
    assert door.administrator.get(path, headers={"Inspection-Link": "x" * 43}).status_code == 404
    assert door.administrator.get(path).status_code == 403


def test_a_link_opens_nothing_but_its_own_operations(door: Doorstep) -> None:
    holder = door.link(door.ask())
    for path in ("/visits", "/inspection_links", "/households", "/session", door.path.removeprefix(BASE)):
        assert holder.client.get(BASE + path).status_code == 401, path


def test_the_list_shows_no_address_before_its_day_and_no_name_ever(door: Doorstep) -> None:
    visit_id = door.ask(on="2026-11-26")
    holder = door.link(visit_id)
    told = holder.get().get_data(as_text=True)
    for private in ("Quince", "ZZ1", "Ada"):
        assert private not in told
    door.later(hours=12)
    told = holder.get(f"/visits/{visit_id}").get_data(as_text=True)
    assert "Quince" in told
    assert "Ada" not in told


def test_the_sheet_shows_what_was_recorded_and_uploaded_by_this_link(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    assert holder.upload(visit_id, photo(), purpose="photo", name="board.jpg").status_code == 201
    partial = submission(found_at(door.home.outlet_id, answers=None), is_partial=True)
    holder.submit(visit_id, partial)
    sheet = holder.get(f"/visits/{visit_id}").json
    assert [file["name"] for file in sheet["files"]] == ["board.jpg"]
    assert [(each["is_partial"], each["certificate_number"]) for each in sheet["recorded"]] == [(True, "C-77")]
    assert sheet["outlets"][0]["id"] == door.home.outlet_id


def test_a_draft_is_an_object_of_bounded_size_with_the_version_it_was_made_from(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    assert pointers(holder.draft(visit_id, {"note": "x" * 140_000}, 0)) == ["#/draft"]
    assert holder.draft(visit_id, ["a list"], 0).status_code == 422  # type: ignore[arg-type]
    assert holder.draft(visit_id, {}, 5).status_code == 409
    assert holder.draft(visit_id, {"a": 1}, 0).json["draft_version"] == 1
    assert holder.get(f"/visits/{visit_id}").json["draft"] == {"a": 1}


def test_a_file_of_another_home_cannot_be_named_as_the_certificate(door: Doorstep) -> None:
    mine, theirs = door.ask(), door.ask(door.neighbour)
    holder = door.link(mine, theirs)
    elsewhere = holder.upload(theirs).json["id"]
    reply = holder.submit(mine, submission(found_at(door.home.outlet_id, file_id=elsewhere)))
    assert (reply.status_code, pointers(reply)) == (422, ["#/outlets/0/file_id"])
    picture = holder.upload(mine, photo(), purpose="photo").json["id"]
    reply = holder.submit(mine, submission(found_at(door.home.outlet_id, file_id=picture)))
    assert (reply.status_code, pointers(reply)) == (422, ["#/outlets/0/file_id"])


@pytest.mark.parametrize(
    ("answers", "pointer"),
    [
        ({"zs_ohm": {"value": "abc"}}, "#/outlets/0/answers/zs_ohm/value"),
        ({"zs_ohm": {"value": 1, "not_tested_because": "both"}}, "#/outlets/0/answers/zs_ohm/not_tested_because"),
        ({"rcd_ma": 30.5}, "#/outlets/0/answers/rcd_ma"),
        ({"earthing": "it_is_fine"}, "#/outlets/0/answers/earthing"),
        ({"extension": {"identity": "A", "size_mm2": 0, "length_m": 5}}, "#/outlets/0/answers/extension/size_mm2"),
        ({"unheard_of": 1}, "#/outlets/0/answers/unheard_of"),
    ],
)
def test_each_wrong_answer_is_pointed_at(door: Doorstep, answers: dict[str, Any], pointer: str) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    reply = holder.submit(visit_id, submission(found_at(door.home.outlet_id, answers=answers)))
    assert (reply.status_code, pointers(reply)) == (422, [pointer])
