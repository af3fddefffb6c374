"""The safety file over HTTP: whose it is, as at when, on paper, and that its reading is written down."""

from __future__ import annotations

import io
from typing import Any

import pytest
from pypdf import PdfReader
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.infrastructure.db.sessions import Database
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers, send
from tests.factories.safety import inspect

PAST = "2026-11-24T12:00:00Z"


@pytest.fixture
def people(database: Any, client: Any, scheme: str) -> HomeClients:
    """A home with an inspection, and its people."""
    made = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        inspect(session, made.home.id, made.home.outlet_id)
    return made


def audit_lines(database: Database, scheme: str, kind: str) -> list[str]:
    with database.scheme(scheme, write=False) as session:
        lines = session.scalars(select(AuditEntry).where(AuditEntry.subject_kind == kind).order_by(AuditEntry.id))
        return sorted(line.action for line in lines)


def test_those_who_run_the_scheme_and_its_own_member_read_it(people: HomeClients) -> None:
    for who in (people.administrator, people.officer, people.member):
        file = send(who, "GET", f"{people.path}/safety_file").json
        assert file["title"] == "Safety file of H-1"
        assert {part["name"] for part in file["parts"]} >= {"clearance", "survey", "inspections", "shown", "told"}
        assert "not an inspection" in file["is_not"]


@pytest.mark.parametrize("path", ["safety_file", "safety_file.pdf"])
def test_a_neighbour_is_answered_as_if_there_were_no_such_home(people: HomeClients, path: str) -> None:
    stranger = send(people.stranger, "GET", f"{people.path}/{path}")
    unknown = send(people.administrator, "GET", f"/api/v1/households/{UNKNOWN}/{path}")
    assert stranger.status_code == unknown.status_code == 404
    assert stranger.json["title"] == unknown.json["title"]


@pytest.mark.parametrize("path", ["safety_file", "safety_file.pdf", "clearance"])
def test_an_instant_to_come_is_refused(people: HomeClients, path: str) -> None:
    reply = send(people.administrator, "GET", f"{people.path}/{path}?at=2026-11-25T12:00:01Z")
    assert (reply.status_code, pointers(reply)) == (422, ["#/at"])


def test_the_pdf_of_an_instant_is_the_same_each_time(people: HomeClients) -> None:
    first, again = (send(people.administrator, "GET", f"{people.path}/safety_file.pdf?at={PAST}") for _ in range(2))
    assert first.mimetype == "application/pdf"
    assert first.headers["Content-Disposition"] == (
        'attachment; filename="safety-file-H-1-2026-11-24T120000Z.pdf"'
    )
    assert first.headers["X-Content-Type-Options"] == "nosniff"
    assert first.data == again.data
    assert "As at 24 Nov 2026 12:00:00 GMT" in PdfReader(io.BytesIO(first.data)).pages[0].extract_text()


def test_every_reading_is_written_into_the_audit_trail(people: HomeClients, database: Any, scheme: str) -> None:
    for path in ("safety_file", "safety_file.pdf", f"safety_file?at={PAST}"):
        assert send(people.member, "GET", f"{people.path}/{path}").status_code == 200
    assert audit_lines(database, scheme, "safety_file") == ["download", "read", "read"]


def test_a_reading_that_is_refused_is_not(people: HomeClients, database: Any, scheme: str) -> None:
    send(people.stranger, "GET", f"{people.path}/safety_file")
    assert audit_lines(database, scheme, "safety_file") == []
