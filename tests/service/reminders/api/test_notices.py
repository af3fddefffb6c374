"""Notices over HTTP: one's own to read, and those of others to ring about."""

from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import Account
from service.infrastructure.db.sessions import Database
from tests.factories.notices import add_told_person
from tests.factories.reminders import add_home

Clients = Callable[..., Any]


@pytest.fixture
def home(database: Database, scheme: str) -> str:
    with database.scheme(scheme, write=True) as session:
        return add_home(session, "H-7")


@pytest.fixture
def member(client: Clients, scheme: str, home: str) -> Any:
    return client("member", scheme, home)


@pytest.fixture
def notice(database: Database, scheme: str, home: str, member: Any) -> str:
    """A notice of the member's that rose already."""
    with database.scheme(scheme, write=True) as session:
        account_id = session.scalars(select(Account.id)).one()
        return add_told_person(session, home, account_id)["notice_id"]


def test_a_person_lists_and_reads_their_own(member: Any, notice: str) -> None:
    [item] = member.get("/api/v1/notices?unread=true").get_json()["items"]
    assert (item["id"], item["subject"], item["read_at"]) == (notice, "Stop charging at home", None)
    read = member.post(f"/api/v1/notices/{notice}/reading")
    assert read.status_code == 200 and read.get_json()["read_at"] == "2026-11-25T12:00:00+00:00"
    assert member.get("/api/v1/notices?unread=true").get_json()["total"] == 0
    assert member.get("/api/v1/notices").get_json()["total"] == 1


def test_another_persons_notice_is_not_there(client: Clients, scheme: str, home: str, notice: str) -> None:
    housemate = client("member", scheme, home)
    assert housemate.get("/api/v1/notices").get_json()["items"] == []
    assert housemate.post(f"/api/v1/notices/{notice}/reading").status_code == 404
    assert client("administrator", scheme).post(f"/api/v1/notices/{notice}/reading").status_code == 404


def test_an_administrator_rings_and_writes_down_what_came_of_it(client: Clients, scheme: str, notice: str) -> None:
    administrator = client("administrator", scheme)
    [line] = administrator.get("/api/v1/raised_notices?rung=false").get_json()["items"]
    assert (line["reference"], line["person"], line["telephone"]) == ("H-7", "Person 1", "")
    assert line["raised_why"] == "the mail did not arrive"
    rung = administrator.post(f"/api/v1/notices/{notice}/ringing", json={"note": "unplugged"})
    assert rung.status_code == 200 and rung.get_json()["rung_by"] == "Person 2"
    assert administrator.get("/api/v1/raised_notices?rung=false").get_json()["items"] == []
    second = client("administrator", scheme).post(f"/api/v1/notices/{notice}/ringing", json={"note": "me too"})
    assert second.status_code == 409


def test_members_do_not_see_whom_to_ring(member: Any, notice: str) -> None:
    assert member.get("/api/v1/raised_notices").status_code == 403
    assert member.post(f"/api/v1/notices/{notice}/ringing", json={"note": ""}).status_code == 403
