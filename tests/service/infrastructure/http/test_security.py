"""Security of every request and response: sender, media type, size, and the headers that go out."""

import base64
import hashlib
import re
import socket
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.serving import make_server

from service.infrastructure.http.security import content_security_policy, import_map_hashes, origin_of

THINGS = "/api/v1/things"
SIGNED_IN = {"X-Test-Roles": "administrator"}
CHANGING = {**SIGNED_IN, "X-Requested-By": "plugward"}
GOOD = {"name": "a"}


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"X-Requested-By": ""},
        {"X-Requested-By": "someone"},
        {"X-Requested-By": "plugward", "Origin": "https://evil.example"},
        {"X-Requested-By": "plugward", "Origin": "null"},
        {"X-Requested-By": "plugward", "Origin": "http://localhost:8000.evil.example"},
        {"X-Requested-By": "plugward", "Origin": "https://localhost:8000"},
        {"X-Requested-By": "plugward", "Sec-Fetch-Site": "cross-site"},
        {"X-Requested-By": "plugward", "Sec-Fetch-Site": "same-site"},
        {"X-Requested-By": "plugward", "Sec-Fetch-Site": "none"},
        {"X-Requested-By": "plugward", "Origin": "https://evil.example", "X-Forwarded-Host": "evil.example"},
    ],
)
@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_a_change_from_elsewhere_is_refused_for_every_unsafe_method(
    app: Flask, problem_of: Any, method: str, headers: dict[str, str]
) -> None:
    called = []

    def touch() -> str:
        called.append(1)
        return "done"

    touch._access = app.view_functions["docs.docs"]._access  # type: ignore[attr-defined]
    app.add_url_rule("/touch", "touch", touch, methods=[method])
    body = problem_of(app.test_client().open("/touch", method=method, headers=headers))
    assert (body["status"], body["type"]) == (403, "/problems/not-from-our-pages")
    assert not called


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "http://localhost:8000"},
        {"Origin": "http://localhost:8000", "Sec-Fetch-Site": "same-origin"},
        {"Origin": "http://127.0.0.1:8000", "Host": "127.0.0.1:8000"},
    ],
)
def test_a_change_from_our_own_pages_goes_through(client: FlaskClient, headers: dict[str, str]) -> None:
    assert client.post(THINGS, json=GOOD, headers={**CHANGING, **headers}).status_code == 201


def test_in_production_only_the_public_address_counts_as_ours(production_client: FlaskClient) -> None:
    ours = {**CHANGING, "Host": "internal:8000", "Origin": "https://charging.scheme.example"}
    assert production_client.post(THINGS, json=GOOD, headers=ours).status_code == 201
    same_as_host = {**CHANGING, "Host": "rebound.example", "Origin": "http://rebound.example"}
    assert production_client.post(THINGS, json=GOOD, headers=same_as_host).status_code == 403


@pytest.mark.parametrize(
    "media_type",
    [
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x",
        "text/csv",
        "",
        "application/json; charset=utf-16",
        "application/merge-patch+json",
    ],
)
def test_only_json_is_read(client: FlaskClient, problem_of: Any, media_type: str) -> None:
    body = problem_of(client.post(THINGS, data=b'{"name": "a"}', content_type=media_type, headers=CHANGING))
    assert (body["status"], "application/json" in body["detail"]) == (415, True)


def test_json_may_state_its_charset(client: FlaskClient) -> None:
    response = client.post(
        THINGS, data=b'{"name": "a"}', content_type="application/json; charset=UTF-8", headers=CHANGING
    )
    assert response.status_code == 201


def test_an_operation_that_declares_csv_reads_csv_and_not_json(client: FlaskClient) -> None:
    assert client.put("/api/v1/prices", data=b"a,b", content_type="text/csv", headers=CHANGING).status_code == 200
    assert client.put("/api/v1/prices", json={}, headers=CHANGING).status_code == 415


def test_a_body_up_to_the_cap_is_read_and_beyond_it_not(client: FlaskClient) -> None:
    for size, status in ((4096, 200), (4097, 413)):
        assert (
            client.put("/api/v1/prices", data=b"x" * size, content_type="text/csv", headers=CHANGING).status_code
            == status
        )


@pytest.fixture
def address(app: Flask) -> Iterator[tuple[str, int]]:
    """Serve the app on a real socket, for bytes that no client library would send."""
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, args=[0.01])
    thread.start()
    try:
        yield ("127.0.0.1", server.server_port)
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def raw(address: tuple[str, int], request: bytes) -> bytes:
    with socket.create_connection(address, timeout=10) as connection:
        connection.sendall(request)
        received = b""
        while part := connection.recv(65536):
            received += part
    return received


