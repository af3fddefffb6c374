"""Carbon over HTTP: whose it is, its shape, and questions that mean nothing."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from tests.factories.driving import add_charge
from tests.factories.home_clients import HomeClients, home_clients, pointers


@pytest.fixture
def clients(database: Database, client: Callable[..., Any], scheme: str) -> HomeClients:
    found = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        add_charge(session, found.home, datetime(2025, 12, 3, 1, tzinfo=UTC), 100_000)
        add_charge(session, found.home, datetime(2026, 2, 3, 1, tzinfo=UTC), 100_000, is_metered=False)
    return found


def test_a_member_reads_what_the_homes_charging_stands_for(clients: HomeClients) -> None:
    reply = clients.member.get(f"{clients.path}/carbon")
    assert reply.status_code == 200
    found = reply.get_json()
    assert (found["from_on"], found["to_on"]) == ("2025-11-25", "2026-11-25")
    assert found["energy"] == {
        "metered_kwh": 100, "stated_kwh": 100, "away_kwh": 0, "estimated_kwh": 0, "total_kwh": 200
    }
    assert (found["told_miles"], found["estimated_miles"]) == ("0", "604.8")
    assert found["electricity_kg"] == 39.106  # 200 kWh x 0.19553
    assert [car["size"] for car in found["petrol_cars"]] == ["average", "small", "medium", "large"]
    average = found["petrol_cars"][0]
    assert average == {"size": "average", "emitted_kg": 158.378, "saved_kg": 119.272}  # 2 x 302.4 x 0.26187
    assert [month["month_on"] for month in found["months"]] == ["2025-12-01", "2026-02-01"]
    assert found["notes"][0].startswith("2025 set used for charging in 2026")
    assert found["working"][0]["what"] == "Electricity, 2025 set"


def test_a_set_may_be_asked_for_and_petrol_is_then_not_known(clients: HomeClients) -> None:
    found = clients.member.get(f"{clients.path}/carbon?set_year=2022&from_on=2025-12-01&to_on=2026-01-01").get_json()
    assert found["electricity_kg"] == 21.107
    assert found["petrol_cars"][0] == {"size": "average", "emitted_kg": None, "saved_kg": None}


def test_miles_are_their_drivers_business(clients: HomeClients) -> None:
    assert clients.administrator.get(f"{clients.path}/carbon").status_code == 403
    assert clients.stranger.get(f"{clients.path}/carbon").status_code == 404
    assert clients.member.get("/api/v1/carbon").status_code == 403


def test_an_administrator_reads_sums_of_five_homes_or_none(clients: HomeClients) -> None:
    found = clients.administrator.get("/api/v1/carbon").get_json()
    assert (found["months"], found["household_count"], found["told_household_count"]) == ([], 2, 0)
    assert found["fewest_households"] == 5
    assert found["energy"]["total_kwh"] == 0


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ("from_on=2026-13-01", "#/from_on"), ("from_on=2017-01-01&to_on=2017-02-01", "#/from_on"),
        ("from_on=2026-05-01&to_on=2026-05-01", "#/to_on"), ("set_year=2026", "#/set_year"),
        ("set_year=x", "#/set_year"),
    ],
)
def test_a_question_that_means_nothing_is_refused(clients: HomeClients, query: str, pointer: str) -> None:
    for who, path in ((clients.member, f"{clients.path}/carbon"), (clients.administrator, "/api/v1/carbon")):
        reply = who.get(f"{path}?{query}")
        assert reply.status_code == 422
        assert pointers(reply) == [pointer]
