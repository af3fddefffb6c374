"""A member compares the home with what it might be, keeps it, shares the totals, and takes it back."""

from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.infrastructure.db.sessions import Database
from service.planning.models import CurrentPlan, Plan, WhatIf
from service.planning.operations import what_if
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet
from tests.factories.home_clients import UNKNOWN, pointers, send

pytestmark = pytest.mark.both_databases

HIDDEN = ("departures", "leaves_at", "returns_at", "short_departures", "night_count", "working", "changes", "starts_at")


class Story:
    """Two homes of one scheme, and who asks."""

    def __init__(self, fleet: Fleet, client: Any, scheme: str) -> None:
        self.fleet = fleet
        self.home, self.neighbours = fleet.household_ids
        self.member = client("member", scheme, self.home)
        self.neighbour = client("member", scheme, self.neighbours)
        self.administrator = client("administrator", scheme)
        self.path = f"/api/v1/households/{self.home}"
        self.seen = self.member.get(self.path).json

    def point(self, **more: Any) -> dict[str, Any]:
        outlet = {"outlet_id": self.seen["outlets"][0]["id"], "kind": "charging_point", "limit_a": 32, **more}
        return {"label": "A charging point", "changes": {"outlet": outlet}}

    def compare(self, body: Any, key: str = "") -> Any:
        return send(self.member, "POST", f"{self.path}/what_ifs", body, key=key)


@pytest.fixture
def story(database: Database, client: Any, scheme: str) -> Story:
    return Story(make_fleet(database, scheme, 2, seed=3, now=NOON), client, scheme)


def test_a_charging_point_is_compared_and_nothing_of_the_home_changes(
    story: Story, database: Database, scheme: str
) -> None:
    reply = story.compare(story.point(), key="once")
    assert reply.status_code == 201
    found = reply.json["result"]
    assert found["now"]["energy_kwh"] > 0
    assert found["changed"]["energy_kwh"] > 0
    assert found["now"] != found["changed"]
    saved = 52 * (float(found["now"]["cost_pence"]) - float(found["changed"]["cost_pence"]))
    assert float(found["yearly"]["saved_pence"]) == pytest.approx(saved, abs=0.001)
    assert "as if it were cleared: nothing is charged there before an electrician's record" in " ".join(found["notes"])
    assert found["yearly"]["as_if"] == "if every week of the year were like this one"
    assert len(found["working"]) == 3
    again = story.compare(story.point(), key="once")
    assert (again.json, again.headers["Idempotent-Replay"]) == (reply.json, "true")
    assert story.member.get(f"{story.path}/what_ifs").json == {"items": [reply.json], "most": 50}
    assert story.member.get(f"{story.path}/what_ifs/{reply.json['id']}").json == reply.json
    assert story.member.get(story.path).json == story.seen
    with database.scheme(scheme, write=False) as session:
        assert session.scalars(select(Plan)).all() == session.scalars(select(CurrentPlan)).all() == []


def test_each_change_is_taken_and_given_back_as_it_was_said(story: Story) -> None:
    car = story.member.get(f"{story.path}/vehicles").json["items"][0]
    routine = story.member.get(f"{story.path}/vehicles/{car['id']}/routine").json["departures"]
    tariff = story.member.get(f"{story.path}/tariff_choices").json["items"][0]
    assert tariff["id"] == story.fleet.tariff_id
    far = [{**departure, "miles": "60"} for departure in routine]
    second = {
        "label": "the second car", "battery_kwh": 50, "miles_per_kwh": "3.5", "onboard_limit_a": 32,
        "onboard_phases": 1, "ceiling_percent": 80, "reserve_percent": 20, "outlet_id": car["outlet_id"],
        "lead_id": car["lead_id"], "departures": routine,
    }  # fmt: skip
    outlet = {**story.point()["changes"]["outlet"], "phases": 1, "control": "schedule"}
    for name, change in (
        ("routine", {"vehicle_id": car["id"], "departures": far}),
        ("second_car", second),
        ("tariff", {"tariff_id": tariff["id"]}),
        ("outlet", outlet),
        ("supply", {"fuse_a": 100, "phases": 1}),
        ("limits", {"vehicle_id": car["id"], "ceiling_percent": 80, "reserve_percent": 40}),
    ):
        reply = story.compare({"label": name, "changes": {name: change}})
        assert reply.status_code == 201, reply.json
        given = {each: value for each, value in reply.json["changes"].items() if value is not None}
        assert given == {name: change}
        sides = reply.json["result"]
        assert (sides["now"] == sides["changed"]) == (name in ("tariff", "supply")), name
    labels = [each["label"] for each in story.member.get(f"{story.path}/what_ifs").json["items"]]
    assert sorted(labels) == ["limits", "outlet", "routine", "second_car", "supply", "tariff"]