@pytest.mark.parametrize(
    ("request_line", "status"),
    [
        (b"GET /api/v1/things?name=a%00b HTTP/1.0", b" 400 "),
        (b"GET /api/v1/things?name=\x00 HTTP/1.0", b" 400 "),
        (b"GET /api/v1/things/%00 HTTP/1.0", b" 400 "),
        (b"GET /api/v1/things/%ff%fe HTTP/1.0", b" 404 "),
        (b"GET /api/v1/\xff HTTP/1.0", b" 404 "),
        (b"TRACE /api/v1/things HTTP/1.0", b" 405 "),
        (b"BREW /api/v1/things HTTP/1.0", b" 405 "),
    ],
)
def test_raw_bytes_that_are_not_text_are_refused_as_problems(
    address: tuple[str, int], request_line: bytes, status: bytes
) -> None:
    received = raw(address, request_line + b"\r\nHost: localhost\r\n\r\n")
    assert status in received.split(b"\r\n")[0]
    assert b"application/problem+json" in received


def test_a_query_that_is_not_utf_8_is_malformed(client: FlaskClient, problem_of: Any) -> None:
    # WSGI hands bytes over as Latin-1 text (PEP 3333); the development server would have re-encoded them.
    response = client.get(THINGS, headers=SIGNED_IN, environ_overrides={"QUERY_STRING": "name=\xff\xfe"})
    assert problem_of(response)["status"] == 400


@pytest.mark.parametrize("size", [10, 5000])
def test_a_body_of_unstated_length_is_refused_and_never_cut_short(address: tuple[str, int], size: int) -> None:
    lines = [
        "PUT /api/v1/prices HTTP/1.1",
        "Host: localhost",
        "Connection: close",
        "X-Requested-By: plugward",
        "X-Test-Roles: administrator",
        "Content-Type: text/csv",
        "Transfer-Encoding: chunked",
        "",
        "",
    ]
    received = raw(address, "\r\n".join(lines).encode() + b"%x\r\n" % size + b"x" * size + b"\r\n0\r\n\r\n")
    assert b" 411 " in received.split(b"\r\n")[0]
    assert b"/problems/length-required" in received


EVERY_ANSWER = [
    ("GET", "/api/v1/things", SIGNED_IN),
    ("GET", "/api/v1/things", {}),
    ("GET", "/api/v1/nothing", {}),
    ("POST", "/api/v1/things", {}),
    ("GET", "/api/v1/raise/bug", {}),
    ("GET", "/api/v1/docs", {}),
    ("GET", "/plain.css", {}),
    ("GET", "/api/v1/openapi.json", {}),
    ("GET", "/problems/stale", {}),
    ("OPTIONS", "/api/v1/things", {}),
]


@pytest.mark.parametrize(("method", "path", "headers"), EVERY_ANSWER)
def test_every_answer_carries_the_headers(client: FlaskClient, method: str, path: str, headers: dict[str, str]) -> None:
    found = client.open(path, method=method, headers=headers).headers
    policy = dict(part.strip().split(" ", 1) for part in found["Content-Security-Policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert policy["style-src"] == policy["connect-src"] == policy["form-action"] == "'self'"
    assert "unsafe" not in found["Content-Security-Policy"]
    assert policy["require-trusted-types-for"] == "'script'"
    assert found["X-Content-Type-Options"] == "nosniff"
    assert found["Referrer-Policy"] == "no-referrer"
    assert found["X-Frame-Options"] == "DENY"
    assert "Strict-Transport-Security" not in found
    assert "Access-Control-Allow-Origin" not in found
    if path.startswith("/api/"):
        assert found["Cache-Control"] == "no-store"


def test_production_tells_browsers_to_stay_with_https(production_client: FlaskClient) -> None:
    assert "max-age=31536000" in production_client.get("/api/v1/docs").headers["Strict-Transport-Security"]


def test_the_policy_lets_through_the_import_map_of_the_very_page_that_is_served() -> None:
    content = b'\n  {"imports": {"preact": "/vendor/preact.js?v=1"}}\n'
    around = b'<script src="/x.js"></script>', b'<script type="module" src="/a.js"></script>'
    page = around[0] + b'<script type="importmap">' + content + b"</script>" + around[1]
    digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
    assert import_map_hashes(page) == [f"'sha256-{digest}'"]
    assert f"script-src 'self' 'sha256-{digest}';" in content_security_policy(page)
    assert "script-src 'self';" in content_security_policy(None)


def test_any_other_inline_script_stops_the_start() -> None:
    with pytest.raises(ValueError, match="inline script"):
        import_map_hashes(b"<script>alert(1)</script>")


@pytest.mark.parametrize(
    ("url", "origin"),
    [
        ("http://localhost:8000", "http://localhost:8000"),
        ("https://Charging.Example:443/", "https://charging.example"),
        ("http://charging.example:80", "http://charging.example"),
        ("http://[::1]:8000", "http://[::1]:8000"),
    ],
)
def test_an_origin_is_written_as_browsers_write_it(url: str, origin: str) -> None:
    assert origin_of(url) == origin


def test_forwarded_headers_change_nothing(client: FlaskClient) -> None:
    forged = {"X-Forwarded-Host": "evil.example", "X-Forwarded-Proto": "https", "X-Forwarded-Prefix": "/evil"}
    response = client.get("/problems/stale", headers=forged)
    assert response.headers["Location"] == "/api/v1/problems/stale"
    assert not re.search("evil", str(response.headers))
