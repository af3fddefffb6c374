"""The safety desk over HTTP."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from openpyxl import load_workbook
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.households.models import Household
from service.infrastructure.mail.queue import Mail
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect

DESK = "/api/v1/safety_desk"
ANY = {"clearance": None, "overdue": None, "missing": None, "told": None, "area": None}


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """Two homes, the neighbour's without an inspection and with a reference like a formula."""
    made = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, made.home.id, made.home.outlet_id)
        neighbour = session.scalars(select(Household).where(Household.id == made.neighbour.id)).one()
        neighbour.reference = "=H-2"
    return made


def test_the_desk_counts_and_lists(people: HomeClients) -> None:
    desk = send(people.administrator, "GET", DESK).json
    assert [row["reference"] for row in desk["items"]] == ["=H-2", "H-1"]
    assert (desk["total"], desk["areas"]) == (2, ["ZZ1"])
    assert sum(count["household_count"] for count in desk["counts"]) == 2
    assert [count["clearance"] for count in desk["counts"]] == [
        "do_not_use", "not_known", "use_with_limits", "fit_to_use"
    ]
    assert desk["items"][0]["not_clear"] == [{"id": people.neighbour.outlet_id, "label": "garage socket"}]


def test_a_page_is_a_page_of_the_filtered(people: HomeClients) -> None:
    desk = send(people.administrator, "GET", f"{DESK}?missing=inspection&page_size=1&page=1").json
    assert ([row["reference"] for row in desk["items"]], desk["total"]) == (["=H-2"], 1)
    assert send(people.administrator, "GET", f"{DESK}?page=5").json["items"] == []


@pytest.mark.parametrize("query", ["missing=shoes", "sort=colour", "told=x", "overdue=1", "clearance=fine", "x=1"])
def test_a_filter_that_does_not_exist_is_refused(people: HomeClients, query: str) -> None:
    assert send(people.administrator, "GET", f"{DESK}?{query}").status_code == 422


def test_members_have_no_desk(people: HomeClients) -> None:
    for path in (DESK, f"{DESK}/export"):
        assert send(people.member, "GET", path).status_code == 403


def test_the_export_holds_the_filtered_homes_and_is_written_down(
    people: HomeClients, database: Any, scheme: str
) -> None:
    text = send(people.administrator, "GET", f"{DESK}/export?missing=inspection")
    book = send(people.administrator, "GET", f"{DESK}/export?format=xlsx&area=ZZ")
    assert text.headers["Content-Disposition"] == 'attachment; filename="safety-desk-2026-11-25.csv"'
    rows = list(csv.DictReader(io.StringIO(text.data.decode("utf-8-sig"))))
    assert [row["Home"] for row in rows] == ["'=H-2"]
    sheet = load_workbook(io.BytesIO(book.data)).active
    assert [cell.value for cell in sheet["A"]] == ["Home", "=H-2", "H-1"]
    assert {cell.data_type for cell in sheet["A"]} <= {"s", "inlineStr"}
    with database.scheme(scheme, write=False) as session:
        lines = session.scalars(select(AuditEntry).where(AuditEntry.action == "export")).all()
    assert sorted(line.fields for line in lines) == [["area"], ["missing"]]


def test_visits_are_asked_for_once_for_the_same_key(people: HomeClients) -> None:
    body = {
        "household_ids": [people.neighbour.id, people.home.id], "all_matching": None, "household_count": 2,
        "reason": "from the desk",
    }
    replies = [send(people.administrator, "POST", f"{DESK}/visits", body, key="one try") for _ in range(2)]
    assert [reply.json for reply in replies] == [{"asked": 1, "had_visit": 0, "had_nothing": 1}] * 2
    row = send(people.administrator, "GET", f"{DESK}?missing=inspection").json["items"][0]
    assert row["visit"] == {"state": "asked", "agreed_on": None}


def test_visits_for_another_number_than_was_seen_are_a_conflict(people: HomeClients) -> None:
    body = {"household_ids": None, "all_matching": ANY, "household_count": 7, "reason": ""}
    assert send(people.administrator, "POST", f"{DESK}/visits", body).status_code == 409


def test_visits_to_a_home_of_nobody_are_not_found(people: HomeClients) -> None:
    body = {"household_ids": [UNKNOWN], "all_matching": None, "household_count": 1, "reason": ""}
    assert send(people.administrator, "POST", f"{DESK}/visits", body).status_code == 404


def test_a_choice_that_is_none_is_pointed_at(people: HomeClients) -> None:
    body = {"household_ids": None, "all_matching": None, "household_count": 1, "reason": ""}
    assert pointers(send(people.administrator, "POST", f"{DESK}/visits", body)) == ["#/household_ids"]


def test_checks_are_asked_for_once_and_the_answer_says_of_whom(people: HomeClients, database: Any, scheme: str) -> None:
    body = {"household_ids": [people.home.id, people.neighbour.id], "all_matching": None, "household_count": 2}
    replies = [
        send(people.administrator, "POST", f"{DESK}/check_reminders", body, key=key).json["people"]
        for key in ("one try", "one try", "another")
    ]
    assert [(one["reference"], one["why_not"]) for one in replies[0]] == [("=H-2", None), ("H-1", "nothing_due")]
    assert replies[0] == replies[1]
    assert [one["why_not"] for one in replies[2]] == ["mailed_today", "nothing_due"]
    with database.scheme(scheme, write=False) as session:
        [mail] = session.scalars(select(Mail)).all()
        assert (mail.kind, mail.household_id) == ("check_asked", people.neighbour.id)
        assert "Please make the check" in mail.subject and "<html" in mail.html
        asked = session.scalars(select(AuditEntry).where(AuditEntry.action == "ask_checks")).all()
    assert len(asked) == 2


def test_a_member_cannot_ask_for_checks(people: HomeClients) -> None:
    body = {"household_ids": [people.home.id], "all_matching": None, "household_count": 1}
    assert send(people.member, "POST", f"{DESK}/check_reminders", body).status_code == 403


def test_checks_for_another_number_than_was_seen_are_a_conflict(people: HomeClients) -> None:
    body = {"household_ids": None, "all_matching": ANY, "household_count": 7}
    assert send(people.administrator, "POST", f"{DESK}/check_reminders", body).status_code == 409
