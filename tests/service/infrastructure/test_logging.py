"""Logs: one JSON line a request, and never a person's data, whatever goes wrong."""

import io
import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask, abort, g, request

from service.infrastructure.logging import JsonLines, configure_logging, harmless, log_requests

CANARY = "canary.person@home.example"


@pytest.fixture
def lines() -> Iterator[Any]:
    """Configure logging into memory, and put back afterwards what pytest had set up."""
    root, werkzeug, ours = logging.getLogger(), logging.getLogger("werkzeug"), logging.getLogger("service")
    kept = root.handlers[:], root.level, werkzeug.level, ours.level
    stream = io.StringIO()
    root.handlers = []
    configure_logging("INFO", stream)
    yield lambda: [json.loads(line) for line in stream.getvalue().splitlines()]
    root.handlers, root.level = kept[0], kept[1]
    werkzeug.setLevel(kept[2])
    ours.setLevel(kept[3])


@pytest.fixture
def app() -> Flask:
    app = Flask(__name__, static_folder=None)
    log_requests(app)

    @app.route("/things/<name>", methods=["GET", "POST"])
    def thing(name: str) -> str:
        return f"{name} {request.get_data(as_text=True)} {g.request_id}"

    @app.get("/gone")
    def gone() -> None:
        abort(410)

    return app


def test_a_request_leaves_one_line_with_its_route_and_not_its_address(app: Flask, lines: Any) -> None:
    response = app.test_client().post(
        f"/things/{CANARY}?email={CANARY}",
        data=CANARY,
        headers={"Cookie": f"a={CANARY}", "User-Agent": CANARY, "Referer": f"http://x/{CANARY}"},
    )
    (line,) = lines()
    assert line["route"] == "/things/<name>"
    assert (line["method"], line["status"], line["level"]) == ("POST", 200, "INFO")
    assert line["request_id"] == response.headers["X-Request-Id"]
    assert line["request_id"] in response.get_data(as_text=True)
    assert 0 <= line["ms"] < 10_000
    assert CANARY not in json.dumps(line)


def test_refused_and_unrouted_requests_leave_a_line_too(app: Flask, lines: Any) -> None:
    client = app.test_client()
    client.get("/gone")
    client.get(f"/nowhere/{CANARY}")
    client.open("/gone", method="X" * 400)
    found = [(line["route"], line["status"]) for line in lines()]
    assert found == [("/gone", 410), ("(none)", 404), ("(none)", 405)]
    assert lines()[2]["method"] == "(other)"
    assert CANARY not in json.dumps(lines())


def test_each_request_has_an_id_of_its_own_and_none_is_taken_from_outside(app: Flask, lines: Any) -> None:
    client = app.test_client()
    for _ in range(3):
        client.get("/things/a", headers={"X-Request-Id": "forged"})
    ids = [line["request_id"] for line in lines()]
    assert len(set(ids)) == 3
    assert "forged" not in ids


def test_an_exception_is_logged_as_class_and_places_without_its_words(lines: Any) -> None:
    try:
        raise RuntimeError(f"INSERT ... {CANARY}")
    except RuntimeError:
        logging.getLogger("service.planning").exception("replanning failed", extra={"run": "0" * 32})
    (line,) = lines()
    assert (line["error"], line["run"], line["message"]) == ("RuntimeError", "0" * 32, "replanning failed")
    assert any("test_logging.py" in place for place in line["passed"])
    assert CANARY not in json.dumps(line)


def test_a_librarys_arguments_are_left_out_and_its_template_kept(lines: Any) -> None:
    logging.getLogger("some.library").warning("could not serve %s", CANARY)
    logging.getLogger("some.library").info("chatter")
    assert [line["message"] for line in lines()] == ["could not serve %s"]


def test_our_own_address_in_a_message_is_withheld(lines: Any) -> None:
    logging.getLogger("service.x").warning("told %s", CANARY, extra={"who": CANARY})
    assert (lines()[0]["message"], lines()[0]["who"]) == ("(withheld)", "(withheld)")


def test_line_ends_cannot_forge_a_line() -> None:
    record = logging.makeLogRecord({"name": "service.x", "msg": 'a\n{"level": "forged"}', "levelname": "INFO"})
    assert "\n" not in JsonLines().format(record)


@pytest.mark.parametrize(
    ("value", "expected"), [(None, None), (True, True), (1.5, 1.5), ("a", "a"), ("a@b", "(withheld)"), (["a"], "['a']")]
)
def test_harmless_values_pass(value: object, expected: object) -> None:
    assert harmless(value) == expected
    assert len(str(harmless("x" * 1000))) == 300


def test_werkzeugs_access_lines_are_off(lines: Any) -> None:
    logging.getLogger("werkzeug").info('"GET /things/%s"', CANARY)
    assert lines() == []
