"""Inspections and rechecks over HTTP."""

from datetime import date
from typing import Any

import pytest

from service.safety.domain.evidence import RecheckItem
from service.safety.operations import schedule_recheck
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.households import WRITING
from tests.factories.signs import GOOD_ANSWERS
from tests.factories.visits import CERTIFICATE


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def inspection(people: HomeClients, **changes: Any) -> dict[str, Any]:
    """Return the body of an inspection with an open C2."""
    usual = {
        "outlet_id": people.home.outlet_id, "inspected_on": "2026-06-01", "next_due_on": "2031-06-01",
        "certificate_number": "C-1", "electrician": "Hollin Wiring (invented)",
        "observations": [{"code": "C2", "note": "loose terminal", "closed_on": None}],
    }
    return {**usual, **changes}


def test_an_inspection_acts_at_once_and_a_closed_finding_too(people: HomeClients) -> None:
    reply = send(people.administrator, "POST", f"{people.path}/inspections", inspection(people), key="k-1")
    assert reply.status_code == 201
    sent = {**inspection(people), "observations": [{**inspection(people)["observations"][0], "reach": "outlet"}]}
    assert {name: reply.json[name] for name in sent} == sent
    # Typed by an administrator it is a claim: it stops, and never clears.
    told = {name: reply.json[name] for name in ("source", "is_satisfactory", "accepted_at", "superseded_at", "file_id")}
    assert told == {"source": "typed", "is_satisfactory": False, **dict.fromkeys(list(told)[2:])}
    assert people.member.get(people.path).json["clearances"][0]["clearance"] == "do_not_use"
    closure = f"{people.path}/inspections/{reply.json['id']}/observations/0/closure"
    assert send(people.administrator, "POST", closure, {"closed_on": "2026-11-20"}).status_code == 403
    closed = send(people.officer, "POST", closure, {"closed_on": "2026-11-20"})
    assert (closed.status_code, closed.json["is_satisfactory"]) == (200, True)
    assert people.member.get(people.path).json["clearances"][0]["clearance"] == "not_known"
    assert send(people.officer, "POST", closure, {"closed_on": "2026-11-21"}).status_code == 409


BAD_INSPECTIONS: list[tuple[Any, str]] = [
    ({"outlet_id": UNKNOWN}, "#/outlet_id"),
    ({"inspected_on": "2026-11-26"}, "#/inspected_on"),
    ({"next_due_on": "2026-06-01"}, "#/next_due_on"),
    ({"next_due_on": "2036-06-02"}, "#/next_due_on"),
    ({"certificate_number": ""}, "#/certificate_number"),
    ({"electrician": None}, "#/electrician"),
    ({"observations": [{"code": "C9"}]}, "#/observations/0/code"),
    ({"observations": [{"code": "C3"}, {"code": "FI", "closed_on": "2026-11-26"}]}, "#/observations/1/closed_on"),
    ({"is_satisfactory": True}, "#/is_satisfactory"),
]


def test_a_bad_inspection_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_INSPECTIONS:
        reply = send(people.administrator, "POST", f"{people.path}/inspections", inspection(people, **changes))
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_a_recheck_is_completed(people: HomeClients, database: Any, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        recheck = schedule_recheck(
            session, people.home.id, item_kind=RecheckItem.LEAD, item_id=people.home.lead_id,
            due_on=date(2026, 11, 20), rule="yearly look (test rule)", **WRITING,
        )
    path = f"{people.path}/rechecks/{recheck.id}/completion"
    ahead = send(people.administrator, "POST", path, {"done_on": "2026-11-26"})
    assert (ahead.status_code, pointers(ahead)) == (422, ["#/done_on"])
    done = send(people.administrator, "POST", path, {"done_on": "2026-11-24"})
    assert done.json == {
        "id": recheck.id, "item_kind": "lead", "item_id": people.home.lead_id, "item_label": "portable lead",
        "due_on": "2026-11-20", "rule": "yearly look (test rule)", "done_on": "2026-11-24", "task": "other",
        "rule_name": "", "source": "", "interval_days": None, "is_claimed": False,
    }


def test_an_inspection_that_is_due_says_what_completes_it(people: HomeClients) -> None:
    send(people.administrator, "POST", f"{people.path}/inspections", inspection(people))
    recheck_id = people.member.get(people.path).json["rechecks"][0]["id"]
    reply = send(
        people.administrator, "POST", f"{people.path}/rechecks/{recheck_id}/completion", {"done_on": "2026-11-24"}
    )
    assert (reply.status_code, reply.json["type"]) == (409, "/problems/inspection-needed")


def test_only_an_administrator_records_evidence(people: HomeClients) -> None:
    closure = f"{people.path}/inspections/{UNKNOWN}/observations/0/closure"
    for path, body in (
        (f"{people.path}/inspections", inspection(people)), (closure, {"closed_on": "2026-11-20"}),
    ):
        assert send(people.member, "POST", path, body).status_code == 403
    for path, body in (
        (f"{people.path}/rechecks/{UNKNOWN}/completion", {"done_on": "2026-11-20"}),
        (f"/api/v1/households/{UNKNOWN}/inspections", inspection(people)),
    ):
        assert send(people.administrator, "POST", path, body).status_code == 404
    assert send(people.officer, "POST", closure, {"closed_on": "2026-11-20"}).status_code == 404


def test_typed_with_document_and_answers_it_is_to_be_accepted(people: HomeClients) -> None:
    asked = {"purpose": "certificate", "name": "c.pdf"}
    file_id = people.administrator.post(f"{people.path}/files", data=CERTIFICATE, query_string=asked).json["id"]
    body = inspection(people, file_id=file_id, answers=GOOD_ANSWERS.to_json(), observations=[])
    reply = send(people.administrator, "POST", f"{people.path}/inspections", body)
    assert (reply.status_code, reply.json["source"], reply.json["accepted_at"]) == (201, "officer", None)
    (row,) = people.administrator.get("/api/v1/inspections?state=waiting").json["items"]
    assert (row["id"], row["file_id"], row["reference"]) == (reply.json["id"], file_id, "H-1")
    elsewhere = inspection(people, file_id=UNKNOWN)
    assert pointers(send(people.administrator, "POST", f"{people.path}/inspections", elsewhere)) == ["#/file_id"]


def test_an_answer_out_of_range_is_pointed_at(people: HomeClients) -> None:
    for answers, pointer in (
        ({"zs_ohm": {"value": -1}}, "#/answers/zs_ohm"),
        ({"rcd_ma": "thirty"}, "#/answers/rcd_ma"),
        ({"no_such": 1}, "#/answers/no_such"),
    ):
        body = inspection(people, answers=answers, observations=[])
        assert pointers(send(people.administrator, "POST", f"{people.path}/inspections", body)) == [pointer]