def test_the_administrator_sees_totals_of_what_is_shared_and_of_nothing_else(
    story: Story, database: Database, scheme: str
) -> None:
    kept = story.compare(story.point()).json
    shared = f"{story.path}/shared_what_ifs"
    sharing = f"{story.path}/what_ifs/{kept['id']}/sharing"
    assert story.administrator.get(shared).json == {"items": []}
    told = send(story.member, "POST", sharing, {"is_shared": True})
    assert told.json == {**kept, "is_shared": True}
    (seen,) = story.administrator.get(shared).json["items"]
    totals = ("cost_pence", "energy_kwh", "short_kwh")
    assert seen == {
        "id": kept["id"],
        "label": "A charging point",
        "created_at": kept["created_at"],
        "result": {
            "now": {name: kept["result"]["now"][name] for name in totals},
            "changed": {name: kept["result"]["changed"][name] for name in totals},
            "yearly": kept["result"]["yearly"],
        },
    }
    text = story.administrator.get(shared).get_data(as_text=True)
    assert [word for word in HIDDEN if f'"{word}"' in text] == []
    assert send(story.member, "POST", sharing, {"is_shared": False}).status_code == 200
    assert story.administrator.get(shared).json == {"items": []}
    with database.scheme(scheme, write=False) as session:
        lines = session.scalars(select(AuditEntry.action).where(AuditEntry.subject_kind == "what_if")).all()
    assert sorted(lines) == ["add", "share", "stop_sharing"]


def test_nobody_else_sees_compares_shares_or_deletes(story: Story) -> None:
    kept = story.compare(story.point()).json
    own, one = f"{story.path}/what_ifs", f"{story.path}/what_ifs/{kept['id']}"
    for who, status in ((story.neighbour, 404), (story.administrator, 403)):
        assert who.get(own).status_code == who.get(one).status_code == status
        assert who.get(f"{story.path}/plan/worth").status_code == status
        assert send(who, "POST", own, story.point()).status_code == status
        assert send(who, "POST", f"{one}/sharing", {"is_shared": True}).status_code == status
        assert send(who, "DELETE", one, etag="*").status_code == status
    assert story.member.get(f"{story.path}/shared_what_ifs").status_code == 403
    through_own = f"/api/v1/households/{story.neighbours}/what_ifs/{kept['id']}"
    assert story.neighbour.get(through_own).status_code == 404
    assert send(story.neighbour, "DELETE", through_own, etag="*").status_code == 404


def test_a_comparison_is_deleted_once_and_only_in_the_state_that_was_seen(story: Story) -> None:
    reply = story.compare(story.point())
    one = f"{story.path}/what_ifs/{reply.json['id']}"
    send(story.member, "POST", f"{one}/sharing", {"is_shared": True})
    assert send(story.member, "DELETE", one).status_code == 428
    assert send(story.member, "DELETE", one, etag=reply.headers["ETag"]).status_code == 412
    assert send(story.member, "DELETE", one, etag=story.member.get(one).headers["ETag"]).status_code == 204
    assert story.member.get(one).status_code == 404
    assert story.administrator.get(f"{story.path}/shared_what_ifs").json == {"items": []}


