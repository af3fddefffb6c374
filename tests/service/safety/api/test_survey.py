"""The home survey over HTTP: the member's answers, step by step, and who may see and save them."""

from datetime import timedelta
from typing import Any

import pytest

from service.infrastructure.files import StoredFile
from tests.conftest import NOON
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send

SUPPLY = {
    "fuse_a": 80, "phases": 1, "earthing": "not_known", "looped": "no",
    "loads": [{"kind": "shower", "power_w": 8500}, {"kind": "lighting", "power_w": None}],
}  # fmt: skip


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def save(people: HomeClients, step: str, answers: dict[str, Any], item_id: str = "", etag: str = "*") -> Any:
    query = f"?item_id={item_id}" if item_id else ""
    return send(people.member, "PUT", f"{people.path}/survey/{step}{query}", {"answers": answers}, etag=etag)


def step_of(survey: dict[str, Any], name: str) -> dict[str, Any]:
    return next(step for step in survey["steps"] if step["step"] == name)


def test_it_starts_from_what_is_recorded_with_nothing_saved(people: HomeClients) -> None:
    survey = people.member.get(f"{people.path}/survey").json
    assert people.administrator.get(f"{people.path}/survey").json == survey
    assert [step["step"] for step in survey["steps"]] == ["home", "supply", "outlet", "circuit", "lead", "consents"]
    assert (survey["saved_share"], survey["is_complete"], survey["electrician_questions"]) == ("0", False, [])
    outlet, lead = step_of(survey, "outlet"), step_of(survey, "lead")
    assert (outlet["item_id"], outlet["label"], outlet["saved_at"]) == (people.home.outlet_id, "garage socket", None)
    assert (outlet["answers"]["kind"], outlet["answers"]["ev_mark"]) == ("socket_13a", "not_known")
    assert (lead["answers"]["rated_a"], lead["answers"]["set_a"]) == (10, 10)
    assert [(each["kind"], each["answer"]) for each in survey["consents"]] == [
        ("landlord", "not_known"), ("freeholder", "not_known"), ("insurer", "not_known"),
    ]  # fmt: skip


def test_a_saved_step_is_recorded_and_what_is_not_known_is_asked_of_the_electrician(people: HomeClients) -> None:
    saved = save(people, "supply", SUPPLY)
    assert saved.status_code == 200, saved.get_data(as_text=True)
    assert step_of(saved.json, "supply")["is_complete"]
    assert saved.json["saved_share"] == "0.17"
    assert people.member.get(f"{people.path}/supply").json["fuse_a"] == 80
    asked = saved.json["electrician_questions"]
    assert "How is the supply earthed: TN-S, TN-C-S or TT? Fills: earthing of the supply." in asked
    assert not any("fuse in the service cut-out" in text for text in asked)
    assert people.member.get(f"{people.path}/survey").json == saved.json


def test_a_save_names_the_version_it_was_made_from(people: HomeClients) -> None:
    path = f"{people.path}/survey"
    first = people.member.get(path).headers["ETag"]
    assert send(people.member, "PUT", f"{path}/home", {"answers": {}}).status_code == 428
    saved = save(people, "home", {"tenure": "private_rented", "moved_in_on": "2021-03-01"}, etag=first)
    assert saved.headers["ETag"] != first
    assert save(people, "home", {"tenure": "owner"}, etag=first).status_code == 412
    assert people.member.get(path).headers["ETag"] == saved.headers["ETag"]
    assert people.member.get(people.path).json["tenure"] == "private_rented"


def test_the_whole_survey_can_be_answered_not_known(people: HomeClients) -> None:
    for step, item_id in (
        ("home", ""), ("supply", ""), ("outlet", people.home.outlet_id), ("circuit", people.home.outlet_id),
        ("lead", people.home.lead_id), ("consents", ""),
    ):  # fmt: skip
        reply = save(people, step, {}, item_id)
        assert reply.status_code == 200, reply.get_data(as_text=True)
    assert (reply.json["is_complete"], reply.json["saved_share"]) == (True, "1")
    asked = " ".join(reply.json["electrician_questions"])
    for words in ("service cut-out", "marked EV", "how does its circuit run", "sense its own temperature"):
        assert words in asked


def test_a_circuit_is_told_run_by_run_and_belongs_to_its_outlet(people: HomeClients) -> None:
    runs = [
        {"kind": "board", "device_kind": "mcb_b", "device_a": 32, "rcd_type": "a"},
        {"kind": "ring", "cable_kind": "flat_twin_and_earth", "cable_mm2": 2.5, "length_m": 40.5},
    ]
    reply = save(people, "circuit", {"runs": runs}, people.home.outlet_id)
    assert step_of(reply.json, "circuit")["answers"]["runs"][1]["length_m"] == 40.5
    shown = people.administrator.get(people.path).json
    (circuit,) = shown["circuits"]
    assert [run["kind"] for run in circuit["runs"]] == ["board", "ring"]
    assert shown["outlets"][0]["circuit_id"] == circuit["id"]


