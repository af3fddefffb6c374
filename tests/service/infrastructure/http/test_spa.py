"""The single-page app: its page for people, its files for the page, and nothing else from the disk."""

import gzip
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.infrastructure.http.security import SecurityRules, init_security
from service.infrastructure.http.spa import Frontend, spa_blueprint

PAGE = b'<!doctype html><title>App</title><script type="importmap">{"imports":{}}</script>' + b"<p>shell</p>" * 50
HTML = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    root = tmp_path / "frontend"
    for name, content in {
        "index.html": PAGE,
        "favicon.svg": b"<svg/>",
        "package.json": b"{}",
        "app/main.js": b"export const a = 1;\n" * 100,
        "app/pages/home.js": b"//",
        "app/.hidden.js": b"secret",
        "app/notes.md": b"secret",
        "styles/index.css": b"a{}",
        "vendor/preact.mjs": b"//" * 500,
        "vendor/licences/preact.txt": b"MIT",
        "vendor/face.woff2": b"font" * 500,
        "node_modules/x.js": b"secret",
    }.items():
        file = root / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    (tmp_path / "outside.js").write_bytes(b"secret")
    (root / "app" / "link.js").symlink_to(tmp_path / "outside.js")
    return root


@pytest.fixture
def client(app: Flask, folder: Path) -> FlaskClient:
    app.register_blueprint(spa_blueprint(Frontend(folder)))
    return app.test_client()


@pytest.mark.parametrize("path", ["/", "/households", "/households/" + "0" * 32 + "/plan", "/a/b?c=d"])
def test_people_get_the_page_wherever_they_open_the_app(client: FlaskClient, path: str) -> None:
    response = client.get(path, headers=HTML)
    assert (response.status_code, response.mimetype, response.data) == (200, "text/html", PAGE)
    assert response.headers["Cache-Control"] == "no-cache"


def test_the_start_page_is_served_to_any_client(client: FlaskClient) -> None:
    assert client.get("/").data == PAGE


@pytest.mark.parametrize(
    ("path", "media_type"),
    [
        ("/app/main.js", "text/javascript"),
        ("/app/pages/home.js", "text/javascript"),
        ("/styles/index.css", "text/css"),
        ("/vendor/preact.mjs", "text/javascript"),
        ("/vendor/licences/preact.txt", "text/plain"),
        ("/vendor/face.woff2", "font/woff2"),
        ("/favicon.svg", "image/svg+xml"),
    ],
)
def test_files_have_their_media_type(client: FlaskClient, folder: Path, path: str, media_type: str) -> None:
    response = client.get(path)
    assert (response.status_code, response.mimetype) == (200, media_type)
    assert response.data == (folder / path[1:]).read_bytes()


@pytest.mark.parametrize(
    "path",
    [
        "/app/missing.js",
        "/missing.css",
        "/app/",
        "/app/pages",
        "/package.json",
        "/index.html",
        "/node_modules/x.js",
        "/app/.hidden.js",
        "/app/notes.md",
        "/app/link.js",
        "/app/../package.json",
        "/app/..%2fpackage.json",
        "/app/%2e%2e/package.json",
        "/app/..\\package.json",
        "/app//main.js",
        "/app/main.js/",
        "/app/main.js%00.css",
        "//etc/passwd.js",
        "/api/v1/nothing",
        "/demo/nothing",
        "/problems",
        "/vendor/%2e%2e/%2e%2e/outside.js",
    ],
)
def test_nothing_else_is_served_and_a_missing_file_is_a_problem_not_the_page(client: FlaskClient, path: str) -> None:
    response = client.get(path, headers=HTML)
    if path == "/problems":  # an ordinary address of the app: only what is below it names problems
        assert response.data == PAGE
        return
    assert response.status_code in (400, 404), response.data[:100]
    assert response.mimetype == "application/problem+json"
    assert b"secret" not in response.data


def test_a_program_that_asks_for_no_page_gets_a_problem(client: FlaskClient, problem_of: Any) -> None:
    for headers in ({}, {"Accept": "application/json"}, {"Accept": "*/*"}):
        assert problem_of(client.get("/households", headers=headers))["status"] == 404


def test_only_reading_gets_the_page(client: FlaskClient) -> None:
    assert client.post("/households", headers=HTML).status_code == 404
    head = client.head("/households", headers=HTML)
    assert (head.status_code, head.data) == (200, b"")


