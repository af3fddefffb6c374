"""The list of electricians over HTTP."""

from typing import Any

from tests.factories.home_clients import pointers, send

PATH = "/api/v1/electricians"
ENTRY = {"name": "Hollin Wiring (invented)", "email": "hollin@wiring.example", "registration": "a body, 12"}


def test_the_list_is_kept_by_safety_officers_and_no_change_is_lost(client: Any, scheme: str) -> None:
    who = client("safety_officer", scheme)
    made = send(who, "POST", PATH, ENTRY)
    assert made.status_code == 201
    one = f"{PATH}/{made.json['id']}"
    assert send(who, "PATCH", one, {"firm": "A firm"}).status_code == 428
    changed = send(who, "PATCH", one, {"firm": "A firm"}, etag=made.json["etag"])
    assert (changed.status_code, changed.json["firm"], changed.json["name"]) == (200, "A firm", ENTRY["name"])
    assert send(who, "PATCH", one, {"firm": "B"}, etag=made.headers["ETag"]).status_code == 412
    assert who.get(one).headers["ETag"] == changed.json["etag"]
    assert send(who, "POST", PATH, ENTRY).status_code == 409
    gone = send(who, "POST", f"{one}/removal")
    assert (gone.status_code, gone.json["unlisted_at"] is not None) == (200, True)
    assert [each["id"] for each in who.get(PATH).json["items"]] == [made.json["id"]]


def test_a_bad_entry_is_pointed_at(client: Any, scheme: str) -> None:
    who = client("safety_officer", scheme)
    for changes, pointer in (
        ({"email": "nobody"}, "#/email"),
        ({"name": " "}, "#/name"),
        ({"telephone": "x" * 41}, "#/telephone"),
        ({"listed_at": "2026-11-25T12:00:00Z"}, "#/listed_at"),
    ):
        assert pointers(send(who, "POST", PATH, {**ENTRY, **changes})) == [pointer]
