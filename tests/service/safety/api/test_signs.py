"""Checks and incidents over HTTP."""

import io
from collections.abc import Callable
from typing import Any

import pytest
from PIL import Image

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home with an inspected socket, and its people."""
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id)
    return people


def check(people: HomeClients, *answers: tuple[str, str], **changes: Any) -> dict[str, Any]:
    given = [{"question": question, "answer": answer} for question, answer in answers]
    return {"outlet_id": people.home.outlet_id, "lead_id": people.home.lead_id, "answers": given, **changes}


def test_the_table_is_shown_with_questions_in_order_and_what_each_answer_means(people: HomeClients) -> None:
    table = people.member.get(f"{people.path}/signs").json
    assert people.administrator.get(f"{people.path}/signs").json == table
    emergency = table["emergency"]
    assert (table["nation"], emergency["number"], emergency["is_confirmed"]) == ("england", "105", False)
    assert "has still to read" in table["review"]
    assert [question["question"] for question in table["questions"]][:2] == ["tingle", "scorch"]
    warmth = table["questions"][-1]
    assert warmth["is_touching"] is True
    assert [answer["sign"] for answer in warmth["answers"]] == [None, "warm", "too_hot", None]
    assert warmth["answers"][1]["means"] == "Do not use until it is put right."
    warm = next(sign for sign in table["signs"] if sign["sign"] == "warm")
    assert set(warm) == {
        "sign", "group", "words", "outlets", "acts_on_lead", "effect", "lifts", "do_now", "source", "mark",
    }  # fmt: skip
    assert (warm["outlets"], warm["acts_on_lead"], warm["effect"], warm["mark"]) == ("outlet", True, "do_not_use", "CP")
    assert [lift["item_kind"] for lift in warm["lifts"]] == ["outlet", "lead"]


def test_a_stop_answer_leads_with_what_to_do_now(people: HomeClients) -> None:
    reply = send(people.member, "POST", f"{people.path}/checks", check(people, ("warmth", "warm")), key="k-1")
    assert reply.status_code == 201
    assert next(iter(reply.json)) == "do_now"
    assert reply.json["do_now"][0] == "End the charge at the car."
    assert (reply.json["outcome"], reply.json["is_clear"]) == ("stop", False)
    (report,) = reply.json["reports"]
    assert (report["sign"], report["state"], report["check_id"]) == ("warm", "open", reply.json["id"])
    assert [(item["item_kind"], item["clearance"], item["lifted_by"]) for item in report["items"]] == [
        ("outlet", "do_not_use", None), ("lead", "do_not_use", None),
    ]
    again = send(people.member, "POST", f"{people.path}/checks", check(people, ("warmth", "warm")), key="k-1")
    assert again.json == reply.json
    shown = people.member.get(people.path).json
    assert [each["clearance"] for each in (*shown["clearances"], *shown["lead_clearances"])] == ["do_not_use"] * 2
    assert shown["lead_clearances"][0]["lead_label"] == "portable lead"
    assert people.administrator.get("/api/v1/households?clearance=do_not_use").json["total"] == 1


def test_a_clear_check_and_an_open_one_say_so(people: HomeClients) -> None:
    questions = people.member.get(f"{people.path}/signs").json["questions"]
    clear = [(question["question"], question["answers"][0]["answer"]) for question in questions]
    reply = send(people.member, "POST", f"{people.path}/checks", check(people, *clear))
    assert (reply.json["outcome"], reply.json["do_now"], reply.json["reports"]) == ("no_sign", [], [])
    unsure = [(question, "not_known" if question == "smell" else answer) for question, answer in clear]
    reply = send(people.member, "POST", f"{people.path}/checks", check(people, *unsure))
    assert (reply.json["outcome"], reply.json["is_clear"]) == ("not_complete", False)


def test_bad_answers_are_pointed_at(people: HomeClients) -> None:
    path = f"{people.path}/checks"
    for answers, pointer in (
        ([("colour", "no")], "#/answers/0/question"),
        ([("smell", "yes"), ("grip", "cool")], "#/answers/1/answer"),
        ([("smell", "no")], "#/answers"),
        ([("smell", "yes"), ("smell", "yes")], "#/answers/1/question"),
    ):
        reply = send(people.member, "POST", path, check(people, *answers))
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), answers


def test_an_incident_is_reported_by_member_or_administrator(people: HomeClients) -> None:
    body = {"sign": "lead_knocked", "lead_id": people.home.lead_id, "note": "fell off the wall"}
    for who in (people.member, people.administrator):
        reply = send(who, "POST", f"{people.path}/incidents", body)
        assert reply.status_code == 201
        assert reply.json["do_now"][0] == "End the charge at the car."
        assert [item["item_kind"] for item in reply.json["report"]["items"]] == ["lead"]
    listed = people.member.get(f"{people.path}/safety_reports").json
    assert (listed["total"], listed["items"][0]["words"][:8]) == (2, "The lead")
    later = send(people.member, "POST", f"{people.path}/incidents", {"sign": "warm", "seen_at": "2026-11-26T00:00:00Z"})
    assert pointers(later) == ["#/seen_at"]


def kept_photo(people: HomeClients) -> str:
    """Keep a small picture for the home and return its id."""
    content = io.BytesIO()
    Image.new("RGB", (8, 8), "white").save(content, "JPEG")
    kept = people.officer.post(f"{people.path}/files?purpose=photo&name=wall.jpg", data=content.getvalue())
    assert kept.status_code == 201, kept.get_data(as_text=True)
    return str(kept.json["id"])


def test_a_withdrawal_needs_a_safety_officer_a_reason_and_a_photo(people: HomeClients) -> None:
    report = send(people.member, "POST", f"{people.path}/incidents", {"sign": "house_moved"}).json["report"]
    path = f"{people.path}/safety_reports/{report['id']}/withdrawal"
    photo = kept_photo(people)
    for nobody in (people.member, people.administrator):
        assert send(nobody, "POST", path, {"reason": "x", "file_id": photo}).status_code == 403
    assert pointers(send(people.officer, "POST", path, {"reason": " ", "file_id": photo})) == ["#/reason"]
    assert pointers(send(people.officer, "POST", path, {"reason": "x"})) == ["#/file_id"]
    assert pointers(send(people.officer, "POST", path, {"reason": "x", "file_id": UNKNOWN})) == ["#/file_id"]
    reply = send(people.officer, "POST", path, {"reason": "we did not move", "file_id": photo})
    assert (reply.status_code, reply.json["state"]) == (200, "withdrawn")
    assert (reply.json["withdrawal_reason"], reply.json["withdrawal_file_id"]) == ("we did not move", photo)
    assert send(people.officer, "POST", path, {"reason": "another", "file_id": photo}).status_code == 409


def test_no_officer_withdraws_a_report_of_their_own_home(
    people: HomeClients, client: Callable[..., Any], scheme: str
) -> None:
    report = send(people.member, "POST", f"{people.path}/incidents", {"sign": "house_moved"}).json["report"]
    own = client("safety_officer", scheme, people.home.id)
    body = {"reason": "x", "file_id": UNKNOWN}
    reply = send(own, "POST", f"{people.path}/safety_reports/{report['id']}/withdrawal", body)
    assert reply.status_code == 403
    assert people.member.get(f"{people.path}/safety_reports").json["items"][0]["state"] == "open"


def test_a_test_of_a_lead_lifts_it_and_a_failed_one_stops_it(people: HomeClients) -> None:
    path = f"{people.path}/leads/{people.home.lead_id}/tests"
    body = {"kind": "test", "done_at": "2026-11-25T11:00:00Z", "tested_by": "Hollin Wiring (invented)"}
    reply = send(people.administrator, "POST", path, body)
    assert (reply.status_code, reply.json["is_passed"], reply.json["lead_id"]) == (201, True, people.home.lead_id)
    assert send(people.member, "POST", path, body).status_code == 403
    send(people.administrator, "POST", path, {**body, "is_passed": False})
    shown = people.member.get(people.path).json
    assert shown["lead_clearances"][0]["clearance"] == "do_not_use"
    assert shown["clearances"][0]["clearance"] == "fit_to_use"


def test_strangers_and_other_homes_find_nothing(people: HomeClients) -> None:
    for part in ("signs", "safety_reports"):
        assert people.stranger.get(f"{people.path}/{part}").status_code == 404
        assert people.administrator.get(f"/api/v1/households/{UNKNOWN}/{part}").status_code == 404
    body = check(people, ("warmth", "warm"))
    assert send(people.stranger, "POST", f"{people.path}/checks", body).status_code == 404
    assert send(people.administrator, "POST", f"{people.path}/checks", body).status_code == 403
    assert send(people.stranger, "POST", f"{people.path}/incidents", {"sign": "warm"}).status_code == 404
    body = {"sign": "warm", "lead_id": people.neighbour.lead_id}
    foreign = send(people.member, "POST", f"{people.path}/incidents", body)
    assert pointers(foreign) == ["#/lead_id"]
