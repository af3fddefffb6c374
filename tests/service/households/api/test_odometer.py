"""Odometer readings and an imported diary over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def post_csv(people: HomeClients, text: str | bytes, *, query: str = "", key: str = "") -> Any:
    headers = {"Idempotency-Key": key} if key else {}
    path = f"{people.car}/diary/import{query}"
    return people.member.post(path, data=text, content_type="text/csv", headers=headers)


def diary(people: HomeClients) -> list[tuple[str, str]]:
    return [(day["on"], day["miles"]) for day in people.member.get(f"{people.car}/diary").json["items"]]


def test_readings_are_kept_in_order_and_say_what_lies_between(people: HomeClients) -> None:
    path = f"{people.car}/odometer"
    for on, miles in (("2026-11-20", "20100"), ("2026-11-16", "20000")):
        assert send(people.member, "POST", path, {"read_on": on, "miles": miles}, key=on).status_code == 201
    days = {"days": [{"on": "2026-11-18", "miles": "40"}]}
    assert send(people.member, "POST", f"{people.car}/diary", days).status_code == 201
    found = people.member.get(path).json
    assert [each["read_on"] for each in found["items"]] == ["2026-11-16", "2026-11-20"]
    (between,) = found["between"]
    assert (between["miles"], between["kept_miles"], between["open_day_count"]) == ("100", "40", 3)
    assert found["estimated"] == [{"on": f"2026-11-{day}", "miles": "20"} for day in (17, 19, 20)]
    assert len(diary(people)) == 1, "an estimate never becomes a day that was kept"


def test_a_reading_that_runs_back_is_refused_and_a_wrong_one_taken_out(people: HomeClients) -> None:
    path = f"{people.car}/odometer"
    first = send(people.member, "POST", path, {"read_on": "2026-11-16", "miles": "20000"})
    refused = send(people.member, "POST", path, {"read_on": "2026-11-20", "miles": "19000"})
    assert (refused.status_code, pointers(refused)) == (422, ["#/miles"])
    assert people.member.delete(f"{path}/{first.json['id']}").status_code == 204
    assert send(people.member, "POST", path, {"read_on": "2026-11-20", "miles": "19000"}).status_code == 201
    ahead = send(people.member, "POST", path, {"read_on": "2026-11-26", "miles": "18000"})
    assert (ahead.status_code, sorted(pointers(ahead))) == (422, ["#/miles", "#/read_on"])


def test_the_same_post_again_keeps_one_reading(people: HomeClients) -> None:
    path, body = f"{people.car}/odometer", {"read_on": "2026-11-16", "miles": "20000"}
    replies = [send(people.member, "POST", path, body, key="once") for _ in range(2)]
    assert [reply.status_code for reply in replies] == [201, 201]
    assert replies[0].json == replies[1].json


def test_an_odometer_is_its_drivers_business(people: HomeClients) -> None:
    assert people.administrator.get(f"{people.car}/odometer").status_code == 403
    assert people.stranger.get(f"{people.car}/odometer").status_code == 404


def test_a_text_is_looked_at_and_then_taken_in(people: HomeClients) -> None:
    days = {"days": [{"on": "2026-11-20", "miles": "5"}, {"on": "2026-11-21", "miles": "6"}]}
    assert send(people.member, "POST", f"{people.car}/diary", days).status_code == 201
    text = "on,miles\n2026-11-22,7.5\n2026-11-20,5\n2026-11-21,60\n"
    looked = post_csv(people, text, query="?is_dry_run=true")
    assert looked.status_code == 200
    assert (looked.json["new_count"], looked.json["changed_count"], looked.json["is_dry_run"]) == (1, 1, True)
    assert [day["on"] for day in looked.json["days"]] == ["2026-11-20", "2026-11-21", "2026-11-22"]
    assert len(diary(people)) == 2
    assert post_csv(people, text).json["is_dry_run"] is False
    assert diary(people) == [("2026-11-20", "5"), ("2026-11-21", "60"), ("2026-11-22", "7.5")]
    assert post_csv(people, text).json["new_count"] == 0


def test_one_faulty_row_refuses_the_text_and_nothing_is_kept(people: HomeClients) -> None:
    reply = post_csv(people, "on,miles\n2026-11-20,5\n2026-11-26,x\n")
    assert (reply.status_code, pointers(reply)) == (422, ["#/rows/1/on", "#/rows/1/miles"])
    assert "line 3, miles" in reply.json["errors"][1]["detail"]
    assert diary(people) == []


def test_the_same_text_again_under_one_key_is_answered_alike(people: HomeClients) -> None:
    replies = [post_csv(people, "on,miles\n2026-11-20,5\n", key="once") for _ in range(2)]
    assert replies[0].json == replies[1].json and replies[1].json["new_count"] == 1


def test_a_text_in_another_encoding_or_of_another_kind_is_refused(people: HomeClients) -> None:
    assert post_csv(people, b"on,miles\n2026-11-20,\xff").status_code == 422
    assert send(people.member, "POST", f"{people.car}/diary/import", {"days": []}).status_code == 415
