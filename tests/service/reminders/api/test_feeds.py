"""A calendar opens by its address alone, shows no more than it should, and ends for good."""

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from icalendar import Calendar
from sqlalchemy import select, update

from service.accounts.models import Membership
from service.infrastructure.db.sessions import Database
from service.reminders.models import FeedAddress
from tests.factories.reminders import ADDRESS, NOON, POSTCODE, add_home, add_lead, add_recheck

Clients = Callable[..., Any]


@pytest.fixture
def home(database: Database, scheme: str) -> str:
    """A home with a lead that falls due, beside another home."""
    with database.scheme(scheme, write=True) as session:
        home = add_home(session, "H-7")
        add_recheck(session, home, add_lead(session, home), NOON.date() + timedelta(days=3))
        other = add_home(session, "H-8")
        add_recheck(session, other, add_lead(session, other, "Red lead"), NOON.date() + timedelta(days=4))
        return home


def make(client: Any, kind: str = "rechecks", **headers: str) -> Any:
    return client.post("/api/v1/feeds", json={"kind": kind}, headers=headers)


def path_of(reply: Any) -> str:
    found = re.search(r"/api/v1/feeds/[A-Za-z0-9_-]{43}\.ics$", reply.get_json()["url"])
    assert found
    return found[0]


def summaries(reply: Any) -> list[str]:
    assert reply.status_code == 200 and reply.mimetype == "text/calendar"
    return [str(event["summary"]) for event in Calendar.from_ical(reply.get_data(as_text=True)).walk("VEVENT")]


def test_a_members_calendar_shows_the_own_home_without_a_session(
    app: Any, client: Clients, scheme: str, home: str
) -> None:
    made = make(client("member", scheme, home))
    assert made.status_code == 201
    reply = app.test_client().get(path_of(made))
    assert summaries(reply) == ["To be checked again: Blue lead"]
    text = reply.get_data(as_text=True)
    assert not any(word in text for word in (ADDRESS, POSTCODE, "Ada Finch", "H-7"))
    assert reply.headers["Cache-Control"] == "no-store"


def test_an_administrators_shows_every_home_by_reference(app: Any, client: Clients, scheme: str, home: str) -> None:
    reply = app.test_client().get(path_of(make(client("administrator", scheme))))
    assert summaries(reply) == ["To be checked again: H-7: Blue lead", "To be checked again: H-8: Red lead"]


def test_what_has_not_changed_is_not_sent_again(app: Any, client: Clients, scheme: str, home: str) -> None:
    path = path_of(make(client("member", scheme, home)))
    etag = app.test_client().get(path).headers["ETag"]
    assert app.test_client().get(path, headers={"If-None-Match": etag}).status_code == 304


def test_the_address_is_told_once_and_only_its_hash_is_kept(
    database: Database, client: Clients, scheme: str, home: str
) -> None:
    member = client("member", scheme, home)
    made = make(member)
    [listed] = member.get("/api/v1/feeds").get_json()["items"]
    assert "url" not in listed and listed["id"] == made.get_json()["id"]
    with database.scheme(scheme, write=False) as session:
        token = path_of(made).split("/")[-1].removesuffix(".ics")
        assert token not in repr(session.scalars(select(FeedAddress)).one().__dict__)


def test_an_ended_calendar_answers_410_and_an_unknown_one_404(
    app: Any, client: Clients, scheme: str, home: str
) -> None:
    member = client("member", scheme, home)
    made = make(member)
    for _ in range(2):
        assert member.post(f"/api/v1/feeds/{made.get_json()['id']}/revocation").status_code == 200
    assert app.test_client().get(path_of(made)).status_code == 410
    for token in ("x" * 43, "short", "x" * 44):
        assert app.test_client().get(f"/api/v1/feeds/{token}.ics").status_code == 404


def test_a_leavers_calendar_ends_with_them(
    app: Any, client: Clients, database: Database, scheme: str, home: str
) -> None:
    path = path_of(make(client("member", scheme, home)))
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Membership).values(ended_at=NOON))
    assert app.test_client().get(path).status_code == 410


def test_nobody_ends_anothers_calendar(client: Clients, scheme: str, home: str) -> None:
    made = make(client("member", scheme, home)).get_json()["id"]
    assert client("member", scheme, home).post(f"/api/v1/feeds/{made}/revocation").status_code == 404
    assert client("administrator", scheme).post(f"/api/v1/feeds/{made}/revocation").status_code == 404


def test_a_repeated_request_makes_one_calendar(client: Clients, scheme: str, home: str) -> None:
    member = client("member", scheme, home)
    first, second = (make(member, **{"Idempotency-Key": "k-1"}) for _ in range(2))
    assert first.get_json() == second.get_json()
    assert make(member, **{"Idempotency-Key": "k-2"}).get_json()["id"] != first.get_json()["id"]
    assert make(member, "plan", **{"Idempotency-Key": "k-1"}).status_code == 409
    assert make(member, **{"Idempotency-Key": "k" * 256}).status_code == 422


def test_a_calendar_of_charging_times_needs_a_home_and_is_empty_without_a_plan(
    app: Any, client: Clients, scheme: str, home: str
) -> None:
    assert make(client("administrator", scheme), "plan").status_code == 404
    assert summaries(app.test_client().get(path_of(make(client("member", scheme, home), "plan")))) == []


def test_a_person_has_not_more_than_twenty(client: Clients, scheme: str, home: str) -> None:
    member = client("member", scheme, home)
    assert [make(member).status_code for _ in range(21)] == [201] * 20 + [409]