BAD: list[tuple[str, dict[str, Any], str]] = [
    ("home", {"tenure": "squatted"}, "#/answers/tenure"),
    ("home", {"moved_in_on": "2026-11-26"}, "#/answers/moved_in_on"),
    ("home", {"colour": "grey"}, "#/answers/colour"),
    ("supply", {"fuse_a": 201}, "#/answers/fuse_a"),
    ("supply", {"phases": 2}, "#/answers/phases"),
    ("supply", {"loads": [{"kind": "shower", "power_w": 100_001}]}, "#/answers/loads/0/power_w"),
    ("supply", {"photo_ids": [UNKNOWN]}, "#/answers/photo_ids/0"),
    ("outlet", {"kind": "charging_point"}, "#/answers/kind"),
    ("outlet", {"nights_a_week": 8}, "#/answers/nights_a_week"),
    ("outlet", {"since_on": "2026-11-26"}, "#/answers/since_on"),
    ("circuit", {"runs": [{"kind": "hose"}]}, "#/answers/runs/0/kind"),
    ("circuit", {"runs": [{"kind": "ring", "length_m": 1001}]}, "#/answers/runs/0/length_m"),
    ("lead", {"rated_a": 10, "set_a": 13}, "#/answers/set_a"),
    ("lead", {"settings_a": [8, 6]}, "#/answers/settings_a"),
    ("consents", {"landlord": {"answer": "not_known", "given_on": "2026-01-01"}}, "#/answers/landlord/given_on"),
    ("consents", {"insurer": {"answer": "yes", "file_id": UNKNOWN}}, "#/answers/insurer/file_id"),
]


@pytest.mark.parametrize(("step", "answers", "pointer"), BAD)
def test_a_bad_answer_is_pointed_at(people: HomeClients, step: str, answers: dict[str, Any], pointer: str) -> None:
    items = {"outlet": people.home.outlet_id, "circuit": people.home.outlet_id, "lead": people.home.lead_id}
    reply = save(people, step, answers, items.get(step, ""))
    assert (reply.status_code, pointers(reply)) == (422, [pointer])
    assert people.member.get(f"{people.path}/survey").json["saved_share"] == "0"


def test_a_step_about_a_thing_names_it(people: HomeClients) -> None:
    for step in ("outlet", "circuit", "lead"):
        reply = save(people, step, {})
        assert (reply.status_code, pointers(reply)) == (422, ["#/item_id"])
        assert save(people, step, {}, UNKNOWN).status_code == 404
    assert save(people, "outlet", {}, people.neighbour.outlet_id).status_code == 404
    assert save(people, "lead", {}, people.neighbour.lead_id).status_code == 404


def test_a_consent_is_answered_with_its_day_and_document(people: HomeClients, database: Any, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        letter, photo = (
            StoredFile(
                household_id=people.home.id, purpose=purpose, sha256="0" * 64, media_type="application/pdf",
                size_bytes=9, uploaded_at=NOON - timedelta(days=1),
            )
            for purpose in ("consent", "photo")
        )  # fmt: skip
        session.add_all([letter, photo])
        session.flush()
        letter_id, photo_id = letter.id, photo.id
    path = f"{people.path}/consents/landlord"
    body = {"answer": "yes", "given_on": "2026-11-01", "file_id": letter_id}
    assert send(people.member, "PUT", path, body).status_code == 428
    reply = send(people.member, "PUT", path, body, etag="*")
    assert {name: reply.json[name] for name in body} == body
    assert people.administrator.get(f"{people.path}/survey").json["consents"][0] == reply.json
    wrong = send(people.member, "PUT", path, {**body, "file_id": photo_id}, etag="*")
    assert (wrong.status_code, pointers(wrong)) == (422, ["#/file_id"])
    assert send(people.member, "PUT", f"{people.path}/consents/neighbour", body, etag="*").status_code == 404
    assert save(people, "supply", {"photo_ids": [photo_id]}).status_code == 200


def test_only_the_homes_own_member_saves_it(people: HomeClients) -> None:
    body = {"answers": {}}
    assert send(people.administrator, "PUT", f"{people.path}/survey/home", body, etag="*").status_code == 403
    assert send(people.stranger, "PUT", f"{people.path}/survey/home", body, etag="*").status_code == 404
    assert send(people.stranger, "PUT", f"{people.path}/consents/insurer", {}, etag="*").status_code == 404
    assert people.stranger.get(f"{people.path}/survey").status_code == 404
