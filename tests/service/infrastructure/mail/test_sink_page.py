"""The demo's mail page: newest first, safe to look at, and closed to anything but messages."""

from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.infrastructure.http.access import check_every_operation_declares_access, init_access
from service.infrastructure.http.docs import docs_blueprint
from service.infrastructure.http.problems import ProblemApi
from service.infrastructure.http.security import SecurityRules, init_security
from service.infrastructure.mail.message import compose
from service.infrastructure.mail.sink import keep_message
from service.infrastructure.mail.sink_page import demo_mail_blueprint

HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)>"


def keep(folder: Path, subject: str, text: str = "Plug in.", html: str = "<p>Plug in.</p>") -> str:
    envelope = compose(
        sender="Plugward <charging@demo.example>",
        to="member@home.example",
        subject=subject,
        text=text,
        html=html,
        message_id="<m@demo.example>",
    )
    return keep_message(folder, envelope.sender, [envelope.recipient], envelope.content).name


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    app = Flask(__name__, static_folder=None)
    app.config.update(API_TITLE="x", API_VERSION="1", OPENAPI_VERSION="3.1.0")
    init_security(app, SecurityRules("http://localhost", False, 1000))
    init_access(app)
    app.register_blueprint(docs_blueprint(ProblemApi(app)))
    app.register_blueprint(demo_mail_blueprint(tmp_path))
    check_every_operation_declares_access(app)
    return app.test_client()


def test_the_list_shows_the_newest_first(client: FlaskClient, tmp_path: Path) -> None:
    for number in range(3):
        keep(tmp_path, f"Letter {number}")
    page = client.get("/demo/mail").get_data(as_text=True)
    assert "3 messages" in page
    assert page.index("Letter 2") < page.index("Letter 1") < page.index("Letter 0")
    assert "to member@home.example" in page


def test_an_empty_sink_says_how_to_get_mail(client: FlaskClient) -> None:
    assert "No mail yet" in client.get("/demo/mail").get_data(as_text=True)


def test_a_message_shows_its_text_and_frames_its_html(client: FlaskClient, tmp_path: Path) -> None:
    name = keep(tmp_path, "New times", text="Plug in by 18:00 – bring £5")
    page = client.get(f"/demo/mail/{name}").get_data(as_text=True)
    assert "Plug in by 18:00 – bring £5" in page
    assert f'<iframe src="/demo/mail/{name}/html" title="HTML part of the message" sandbox></iframe>' in page
    assert "&lt;m@demo.example&gt;" in page


def test_hostile_mail_is_shown_as_text_and_framed_without_rights(client: FlaskClient, tmp_path: Path) -> None:
    name = keep(tmp_path, HOSTILE, text=HOSTILE, html=HOSTILE)
    for path in ("/demo/mail", f"/demo/mail/{name}"):
        response = client.get(path)
        assert "<script>" not in response.get_data(as_text=True)
        assert (
            "default-src 'none'; style-src 'self'; img-src 'self'; frame-src 'self'"
            in response.headers["Content-Security-Policy"]
        )
    framed = client.get(f"/demo/mail/{name}/html")
    assert "<script>" in framed.get_data(as_text=True)
    policy = framed.headers["Content-Security-Policy"]
    assert policy.startswith("sandbox; default-src 'none'")
    assert "frame-ancestors 'self'" in policy
    assert "X-Frame-Options" not in framed.headers
    assert client.get(f"/demo/mail/{name}").headers["X-Frame-Options"] == "DENY"


@pytest.mark.parametrize(
    "name",
    [
        "missing.eml",
        "..",
        "../secret.eml",
        "%2e%2e%2fsecret.eml",
        "secret.eml",
        ".draft.eml.part",
        "20261125T173000000000-0123456789ab.eml",
        "20261125T173000000000-0123456789ab.eml/..",
    ],
)
def test_nothing_but_a_message_is_opened(client: FlaskClient, tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.eml").write_text("Subject: hidden words\n\nhidden words")
    (tmp_path / ".draft.eml.part").write_text("Subject: hidden words\n\nhidden words")
    for path in (f"/demo/mail/{name}", f"/demo/mail/{name}/html"):
        response: Any = client.get(path)
        assert response.status_code in (404, 308)
        assert b"hidden words" not in response.data
    assert "hidden words" not in client.get("/demo/mail").get_data(as_text=True)


def test_a_message_without_parts_is_still_shown(client: FlaskClient, tmp_path: Path) -> None:
    name = keep_message(tmp_path, "a@b.example", ["c@d.example"], b"Subject: =?utf-8?q?bare?=\r\n\r\n").name
    response = client.get(f"/demo/mail/{name}")
    assert response.status_code == 200
    assert "bare" in response.get_data(as_text=True)
