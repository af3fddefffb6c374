"""An electrician's result goes in from a doorstep, without an account, and counts by rule; step by step over HTTP."""

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.domain import Duties
from service.accounts.models import Role
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.safety.models import InspectionLink
from tests.factories.home_clients import pointers
from tests.factories.visits import (
    BASE,
    CERTIFICATE,
    ELECTRICIAN,
    MEMBER,
    Doorstep,
    Holder,
    doorstep,
    found_at,
    person,
    secret_of,
    submission,
)

pytestmark = pytest.mark.both_databases
VISIT = f"{BASE}/inspection_link/visits"


@pytest.fixture
def door(
    app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme: str
) -> Doorstep:
    return doorstep(app, database, hasher, clock, scheme)


def state_of(door: Doorstep, visit_id: str) -> list[str]:
    return [step["state"] for step in door.administrator.get(f"{BASE}/visits/{visit_id}").json["steps"]]


def test_from_asking_to_the_end_of_the_link(door: Doorstep, database: Database) -> None:
    outlet = door.home.outlet_id
    # The member asks, the scheme agrees a day and sends the link; the home opens on that day, in its own zone.
    reply = door.member.post(f"{door.path}/visits", json={"outlet_ids": [outlet], "reason": "never looked at"})
    assert reply.status_code == 201, reply.json
    visit_id = reply.json["id"]
    path = f"{BASE}/visits/{visit_id}"
    agreed = {"agreed_on": "2026-11-26", "agreed_from": "09:00", "agreed_until": "11:00", "cost_pence": 9500}
    etag = door.administrator.get(path).headers["ETag"]
    assert door.administrator.patch(path, json=agreed, headers={"If-Match": etag}).json["state"] == "date_agreed"
    holder = door.link(visit_id)
    assert not holder.made["is_household_address"]
    before_its_day = holder.get().json["visits"][0]
    assert (before_its_day["is_open"], before_its_day["address"]) == (False, None)
    assert holder.get(f"/visits/{visit_id}").status_code == 409

    door.later(days=1)
    # A mail scanner opens everything, many times; nothing is spent by it.
    for _ in range(3):
        assert holder.get().status_code == 200
        assert holder.client.head(f"{BASE}/inspection_link").status_code == 200
        assert holder.get(f"/visits/{visit_id}").status_code == 200
    sheet = holder.get(f"/visits/{visit_id}").json
    assert sheet["home"]["address"] == "1 Quince Row"
    assert (sheet["outlet_ids"], sheet["draft"], sheet["draft_version"]) == ([outlet], {}, 0)

    # A draft survives; a stale one is refused, the same one sent again is not.
    draft = {"outlets": [{"outlet_id": outlet, "certificate_number": "C-7"}]}
    assert holder.draft(visit_id, draft, 0).json["draft_version"] == 1
    assert holder.draft(visit_id, draft, 0).json["draft_version"] == 1
    assert holder.draft(visit_id, {"outlets": []}, 0).status_code == 409
    assert holder.get(f"/visits/{visit_id}").json["draft"] == draft

    # The certificate first.
    upload = holder.upload(visit_id)
    assert (upload.status_code, upload.json["media_type"]) == (201, "application/pdf")
    certificate = found_at(outlet, file_id=upload.json["id"], inspected_on="2026-11-26", answers=None)
    reply = holder.submit(visit_id, submission(certificate, is_partial=True))
    assert reply.status_code == 201, reply.json
    assert (reply.json["is_accepted"], reply.json["is_partial"]) == (False, True)
    assert state_of(door, visit_id) == ["asked", "date_agreed", "done"]
    assert door.clearance()["clearance"] == "not_known"
    assert holder.get(f"/visits/{visit_id}").status_code == 200

    # Then the readings, by the same link; the document stands for them too, and the list accepts them.
    door.later(hours=5)
    body = submission(found_at(outlet, inspected_on="2026-11-26"))
    reply = holder.submit(visit_id, body, key="readings")
    assert reply.status_code == 201, reply.json
    (recorded,) = reply.json["inspections"]
    assert (reply.json["is_accepted"], recorded["acceptance_ground"]) == (True, "listed")
    assert recorded["file_id"] == upload.json["id"]
    assert state_of(door, visit_id) == ["asked", "date_agreed", "done", "recorded", "accepted"]
    first = door.inspections()
    assert [each["superseded_at"] is None for each in first] == [True, False]
    assert recorded["supersedes_id"] == first[1]["id"]

    # It is dead now, but for the one answer that may have been lost on its way.
    for method, where in (("GET", ""), ("GET", f"/visits/{visit_id}"), ("PUT", f"/visits/{visit_id}/draft")):
        assert holder.client.open(f"{BASE}/inspection_link{where}", method=method, json={}).status_code == 410
    assert holder.submit(visit_id, body).status_code == 410
    again = holder.submit(visit_id, body, key="readings")
    assert (again.status_code, again.headers["Idempotent-Replay"]) == (201, "true")
    assert len(door.inspections()) == 2

    # Accepted, the socket waits for a supervised first charge only: the readings are all in.
    clearance = door.clearance()
    assert clearance["clearance"] == "not_known"
    assert "supervised" in " ".join([*clearance["missing"], clearance["next_step"]])

    # A correction within seven days takes its place and writes over nothing.
    door.later(days=2)
    correct = f"{door.path}/inspections/{recorded['id']}/correction_link"
    reply = door.administrator.post(correct, json={"sent_to": ELECTRICIAN})
    assert reply.status_code == 201, reply.json
    corrector = door.holder_of(reply.json)
    corrected = found_at(outlet, inspected_on="2026-11-26", certificate_number="C-77 corrected")
    reply = corrector.submit(visit_id, submission(corrected))
    assert reply.json["is_accepted"], reply.json
    assert reply.json["inspections"][0]["supersedes_id"] == recorded["id"]
    now_standing = [each for each in door.inspections() if each["superseded_at"] is None]
    assert [each["certificate_number"] for each in now_standing] == ["C-77 corrected"]
    assert {each["certificate_number"] for each in door.inspections()} == {"C-77", "C-77 corrected"}
    assert corrector.get().status_code == 410
    assert door.administrator.post(correct, json={"sent_to": ELECTRICIAN}).status_code == 409


