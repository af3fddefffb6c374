"""A home with its evidence over HTTP."""

import functools
from typing import Any

import pytest

from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect

HOME = {"reference": "H-9", "member_name": "Bo Tarn", "nation": "scotland"}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_a_home_is_added_empty(people: HomeClients) -> None:
    added = send(people.administrator, "POST", "/api/v1/households", HOME, key="k-1")
    assert added.status_code == 201
    assert added.json == {
        **HOME, "id": added.json["id"], "address": "", "postcode": "", "zone": "Europe/London", "region": None,
        "payment": None, "tenure": "not_known", "occupied_since_on": None, "supply": None,
        "circuits": [], "outlets": [], "leads": [],
        "vehicles": [], "contracts": [], "inspections": [], "rechecks": [], "clearances": [], "lead_clearances": [],
    }
    assert send(people.administrator, "POST", "/api/v1/households", HOME, key="k-1").json == added.json
    assert send(people.administrator, "POST", "/api/v1/households", HOME, key="k-2").status_code == 409


BAD_HOMES: list[tuple[Any, str]] = [
    ({"reference": " "}, "#/reference"),
    ({"member_name": 7}, "#/member_name"),
    ({"zone": "Asia/Kathmandu"}, "#/zone"),
    ({"nation": "france"}, "#/nation"),
    ({"region": ""}, "#/region"),
    ({"id": UNKNOWN}, "#/id"),
]


def test_a_bad_home_is_pointed_at(people: HomeClients) -> None:
    for changes, pointer in BAD_HOMES:
        reply = send(people.administrator, "POST", "/api/v1/households", {**HOME, **changes})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes


def test_a_home_is_shown_with_its_parts_and_what_evidence_says(
    people: HomeClients, database: Any, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id, "C3")
    shown = people.member.get(people.path).json
    assert [outlet["label"] for outlet in shown["outlets"]] == ["garage socket"]
    # The member's checks of outlet and lead, and the electrician's next inspection; the home has no circuit.
    assert [recheck["due_on"] for recheck in shown["rechecks"]] == ["2026-12-24", "2026-12-24", "2031-06-01"]
    (inspection,) = shown["inspections"]
    assert (inspection["is_satisfactory"], inspection["observations"][0]["code"]) == (True, "C3")
    (clearance,) = shown["clearances"]
    assert (clearance["outlet_label"], clearance["clearance"], clearance["limit_a"]) == (
        "garage socket", "fit_to_use", 10,
    )
    assert clearance["valid_until"] == "2026-12-24T00:00:00+00:00"
    assert (clearance["missing"], clearance["needs"]) == ([], [])
    assert set(clearance["working"][0]) == {"what", "inputs", "rule", "source", "result"}
    assert people.administrator.get(people.path).json == shown


def test_a_home_shows_no_departures_and_no_state_of_charge(people: HomeClients) -> None:
    departure = {"weekday": 0, "leaves_at": "07:31", "returns_at": "17:46", "miles": "42.7"}
    send(people.member, "PUT", f"{people.car}/routine", {"departures": [departure]}, etag="*")
    send(people.member, "PUT", f"{people.car}/state_of_charge", {"percent": 57}, etag="*")
    shown = people.administrator.get(people.path).get_data(as_text=True)
    assert not [word for word in ("07:31", "42.7", "routine", "charge_percent", "57") if f'"{word}"' in shown]
    limits = ("ceiling_percent", "reserve_percent", "taper_from_percent")
    assert "percent" not in functools.reduce(lambda text, name: text.replace(name, ""), limits, shown)


def test_a_home_is_changed_under_its_etag_whatever_its_parts_do(people: HomeClients) -> None:
    etag = people.administrator.get(people.path).headers["ETag"]
    send(people.member, "PUT", f"{people.car}/state_of_charge", {"percent": 57}, etag="*")
    changed = send(people.administrator, "PATCH", people.path, {"region": "Northmere"}, etag=etag)
    assert (changed.status_code, changed.json["region"]) == (200, "Northmere")
    assert send(people.administrator, "PATCH", people.path, {"region": None}, etag=etag).status_code == 412
    assert send(people.administrator, "PATCH", people.path, {"region": None}).status_code == 428
    taken = send(people.administrator, "PATCH", people.path, {"reference": "H-2"}, etag=changed.headers["ETag"])
    assert taken.status_code == 409


def test_a_home_is_always_sent_whole_because_its_evidence_ages(people: HomeClients) -> None:
    etag = people.member.get(people.path).headers["ETag"]
    assert people.member.get(people.path, headers={"If-None-Match": etag}).status_code == 200


def test_a_home_is_seen_by_its_member_and_administrators_only(people: HomeClients, app: Any) -> None:
    assert people.stranger.get(people.path).status_code == 404
    assert people.administrator.get(f"/api/v1/households/{UNKNOWN}").status_code == 404
    assert app.test_client().get(people.path).status_code == 401
    assert send(people.member, "PATCH", people.path, {}, etag="*").status_code == 403
    assert send(people.member, "POST", "/api/v1/households", HOME).status_code == 403


def test_another_schemes_administrator_finds_nothing(people: HomeClients, client: Any, database: Any) -> None:
    from service.accounts.operations import create_scheme
    from tests.factories.households import NOON

    with database.system(write=True) as session:
        create_scheme(session, scheme_id="b" * 32, name="Brackwater", now=NOON)
    other = client("administrator", "b" * 32)
    for path in (people.path, people.car, f"{people.path}/outlets/{people.home.outlet_id}"):
        assert other.get(path).status_code == 404
        assert send(other, "PATCH", path, {}, etag="*").status_code == 404
    for part in ("outlets", "leads", "circuits", "contracts", "vehicles", "inspections"):
        assert send(other, "POST", f"{people.path}/{part}", {}).status_code in (404, 422)


def test_a_home_asked_for_briefly_says_the_same_without_what_stands_behind_it(people: HomeClients) -> None:
    whole = people.member.get(people.path).json
    brief = people.member.get(f"{people.path}?is_brief=true").json
    assert whole["clearances"][0]["working"]
    assert (brief["inspections"], brief["rechecks"], brief["clearances"][0]["working"]) == ([], [], [])
    assert brief["clearances"] == [{**answer, "working": []} for answer in whole["clearances"]]
    assert people.member.get(f"{people.path}?is_brief=perhaps").status_code == 422
