"""The verdict on a lead over HTTP."""

import time
from datetime import timedelta
from typing import Any

import pytest

from service.infrastructure.db.sessions import Database
from tests.conftest import NOON
from tests.factories.home_clients import HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

DEPARTURES = [
    {"weekday": day, "leaves_at": "08:00", "returns_at": "18:00", "returns_days_later": 0, "miles": "20"}
    for day in range(5)
]
LIKE_AN_ADMINISTRATOR = {"verdict", "night_percent", "week_percent", "years", "is_battery", "sure"}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home that nothing was inspected in, and its people."""
    return home_clients(database, client, scheme)


def clear(database: Database, scheme: str, people: HomeClients) -> None:
    with database.scheme(scheme, write=True) as session:
        inspect(session, people.home.id, people.home.outlet_id)


def keep(people: HomeClients, *miles: int) -> None:
    """Enter a routine, and miles up to yesterday."""
    reply = send(people.member, "PUT", f"{people.car}/routine", {"departures": DEPARTURES}, etag="*")
    assert reply.status_code == 200
    days = [
        {"on": (NOON.date() - timedelta(days=len(miles) - each)).isoformat(), "miles": str(of_day)}
        for each, of_day in enumerate(miles)
    ]
    assert send(people.member, "POST", f"{people.car}/diary", {"days": days}).status_code == 201


def verdict(people: HomeClients, query: str = "", *, who: Any = None) -> Any:
    reply = (who or people.member).get(f"{people.car}/lead_verdict{query}")
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return reply.json


def test_a_car_that_is_driven_little_has_enough(database: Database, scheme: str, people: HomeClients) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 14)
    found = verdict(people)
    assert (found["verdict"], found["first"], found["days_kept"]) == ("enough", "", 14)
    assert found["headline"] == "The lead is enough for the blue hatchback."
    assert (found["power_kw"], found["feeds_by"]) == (2.3, "lead")
    answer = found["answer"]
    assert (answer["night_percent"], answer["week_percent"], answer["closers"]) == (0, 0, [])
    assert len(answer["nights"]) == 14 and answer["nights"][-1]["on"] == "2026-11-24"
    assert answer["nights"][-1]["plugged_minutes"] == 14 * 60
    assert answer["working"][0]["what"] == "Current the car may draw"


def test_without_clearance_that_is_said_first_and_the_verdict_is_not_known(people: HomeClients) -> None:
    keep(people, *[17] * 14)
    found = verdict(people)
    assert (found["verdict"], found["not_known_because"]) == ("not_known", "not_cleared")
    assert found["headline"].startswith("Do not charge at the garage socket yet. If it were cleared, the lead would be")
    assert found["next_step"]
    assert found["answer"]["verdict"] == "enough"


def test_fewer_than_seven_days_are_no_answer_and_how_many_are_missing_is_said(
    database: Database, scheme: str, people: HomeClients
) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 4)
    found = verdict(people)
    assert (found["verdict"], found["not_known_because"], found["answer"]) == ("not_known", "diary", None)
    assert (found["days_needed"], found["headline"]) == (3, "Not known yet: 3 more days of diary are needed.")


def test_without_a_routine_the_hours_are_not_known(database: Database, scheme: str, people: HomeClients) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 7)
    assert send(people.member, "PUT", f"{people.car}/routine", {"departures": []}, etag="*").status_code == 200
    assert verdict(people)["not_known_because"] == "routine"


def test_without_a_lead_the_current_is_not_known(database: Database, scheme: str, people: HomeClients) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 7)
    changed = send(people.member, "PATCH", people.car, {"lead_id": None}, etag="*")
    assert changed.status_code == 200
    assert verdict(people)["not_known_because"] == "outlet"


def test_plugging_in_late_is_asked_and_plugging_in_earlier_offered(
    database: Database, scheme: str, people: HomeClients
) -> None:
    clear(database, scheme, people)
    keep(people, *[60] * 14)
    assert verdict(people)["verdict"] == "enough"
    late = verdict(people, "?plug_in_at=01:00")
    assert late["verdict"] == "not_enough"
    closers = {each["kind"]: each for each in late["answer"]["closers"]}
    assert list(closers) == ["plug_in_earlier", "raise_ceiling", "public_charge", "charging_point"]
    assert closers["plug_in_earlier"]["words"] == "Plug in as soon as it is back"
    assert closers["plug_in_earlier"]["would_close"] and closers["charging_point"]["would_close"]
    assert not closers["raise_ceiling"]["would_close"]
    assert "51 p per kWh" in closers["public_charge"]["note"]


def test_a_long_journey_is_asked_about(database: Database, scheme: str, people: HomeClients) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 14)
    journey = verdict(people, "?long_miles=140")["answer"]["long_journey"]
    # 140 miles at 3.6 take 38.9 kWh; with 10.4 kept back 49.3 of 52, past the ceiling of 41.6.
    assert (journey["miles"], journey["nights_to_fill"], journey["elsewhere_kwh"]) == ("140", 1, 0)


@pytest.mark.parametrize(
    ("query", "pointer"), [("?long_miles=0", "#/long_miles"), ("?long_miles=1501", "#/long_miles"),
                           ("?plug_in_at=25:00", "#/plug_in_at")],
)  # fmt: skip
def test_what_cannot_be_asked_is_refused_by_name(people: HomeClients, query: str, pointer: str) -> None:
    reply = people.member.get(f"{people.car}/lead_verdict{query}")
    assert (reply.status_code, pointers(reply)) == (422, [pointer])


def test_an_administrator_sees_the_verdict_and_nothing_of_the_diary(
    database: Database, scheme: str, people: HomeClients
) -> None:
    clear(database, scheme, people)
    keep(people, *[17] * 14)
    found = verdict(people, who=people.administrator)
    assert found["verdict"] == "enough"
    assert set(found["answer"]) == LIKE_AN_ADMINISTRATOR
    assert found["assumptions"] == []


@pytest.mark.parametrize("query", ["?plug_in_at=07:30", "?long_miles=100"])
def test_an_administrator_asks_no_more_than_the_verdict(people: HomeClients, query: str) -> None:
    """Asked with one hour after the other, it would tell when the car leaves."""
    assert people.administrator.get(f"{people.car}/lead_verdict{query}").status_code == 403


def test_another_home_has_no_verdict_here(people: HomeClients) -> None:
    assert people.stranger.get(f"{people.car}/lead_verdict").status_code == 404
    assert (
        people.administrator.get(f"{people.car}/lead_verdict".replace(people.home.car_id, "0" * 32)).status_code == 404
    )


def test_an_answer_comes_quickly(database: Database, scheme: str, people: HomeClients, record_property: Any) -> None:
    clear(database, scheme, people)
    keep(people, *[60, 17, 90, 150, 4, 30, 55] * 8)
    verdict(people)
    began = time.perf_counter()
    verdict(people, "?plug_in_at=22:00")
    took_ms = (time.perf_counter() - began) * 1000
    record_property("milliseconds", round(took_ms))
    print(f"a verdict in {took_ms:.0f} ms")  # printed, never asserted: the machine may be busy