def test_as_it_was_known_before_a_correction_can_still_be_read(door: Doorstep, database: Database) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    file_id = holder.upload(visit_id).json["id"]
    bad = found_at(door.home.outlet_id, file_id=file_id, observations=[{"code": "C2", "note": "cracked"}])
    recorded = holder.submit(visit_id, submission(bad)).json["inspections"][0]
    assert door.clearance()["clearance"] == "do_not_use"
    between = door.clock.now()
    door.later(hours=2)
    reply = door.administrator.post(
        f"{door.path}/inspections/{recorded['id']}/correction_link", json={"sent_to": ELECTRICIAN}
    )
    door.holder_of(reply.json).submit(visit_id, submission(found_at(door.home.outlet_id)))
    assert door.clearance()["clearance"] != "do_not_use"
    from service.safety.operations import household_clearances

    with database.scheme(door.scheme_id, write=False) as session:
        (then,) = household_clearances(session, door.home.id, at=between)
    assert then.clearance == "do_not_use"


def test_a_finding_stops_at_once_and_everybody_is_told_even_with_the_certificate_alone(
    door: Doorstep, database: Database
) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    bad = found_at(
        door.home.outlet_id, answers=None, observations=[{"code": "C1", "note": "live parts", "reach": "home"}]
    )
    assert holder.submit(visit_id, submission(bad, is_partial=True)).status_code == 201
    assert door.clearance()["clearance"] == "do_not_use"
    with database.scheme(door.scheme_id, write=False) as session:
        told = session.scalars(select(Event).where(Event.name == "InspectionStopped")).all()
    assert [event.payload["codes"] for event in told] == [["C1"]]


