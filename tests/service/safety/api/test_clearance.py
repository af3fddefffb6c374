"""Clearance alone over HTTP, and the notes that reading it leaves."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from service.accounts.models import AuditEntry
from service.households.operations import change_lead
from service.safety.models import ShownAnswer
from tests.conftest import NOON
from tests.factories.home_clients import HomeClients, home_clients, send
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

REPORT = {"sign": "scorch", "seen_at": None, "note": ""}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home that may charge, and its people."""
    made = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, made.home.id, made.home.outlet_id)
    return made


def count(database: Any, scheme: str, model: Any, *conditions: Any) -> int:
    with database.scheme(scheme, write=False) as session:
        return int(session.scalar(select(func.count()).select_from(model).where(*conditions)))


def test_it_says_what_the_page_of_the_home_says(people: HomeClients) -> None:
    alone = send(people.member, "GET", f"{people.path}/clearance").json
    home = send(people.member, "GET", people.path).json
    assert alone["clearances"] == home["clearances"]
    assert alone["lead_clearances"] == home["lead_clearances"]


def test_each_pair_of_car_lead_and_outlet_says_what_is_drawn_and_what_may_flow(
    people: HomeClients, database: Any, scheme: str
) -> None:
    (within,) = send(people.member, "GET", f"{people.path}/clearance").json["pairs"]
    labels = [within[f"{part}_label"] for part in ("vehicle", "lead", "outlet")]
    assert labels == ["blue hatchback", "portable lead", "garage socket"]
    assert (within["clearance"], within["drawn_a"], within["allowed_a"]) == ("fit_to_use", 10, 10)
    assert within["working"][0]["what"] == "Current that the car draws"
    with database.scheme(scheme, write=True) as session:
        changes = {"rated_a": 13, "set_a": 13, "settings_a": (6, 8, 10, 13)}
        change_lead(session, people.home.id, people.home.lead_id, changes, by=None, at=NOON)
    (above,) = send(people.administrator, "GET", f"{people.path}/clearance").json["pairs"]
    assert (above["clearance"], above["drawn_a"], above["set_to_a"]) == ("do_not_use", 13, 10)
    assert above["words"].startswith("set the lead to 10 A and show it in a photo")


def test_as_at_an_instant_before_a_sign_it_says_what_was_known_then(people: HomeClients, clock: Any) -> None:
    before = send(people.member, "GET", f"{people.path}/clearance").json
    clock.move(timedelta(hours=1))
    body = {**REPORT, "outlet_id": people.home.outlet_id, "lead_id": people.home.lead_id}
    assert send(people.member, "POST", f"{people.path}/incidents", body).status_code == 201
    now = send(people.member, "GET", f"{people.path}/clearance").json
    then = send(people.member, "GET", f"{people.path}/clearance?at={NOON:%Y-%m-%dT%H:%M:%SZ}").json
    assert then["clearances"] == before["clearances"] != now["clearances"]
    assert now["clearances"][0]["clearance"] == "do_not_use"


def test_what_is_shown_is_kept_once_and_a_look_back_is_not_kept(
    people: HomeClients, database: Any, scheme: str
) -> None:
    for path in ("/clearance?at=2026-11-24T00:00:00Z", "/clearance", "", "/clearance"):
        assert send(people.member, "GET", people.path + path).status_code == 200
    assert count(database, scheme, ShownAnswer) == 2  # an outlet and a lead
    assert send(people.administrator, "GET", people.path).status_code == 200
    assert count(database, scheme, ShownAnswer) == 4


def test_who_reads_an_address_is_written_down_once_an_hour_but_not_who_lives_there(
    people: HomeClients, database: Any, scheme: str, clock: Any
) -> None:
    is_reading = (AuditEntry.action == "read", AuditEntry.subject_kind == "household")
    send(people.member, "GET", people.path)
    assert count(database, scheme, AuditEntry, *is_reading) == 0
    for _ in range(3):
        send(people.administrator, "GET", people.path)
    assert count(database, scheme, AuditEntry, *is_reading) == 1
    send(people.officer, "GET", people.path)
    assert count(database, scheme, AuditEntry, *is_reading) == 2
    for lines in (2, 2, 3):  # after 25, 50 and 75 minutes: the officer stays signed in all the while
        clock.move(timedelta(minutes=25))
        send(people.officer, "GET", people.path)
        assert count(database, scheme, AuditEntry, *is_reading) == lines


def test_a_neighbour_is_answered_404_and_nothing_is_kept(people: HomeClients, database: Any, scheme: str) -> None:
    for path in ("/clearance", "/clearance?at=2026-11-24T00:00:00Z"):
        assert send(people.stranger, "GET", people.path + path).status_code == 404
    assert count(database, scheme, ShownAnswer) == 0
