"""Uploads over HTTP: bounded, typed by content, and handed out so that no browser shows or runs them."""

from collections.abc import Callable
from typing import Any

import pytest

from service.app import create_app
from service.infrastructure.settings import Settings
from tests.conftest import sign_in
from tests.factories.home_clients import UNKNOWN, HomeClients, home_clients, pointers
from tests.factories.visits import CERTIFICATE, photo

ASKED = {"purpose": "certificate", "name": "EICR Küche.pdf"}


@pytest.fixture
def people(database: Any, client: Callable[..., Any], scheme: str) -> HomeClients:
    """A home and its people."""
    return home_clients(database, client, scheme)


def upload(who: Any, path: str, content: bytes = CERTIFICATE, kind: str = "application/pdf", **asked: str) -> Any:
    return who.post(f"{path}/files", data=content, query_string=ASKED | asked, content_type=kind)


def test_a_certificate_goes_in_and_comes_out_to_be_saved_only(people: HomeClients) -> None:
    reply = upload(people.member, people.path)
    assert (reply.status_code, reply.json["media_type"], reply.json["size_bytes"]) == (
        201, "application/pdf", len(CERTIFICATE),
    )  # fmt: skip
    got = people.member.get(f"{people.path}/files/{reply.json['id']}")
    assert (got.status_code, got.data, got.mimetype) == (200, CERTIFICATE, "application/pdf")
    assert got.headers["Content-Disposition"].startswith("attachment;")
    assert "filename*=UTF-8''EICR%20K%C3%BCche.pdf" in got.headers["Content-Disposition"]
    assert got.headers["X-Content-Type-Options"] == "nosniff"
    assert got.headers["Content-Security-Policy"] == "default-src 'none'; sandbox; frame-ancestors 'none'"
    assert got.headers["Cache-Control"] == "no-store"
    assert people.administrator.get(f"{people.path}/files/{reply.json['id']}").status_code == 200


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "a\r\nX: y.pdf", "\u202egnp.exe", "CON", 'a";filename="b.html', "ü" * 200]
)
def test_no_name_breaks_out_of_the_header(people: HomeClients, name: str) -> None:
    reply = upload(people.member, people.path, name=name)
    if reply.status_code == 422:  # control characters are refused before they are cleaned
        assert pointers(reply) == ["#/name"]
        return
    got = people.member.get(f"{people.path}/files/{reply.json['id']}")
    disposition = got.headers["Content-Disposition"]
    assert disposition.isascii()
    assert not set(disposition) & {"\r", "\n", "/", "\\"}
    assert "X" not in got.headers
    assert disposition.rstrip('"').endswith(".pdf")


def test_the_stated_type_is_not_believed(people: HomeClients) -> None:
    for kind in ("text/html", "image/svg+xml", "application/x-www-form-urlencoded", "application/json"):
        reply = upload(people.member, people.path, photo(), kind, purpose="photo")
        assert (reply.status_code, reply.json["media_type"]) == (201, "image/jpeg"), kind
    reply = upload(people.member, people.path, b"<html><script>alert(1)</script>", "application/pdf")
    assert reply.status_code == 422
    assert "<script>" not in reply.get_data(as_text=True)


def test_a_repeat_is_answered_as_the_first_time(people: HomeClients) -> None:
    def send(content: bytes) -> Any:
        path, headers = f"{people.path}/files", {"Idempotency-Key": "k"}
        return people.member.post(path, data=content, query_string=ASKED, headers=headers)

    first, again = send(CERTIFICATE), send(CERTIFICATE)
    assert (again.json, again.headers["Idempotent-Replay"]) == (first.json, "true")
    assert send(photo()).status_code == 422


def test_another_home_and_an_unknown_file_are_not_there(people: HomeClients) -> None:
    file_id = upload(people.member, people.path).json["id"]
    theirs = f"/api/v1/households/{people.neighbour.id}"
    assert upload(people.member, theirs).status_code == 404
    assert people.stranger.get(f"{people.path}/files/{file_id}").status_code == 404
    for path in (f"{theirs}/files/{file_id}", f"{people.path}/files/{UNKNOWN}"):
        assert people.administrator.get(path).status_code == 404
    assert upload(people.administrator, f"/api/v1/households/{UNKNOWN}").status_code == 404


def test_what_is_asked_of_an_upload_is_checked_first(people: HomeClients) -> None:
    assert pointers(upload(people.member, people.path, purpose="malware")) == ["#/purpose"]
    assert pointers(upload(people.member, people.path, more="x")) == ["#/more"]
    assert upload(people.member, people.path, b"").status_code == 422


def test_a_file_beyond_the_cap_is_refused_unread_and_json_keeps_its_own_cap(
    database: Any, client: Callable[..., Any], scheme: str, settings: Settings, clock: Any
) -> None:
    people = home_clients(database, client, scheme)
    small = Settings(
        database_url=settings.database_url, data_dir=settings.data_dir, max_body_bytes=2_048, max_upload_bytes=8_192,
        argon2_memory_kib=64, argon2_time_cost=1,
    )
    app = create_app(small, database=database, clock=clock)
    member = sign_in(app, "person2@member.example")
    padded = CERTIFICATE.replace(b"endobj", b"endobj\n%" + b"x" * 5_000)
    assert upload(member, people.path, padded).status_code == 201
    assert upload(member, people.path, CERTIFICATE + b"\0" * 8_192).status_code == 413
    body = {"outlet_ids": [people.home.outlet_id], "reason": "x" * 5_000}
    assert member.post(f"{people.path}/visits", json=body).status_code == 413
    unsized = {"Transfer-Encoding": "chunked"}
    assert member.post(f"{people.path}/files", data=b"", query_string=ASKED, headers=unsized).status_code == 411


def test_a_key_repeats_one_upload_and_not_another_purpose_or_name(people: HomeClients) -> None:
    def sent(**asked: str) -> Any:
        return people.member.post(
            f"{people.path}/files", data=photo(), query_string=ASKED | asked, headers={"Idempotency-Key": "one"}
        )

    first = sent(purpose="photo")
    assert sent(purpose="photo").headers["Idempotent-Replay"] == "true"
    for other in ({"purpose": "certificate"}, {"purpose": "photo", "name": "another.jpg"}):
        assert sent(**other).status_code == 422
    assert first.json["purpose"] == "photo"