def test_a_reading_outside_its_limit_is_kept_and_fails_the_item(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    usual = found_at(door.home.outlet_id)
    poor = {**usual["answers"], "zs_ohm": {"value": "7.5", "not_tested_because": ""}}
    file_id = holder.upload(visit_id).json["id"]
    reply = holder.submit(visit_id, submission({**usual, "answers": poor, "file_id": file_id}))
    assert reply.status_code == 201, reply.json
    assert reply.json["inspections"][0]["answers"]["zs_ohm"]["value"] == "7.5"
    assert door.clearance()["clearance"] == "do_not_use"


def test_a_wrong_unit_is_refused_with_field_value_and_rule_and_nothing_is_spent(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    usual = found_at(door.home.outlet_id)
    wrong = {**usual["answers"], "zs_ohm": {"value": 620000}}
    reply = holder.submit(visit_id, submission({**usual, "answers": wrong, "next_due_on": "2020-01-01"}))
    assert reply.status_code == 422
    found = {entry["pointer"]: entry for entry in reply.json["errors"]}
    assert set(found) == {"#/outlets/0/answers/zs_ohm", "#/outlets/0/next_due_on"}
    assert found["#/outlets/0/answers/zs_ohm"]["value"] == "620000"
    assert holder.get(f"/visits/{visit_id}").status_code == 200
    assert door.inspections() == []


def test_not_tested_because_is_an_answer_and_leaves_not_known(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    usual = found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"])
    untested = {**usual["answers"], "zs_ohm": {"value": None, "not_tested_because": "no access to the board"}}
    reply = holder.submit(visit_id, submission({**usual, "answers": untested}))
    assert reply.json["is_accepted"]
    assert door.clearance()["clearance"] == "not_known"


def test_a_whole_submission_names_each_outlet_of_the_visit_and_no_other(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    reply = holder.submit(visit_id, submission(found_at(door.neighbour.outlet_id)))
    assert (reply.status_code, pointers(reply)) == (422, ["#/outlets/0/outlet_id"])


@pytest.mark.parametrize("sent_to", [MEMBER, "MEMBER@Home.Example", "member+electrician@home.example"])
def test_what_comes_by_a_link_to_an_address_of_the_household_never_counts(door: Doorstep, sent_to: str) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id, sent_to=sent_to)
    assert holder.made["is_household_address"]
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    reply = holder.submit(visit_id, body)
    assert (reply.status_code, reply.json["is_accepted"]) == (201, False)
    assert "address of this household" in reply.json["waits_because"]
    (row,) = door.administrator.get(f"{BASE}/inspections?state=waiting").json["items"]
    assert (row["is_household_address"], row["received_by"], row["state"]) == (True, sent_to, "waiting")
    refused = door.officer.post(f"{door.path}/inspections/{row['id']}/acceptance", json={})
    assert (refused.status_code, "never counts" in refused.json["detail"]) == (409, True)


def test_even_one_on_the_list_does_not_count_by_his_own_homes_address(door: Doorstep, database: Database) -> None:
    reply = door.officer.post(f"{BASE}/electricians", json={"name": "A member", "email": MEMBER})
    visit_id = door.ask()
    holder = door.link(visit_id, electrician_id=reply.json["id"], sent_to=MEMBER)
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    assert not holder.submit(visit_id, body).json["is_accepted"]


def test_a_safety_officer_of_another_home_accepts_against_the_document(
    door: Doorstep, database: Database, hasher: PasswordHasher
) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id, electrician_id=None, sent_to="unlisted@wiring.example")
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    recorded = holder.submit(visit_id, body).json["inspections"][0]
    path = f"{door.path}/inspections/{recorded['id']}/acceptance"
    assert door.administrator.post(path, json={}).status_code == 403

    # One who lives in the home, or did, decides nothing about it.
    at_home = person(database, hasher, door.scheme_id, "both@scheme.example", duties=Duties(is_safety_officer=True))
    with database.scheme(door.scheme_id, write=True) as session:
        from service.accounts.operations import add_membership

        add_membership(session, account_id=at_home, role=Role.MEMBER, household_id=door.home.id, now=door.clock.now())
    own = door.client_of("both@scheme.example").post(path, json={})
    assert (own.status_code, own.json["type"]) == (403, "/problems/own-household")

    reply = door.officer.post(path, json={})
    assert (reply.status_code, reply.json["acceptance_ground"]) == (200, "officer")
    assert door.officer.post(path, json={}).status_code == 200
    (row,) = door.administrator.get(f"{BASE}/inspections?state=accepted").json["items"]
    told = (row["asked_by"], row["received_by"], row["recorded_by"], row["accepted_by"])
    assert told == ("administrator", "unlisted@wiring.example", "H. Hollin (invented)", "officer")
    assert state_of(door, visit_id)[-1] == "accepted"


def test_without_a_document_there_is_nothing_to_accept_against(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    reply = holder.submit(visit_id, submission(found_at(door.home.outlet_id)))
    assert (reply.json["is_accepted"], "certificate" in reply.json["waits_because"]) == (False, True)
    path = f"{door.path}/inspections/{reply.json['inspections'][0]['id']}"
    assert door.officer.post(f"{path}/acceptance", json={}).status_code == 409
    assert door.officer.post(f"{path}/refusal", json={"reason": "no document"}).status_code == 200
    assert door.officer.post(f"{path}/refusal", json={"reason": "another reason"}).status_code == 409


def test_who_was_taken_off_the_list_waits_and_what_he_recorded_before_stays(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    door.officer.post(f"{BASE}/electricians/{door.electrician_id}/removal")
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    reply = holder.submit(visit_id, body)
    assert (reply.json["is_accepted"], "list" in reply.json["waits_because"]) == (False, True)


def test_a_link_to_another_address_than_the_lists_waits(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id, sent_to="somebody@else.example")
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    assert not holder.submit(visit_id, body).json["is_accepted"]


def test_a_firms_day_list_opens_each_home_on_its_day_and_dies_with_the_last(door: Doorstep) -> None:
    today, tomorrow = door.ask(), door.ask(door.neighbour, on="2026-11-26")
    holder = door.link(today, tomorrow)
    offered = holder.get().json["visits"]
    assert [(each["is_open"], each["address"] is not None) for each in offered] == [(True, True), (False, False)]
    assert holder.submit(tomorrow, submission(found_at(door.neighbour.outlet_id))).status_code == 409
    assert holder.submit(today, submission(found_at(door.home.outlet_id))).status_code == 201
    assert [each["is_spent"] for each in holder.get().json["visits"]] == [True, False]
    assert holder.get(f"/visits/{today}").status_code == 410
    # The home's midnight, not that of UTC: both are the same in London in winter, so one second tells.
    door.later(hours=11, minutes=59, seconds=59)
    assert holder.get(f"/visits/{tomorrow}").status_code == 409
    door.later(seconds=1)
    assert holder.get(f"/visits/{tomorrow}").status_code == 200
    found = found_at(door.neighbour.outlet_id, inspected_on="2026-11-26")
    assert holder.submit(tomorrow, submission(found)).status_code == 201
    assert holder.get().status_code == 410


def test_a_visit_given_to_somebody_else_or_called_off_closes_for_the_first_link(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    other = door.officer.post(f"{BASE}/electricians", json={"name": "Other", "email": "other@wiring.example"})
    door.link(visit_id, electrician_id=other.json["id"], sent_to="other@wiring.example")
    assert holder.get(f"/visits/{visit_id}").status_code == 410
    assert holder.get().json["visits"][0]["address"] is None
    called_off = door.ask(door.neighbour)
    second = door.link(called_off)
    door.administrator.post(f"{BASE}/visits/{called_off}/steps", json={"state": "cancelled", "note": "moved away"})
    assert second.get(f"/visits/{called_off}").status_code == 410


def test_corrections_end_with_the_seventh_day(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    body = submission(found_at(door.home.outlet_id, file_id=holder.upload(visit_id).json["id"]))
    recorded = holder.submit(visit_id, body).json["inspections"][0]
    path = f"{door.path}/inspections/{recorded['id']}/correction_link"
    door.later(days=7)
    late = door.administrator.post(path, json={"sent_to": ELECTRICIAN})
    assert datetime.fromisoformat(late.json["expires_at"]) == datetime(2026, 12, 3, tzinfo=UTC)
    corrector = door.holder_of(late.json)
    assert corrector.get().status_code == 200
    door.later(hours=12)
    assert corrector.get().status_code == 410
    assert door.administrator.post(path, json={"sent_to": ELECTRICIAN}).status_code == 409


def every_route(visit_id: str) -> list[tuple[str, str, dict[str, Any]]]:
    query = {"purpose": "certificate", "name": "a.pdf"}
    return [
        ("GET", f"{BASE}/inspection_link", {}),
        ("HEAD", f"{BASE}/inspection_link", {}),
        ("GET", f"{VISIT}/{visit_id}", {}),
        ("PUT", f"{VISIT}/{visit_id}/draft", {"json": {"draft": {}, "draft_version": 0}}),
        ("POST", f"{VISIT}/{visit_id}/files", {"data": CERTIFICATE, "query_string": query}),
        ("POST", f"{VISIT}/{visit_id}/submission", {"json": submission(found_at("0" * 32))}),
    ]


def test_every_route_answers_404_to_an_unknown_link_and_410_to_a_dead_one(
    door: Doorstep, database: Database
) -> None:
    visit_id = door.ask()
    expired, revoked, spent = door.link(visit_id, expires_in_days=1), door.link(visit_id), door.link(visit_id)
    door.administrator.post(f"{BASE}/inspection_links/{revoked.made['id']}/revocation")
    spent.submit(visit_id, submission(found_at(door.home.outlet_id)))
    door.later(days=2)
    unknown = Holder(door.app, {}, "A" * 43)
    for method, path, options in every_route(visit_id):
        for holder, status in ((expired, 410), (revoked, 410), (spent, 410), (unknown, 404)):
            reply = holder.client.open(path, method=method, **options)
            assert (reply.status_code, reply.mimetype) == (status, "application/problem+json"), (method, path)
        # Neither a cookie nor nothing at all opens it.
        assert door.administrator.open(path, method=method, **options).status_code == 403
        nobody = door.app.test_client()
        nobody.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
        assert nobody.open(path, method=method, **options).status_code == 401


def test_a_link_opens_its_own_visits_only_and_a_foreign_one_answers_as_one_that_is_not_there(
    door: Doorstep, database: Database, hasher: PasswordHasher
) -> None:
    from service.accounts.operations import create_scheme
    from tests.factories.households import furnished_home
    from tests.factories.visits import agreed_visit

    with database.system(write=True) as system:
        create_scheme(system, scheme_id="b" * 32, name="Another", now=door.clock.now())
    with database.scheme("b" * 32, write=True) as session:
        foreign = agreed_visit(session, furnished_home(session)).id
    mine, unlinked = door.ask(), door.ask(door.neighbour)
    holder = door.link(mine)
    bodies = set()
    for other in (foreign, unlinked, "f" * 32):
        for method, path, options in every_route(other)[2:]:
            reply = holder.client.open(path, method=method, **options)
            assert reply.status_code == 404, (method, path)
            bodies.add((reply.json["type"], reply.json["title"], reply.json["detail"]))
    assert len(bodies) == 1
    refused = door.administrator.post(
        f"{BASE}/inspection_links",
        json={"visit_ids": [foreign], "electrician_id": None, "sent_to": "a@b.example", "expires_in_days": 1},
    )
    assert (refused.status_code, pointers(refused)) == (422, ["#/visit_ids/0"])


def test_a_links_secret_is_told_once_and_stored_nowhere_but_in_the_message(
    door: Doorstep, database: Database
) -> None:
    visit_id = door.ask()
    body = {"visit_ids": [visit_id], "electrician_id": None, "sent_to": "a@wiring.example", "expires_in_days": 3}
    made = door.administrator.post(f"{BASE}/inspection_links", json=body, headers={"Idempotency-Key": "once"})
    again = door.administrator.post(f"{BASE}/inspection_links", json=body, headers={"Idempotency-Key": "once"})
    assert made.json["url"].startswith(f"{door.app.extensions['plugward'].settings.base_url}/inspect#")
    assert (again.json["id"], again.json["url"]) == (made.json["id"], None)
    secret = secret_of(made.json["url"])
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", secret)  # 256 bits
    with database.scheme(door.scheme_id, write=False) as session:
        (link,) = session.scalars(select(InspectionLink)).all()
        (mail,) = session.scalars(select(Mail)).all()
    assert secret not in repr(vars(link))
    assert (mail.recipient, secret in mail.text) == ("a@wiring.example", True)
    for private in ("Quince", "Ada", "ZZ1", "H-1"):
        assert private not in mail.subject + mail.text + mail.html
    assert secret not in door.administrator.get(f"{BASE}/inspection_links").get_data(as_text=True)
    assert secret not in door.administrator.get(f"{BASE}/mail").get_data(as_text=True)


def test_a_change_that_does_not_come_from_our_pages_is_refused_with_a_link_too(door: Doorstep) -> None:
    visit_id = door.ask()
    holder = door.link(visit_id)
    holder.client.environ_base.pop("HTTP_X_REQUESTED_BY")
    assert holder.submit(visit_id, submission(found_at(door.home.outlet_id))).status_code == 403