def test_text_is_compressed_and_fonts_are_not(client: FlaskClient, folder: Path) -> None:
    packed = client.get("/app/main.js", headers={"Accept-Encoding": "gzip, br"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert packed.headers["Vary"] == "Accept-Encoding"
    assert gzip.decompress(packed.data) == (folder / "app/main.js").read_bytes()
    assert int(packed.headers["Content-Length"]) == len(packed.data)
    for path, encodings in (("/vendor/face.woff2", "gzip"), ("/app/main.js", "gzip;q=0"), ("/app/main.js", "")):
        assert "Content-Encoding" not in client.get(path, headers={"Accept-Encoding": encodings}).headers


def test_a_copy_that_is_still_right_is_not_sent_again(client: FlaskClient) -> None:
    for encoding in ("", "gzip"):
        first = client.get("/app/main.js", headers={"Accept-Encoding": encoding})
        again = client.get(
            "/app/main.js", headers={"Accept-Encoding": encoding, "If-None-Match": first.headers["ETag"]}
        )
        assert (again.status_code, again.data) == (304, b"")


def test_each_form_has_an_etag_of_its_own(client: FlaskClient) -> None:
    plain = client.get("/app/main.js").headers["ETag"]
    packed = client.get("/app/main.js", headers={"Accept-Encoding": "gzip"}).headers["ETag"]
    assert plain != packed
    assert not plain.startswith("W/")


def test_a_changed_file_is_served_anew(client: FlaskClient, folder: Path) -> None:
    before = client.get("/styles/index.css")
    (folder / "styles/index.css").write_bytes(b"b{color:red}")
    after = client.get("/styles/index.css", headers={"If-None-Match": before.headers["ETag"]})
    assert (after.status_code, after.data) == (200, b"b{color:red}")


def test_only_vendored_files_asked_for_with_a_version_are_kept_for_good(client: FlaskClient) -> None:
    assert "immutable" in client.get("/vendor/preact.mjs?v=11.2.0").headers["Cache-Control"]
    for path in ("/vendor/preact.mjs", "/vendor/preact.mjs?v=", "/app/main.js?v=1", "/?v=1"):
        assert client.get(path, headers=HTML).headers["Cache-Control"] == "no-cache"


def test_the_policy_is_made_from_the_page_as_it_was_read_at_the_start(folder: Path) -> None:
    frontend = Frontend(folder)
    app = Flask(__name__, static_folder=None)
    init_security(app, SecurityRules("http://localhost", False, 1000, frontend.index_html))
    app.register_blueprint(spa_blueprint(frontend))
    (folder / "index.html").write_bytes(b"<p>edited while running</p>")
    response = app.test_client().get("/", headers=HTML)
    assert response.data == PAGE
    assert "'sha256-" in response.headers["Content-Security-Policy"]


def test_without_a_front_end_the_api_still_answers(tmp_path: Path, app: Flask) -> None:
    frontend = Frontend(tmp_path)
    assert frontend.index_html is None
    app.register_blueprint(spa_blueprint(frontend))
    assert app.test_client().get("/", headers=HTML).status_code == 404
    assert app.test_client().get("/api/v1/openapi.json").status_code == 200


def test_the_page_says_whether_a_session_cookie_came_along(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text('<!doctype html>\n<html lang="en-GB"><body></body></html>')
    app = Flask(__name__, static_folder=None)
    app.register_blueprint(spa_blueprint(Frontend(tmp_path)))
    client = app.test_client(use_cookies=False)
    plain = client.get("/today", headers={"Accept": "text/html"})
    marked = client.get("/today", headers={"Accept": "text/html", "Cookie": "__Host-plugward=x"})
    assert b"data-session" not in plain.data
    assert b'data-session="maybe"' in marked.data
    assert plain.headers["ETag"] != marked.headers["ETag"]
    assert "Cookie" in marked.headers["Vary"]


def test_scripts_are_served_without_their_type_comments_line_by_line_the_same(tmp_path: Path) -> None:
    (tmp_path / "app").mkdir()
    doc = "  /**\n   * @param {string} b\n   */\n"
    script = '/** One. */\nconst a = "/** kept */"; /** kept too */\n' + doc + "function c(b) {}\n"
    (tmp_path / "app" / "a.js").write_text(script)
    app = Flask(__name__, static_folder=None)
    app.register_blueprint(spa_blueprint(Frontend(tmp_path)))
    served = app.test_client().get("/app/a.js").data.decode()
    assert "@param" not in served
    assert 'const a = "/** kept */"; /** kept too */' in served
    assert served.count("\n") == script.count("\n")
    assert served.split("\n").index("function c(b) {}") == script.split("\n").index("function c(b) {}")
