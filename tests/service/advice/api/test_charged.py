"""What was charged, over HTTP."""

from typing import Any

import pytest

from tests.factories.home_clients import HomeClients, home_clients, pointers, send


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def test_days_totals_and_working_are_told_to_the_homes_member(people: HomeClients) -> None:
    body = {
        "vehicle_id": people.home.car_id, "place": "home", "starts_at": "2026-11-24T00:30:00Z",
        "ends_at": "2026-11-24T04:30:00Z", "energy_kwh": 9.2,
    }  # fmt: skip
    assert send(people.member, "POST", f"{people.path}/charging_records", body).status_code == 201
    found = people.member.get(f"{people.path}/charged?from_on=2026-11-24&to_on=2026-11-24")
    assert found.status_code == 200
    (day,) = found.json["days"]
    # The home has no tariff: energy, and no money made of it.
    assert (day["home_kwh"], day["unpriced_kwh"], day["cost_pence"], day["planned_kwh"]) == (9.2, 9.2, None, None)
    assert found.json["totals"]["cost_pence"] == "0"
    assert len(found.json["working"]) == 4
    assert all(step["source"] for step in found.json["working"])


def test_a_day_ahead_is_pointed_at(people: HomeClients) -> None:
    reply = people.member.get(f"{people.path}/charged?to_on=2026-11-26")
    assert (reply.status_code, pointers(reply)) == (422, ["#/to_on"])


def test_nobody_else_reads_it(people: HomeClients) -> None:
    assert people.administrator.get(f"{people.path}/charged").status_code == 403
    assert people.stranger.get(f"{people.path}/charged").status_code == 404