BAD: list[tuple[dict[str, Any], str]] = [
    ({}, "#/changes"),
    ({"outlet": {"outlet_id": UNKNOWN, "kind": "charging_point", "limit_a": 32}}, "#/changes/outlet/outlet_id"),
    ({"routine": {"vehicle_id": UNKNOWN, "departures": []}}, "#/changes/routine/vehicle_id"),
    ({"tariff": {"tariff_id": UNKNOWN}}, "#/changes/tariff/tariff_id"),
    ({"supply": {"fuse_a": 900}}, "#/changes/supply/fuse_a"),
    ({"supply": {"fuse_a": 80, "phases": 2}}, "#/changes/supply/phases"),
    ({"supply": {"fuse_a": "80"}}, "#/changes/supply/fuse_a"),
    ({"limits": {"vehicle_id": UNKNOWN, "ceiling_percent": 80, "reserve_percent": 20}}, "#/changes/limits/vehicle_id"),
    ({"roof": {}}, "#/changes/roof"),
]


def test_bad_changes_are_pointed_at_and_nothing_is_kept(story: Story) -> None:
    for changes, pointer in BAD:
        reply = story.compare({"label": "x", "changes": changes})
        assert (reply.status_code, pointers(reply)) == (422, [pointer]), changes
    assert pointers(story.compare({**story.point(), "label": "  "})) == ["#/label"]
    assert pointers(story.compare(story.point(limit_a=100))) == ["#/changes/outlet/limit_a"]
    assert story.member.get(f"{story.path}/what_ifs").json["items"] == []


def test_another_schemes_tariff_outlet_and_car_are_not_known_here(
    story: Story, database: Database, client: Any
) -> None:
    other = "b" * 32
    theirs = make_fleet(database, other, 1, seed=4, now=NOON)
    who = client("member", other, theirs.household_ids[0])
    seen = who.get(f"/api/v1/households/{theirs.household_ids[0]}").json
    assert pointers(story.compare(story.point(outlet_id=seen["outlets"][0]["id"]))) == ["#/changes/outlet/outlet_id"]
    tariff = {"label": "x", "changes": {"tariff": {"tariff_id": theirs.tariff_id}}}
    assert pointers(story.compare(tariff)) == ["#/changes/tariff/tariff_id"]


def test_a_home_keeps_no_more_than_its_bound(story: Story, database: Database, scheme: str) -> None:
    result = story.compare(story.point()).json
    with database.scheme(scheme, write=True) as session:
        row = session.scalars(select(WhatIf)).one()
        session.add_all(
            WhatIf(household_id=story.home, label="x", changes=row.changes, result=row.result, created_at=NOON)
            for _ in range(what_if.MOST_KEPT - 1)
        )
    refused = story.compare(story.point())
    assert (refused.status_code, refused.json["title"]) == (409, "Too many comparisons kept")
    send(story.member, "DELETE", f"{story.path}/what_ifs/{result['id']}", etag="*")
    assert story.compare(story.point()).status_code == 201


def test_what_is_worth_knowing_comes_with_its_working(story: Story) -> None:
    reply = story.member.get(f"{story.path}/plan/worth")
    assert reply.json["as_if"] == "if every week of the year were like this one"
    assert [each["kind"] for each in reply.json["items"]] == ["hour_more", "more_current", "full_ceiling"]
    current = reply.json["items"][1]
    assert (current["before"], current["after"]) == (10, 32)
    compared = story.compare(story.point(control="schedule")).json["result"]["yearly"]
    assert (current["saved_pence"], current["closed_kwh"]) == (compared["saved_pence"], compared["closed_kwh"])
    assert all(len(each["working"]) == 2 for each in reply.json["items"])
