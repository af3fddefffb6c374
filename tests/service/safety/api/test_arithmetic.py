"""The arithmetic of a home over HTTP, with its working."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send

KINDS = (
    "lighting", "sockets", "cooker", "shower", "immersion", "storage_heating", "room_heating", "heat_pump", "other",
)  # fmt: skip
STATED = "is_unmetered=no&is_adequate=yes&has_doubt=no&is_upgrade_certain=no&is_area_scheme=no"
RUN = {
    "kind": "radial", "cable_kind": "flat_twin_and_earth", "cable_mm2": 2.5, "installed": "C", "ambient_c": 30,
    "grouped_circuits": 1, "insulation_mm": 0, "length_m": 15,
}  # fmt: skip


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_the_demand_is_not_known_until_every_row_is(people: HomeClients) -> None:
    reply = people.member.get(f"{people.path}/demand").json
    assert (reply["demand_a"], reply["at_least_a"], reply["action"]) == (None, "10", "apply_first")
    assert reply["not_known"] == list(KINDS)
    assert people.administrator.get(f"{people.path}/demand").json == reply
    assert people.stranger.get(f"{people.path}/demand").status_code == 404


def test_the_demand_is_shown_row_by_row_with_its_working(people: HomeClients) -> None:
    loads = [{"kind": kind, "power_w": 9200 if kind == "shower" else 0} for kind in KINDS]
    supply = {"fuse_a": 80, "looped": "no", "loads": loads}
    assert send(people.administrator, "PUT", f"{people.path}/supply", supply, etag="*").status_code == 200
    reply = people.administrator.get(f"{people.path}/demand?{STATED}").json
    assert (reply["demand_a"], reply["action"], reply["reasons"]) == ("50", "connect_and_notify", [])
    assert [(row["kind"], row["counted_a"]) for row in reply["rows"]] == [
        ("instantaneous_water", "40"), ("charging", "10"),
    ]  # fmt: skip
    assert any("no diversity" in step["rule"] for step in reply["working"])
    assert people.member.get(f"{people.path}/demand").json["action"] == "apply_first"
    bad = people.member.get(f"{people.path}/demand?is_adequate=perhaps")
    assert (bad.status_code, pointers(bad)) == (422, ["#/is_adequate"])


def test_other_evidence_is_named_and_counts_in_place_of_the_rows(people: HomeClients) -> None:
    evidence = "measured_a=38&measured_days=14&measured_by=the+meter"
    reply = people.member.get(f"{people.path}/demand?{evidence}").json
    assert (reply["demand_a"], reply["method"]) == (
        "48", "maximum demand measured over 14 days by the meter, plus the new load in full",
    )  # fmt: skip
    half = people.member.get(f"{people.path}/demand?limit_a=60")
    assert (half.status_code, pointers(half)) == (422, ["#/device"])


def test_a_fuse_beyond_the_rules_is_named_and_not_guessed_about(people: HomeClients) -> None:
    send(people.administrator, "PUT", f"{people.path}/supply", {"fuse_a": 45}, etag="*")
    reply = people.member.get(f"{people.path}/demand").json
    assert (reply["action"], reply["refused"]) == (
        None, [{"field": "fuse_a", "value": "45", "rule": "must be 60, 80 or 100 A, or not known"}],
    )  # fmt: skip


def test_a_circuit_is_shown_with_capacity_drop_and_working(people: HomeClients) -> None:
    body = {"label": "garage", "runs": [RUN]}
    circuit_id = send(people.administrator, "POST", f"{people.path}/circuits", body).json["id"]
    path = f"{people.path}/circuits/{circuit_id}/arithmetic"
    reply = people.member.get(path).json
    assert (reply["current_a"], reply["capacity_a"], reply["governed_by"]) == ("10", "27", "1 radial")
    assert (reply["drop_v"], reply["drop_limit_v"], reply["drop_answer"]) == ("2.7", "11.5", "passes")
    assert reply["runs"] == [{"label": "1 radial", "capacity_a": "27", "missing": [], "answer": "not_known"}]
    assert any("4D5" in step["source"] for step in reply["working"])
    assert people.stranger.get(path).status_code == 404
    bad = people.member.get(f"{path}?ring_along_m=1001")
    assert (bad.status_code, pointers(bad)) == (422, ["#/ring_along_m"])


def test_a_circuit_with_a_gap_is_not_known_and_says_what_is_missing(people: HomeClients) -> None:
    body = {"label": "garage", "runs": [{**RUN, "kind": "ring", "installed": ""}]}
    circuit_id = send(people.administrator, "POST", f"{people.path}/circuits", body).json["id"]
    reply = people.member.get(f"{people.path}/circuits/{circuit_id}/arithmetic").json
    assert (reply["answer"], reply["capacity_a"], reply["drop_v"]) == ("not_known", None, None)
    assert reply["runs"][0]["missing"] == ["how it is installed"]
    assert reply["rings"] == [{"label": "1 ring", "leg_a": "10", "other_leg_a": "0", "is_worst_place": True}]
