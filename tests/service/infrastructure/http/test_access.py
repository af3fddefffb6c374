"""Access: declared on every operation, checked before the input is read, denied where nothing is declared."""

from typing import Any

import pytest
from flask import Flask, request
from flask.testing import FlaskClient

from service.common.errors import NotFound, Unauthenticated
from service.infrastructure.http.access import (
    Principal,
    UndeclaredAccessError,
    check_every_operation_declares_access,
    find_principal,
    operations,
    principal,
    require_own_household,
    require_visible_household,
    requires,
    set_link_authenticator,
)

THING = "/api/v1/things/" + "0" * 31 + "1"
CHANGING = {"X-Requested-By": "plugward"}
# (method, path) -> the callers that get through; None is a caller without a session.
CALLERS = (None, "", "member", "administrator", "administrator member")
ALLOWED = {
    ("GET", "/api/v1/things"): {"administrator", "administrator member"},
    ("HEAD", "/api/v1/things"): {"administrator", "administrator member"},
    ("POST", "/api/v1/things"): {"administrator", "member", "administrator member"},
    ("GET", THING): {"administrator", "member", "administrator member"},
    ("PUT", THING): {"administrator", "administrator member"},
    ("DELETE", THING): {"administrator", "administrator member"},
    ("PUT", "/api/v1/prices"): {"administrator", "administrator member"},
    ("GET", "/api/v1/docs"): set(CALLERS),
    ("GET", "/api/v1/openapi.json"): set(CALLERS),
}


@pytest.mark.parametrize(("operation", "allowed"), ALLOWED.items(), ids=[" ".join(operation) for operation in ALLOWED])
@pytest.mark.parametrize("caller", CALLERS)
def test_every_operation_lets_through_exactly_its_roles(
    client: FlaskClient, operation: tuple[str, str], allowed: set[str | None], caller: str | None
) -> None:
    method, path = operation
    headers = CHANGING if caller is None else {**CHANGING, "X-Test-Roles": caller}
    status = client.open(path, method=method, headers=headers).status_code
    if caller in allowed:
        assert status not in (401, 403)
    else:
        assert status == (401 if caller is None else 403)


def test_a_caller_without_the_role_learns_nothing_about_the_input(client: FlaskClient, problem_of: Any) -> None:
    headers = {**CHANGING, "X-Test-Roles": ""}
    for body in ({"name": 1}, {"name": "a"}):
        answer = problem_of(client.post("/api/v1/things", json=body, headers=headers))
        assert (answer["status"], "errors" in answer) == (403, False)


def test_an_app_with_an_undeclared_operation_does_not_start(app: Flask) -> None:
    check_every_operation_declares_access(app)
    app.add_url_rule("/forgotten", "forgotten", lambda: "data")
    with pytest.raises(UndeclaredAccessError, match="GET /forgotten"):
        check_every_operation_declares_access(app)


def test_an_undeclared_operation_answers_nobody(app: Flask) -> None:
    app.add_url_rule("/forgotten", "forgotten", lambda: "data")
    response = app.test_client().get("/forgotten", headers={"X-Test-Roles": "administrator"})
    assert response.status_code == 403
    assert b"data" not in response.data


def test_automatic_options_need_no_session_and_give_no_data(client: FlaskClient) -> None:
    response = client.options("/api/v1/things")
    assert (response.status_code, response.data) == (200, b"")


def test_the_declared_table_equals_the_document(app: Flask) -> None:
    document = app.extensions["test-api"].spec.to_dict()["paths"]
    documented = {
        (method.upper(), path): set(item[method]["x-roles"])
        for path, item in document.items()
        for method in set(item) & {"get", "post", "put", "patch", "delete"}
    }
    declared = {
        (row.method, row.rule.replace("<id:", "{").replace("<", "{").replace(">", "}")): set(row.policy.roles)
        for row in operations(app)
        if row.policy and row.endpoint.startswith("things.")
    }
    assert declared == documented
    assert len(declared) == 8


def test_only_public_operations_are_documented_without_the_session(app: Flask) -> None:
    paths = app.extensions["test-api"].spec.to_dict()["paths"]
    assert paths["/api/v1/session"]["post"]["security"] == []
    assert paths["/api/v1/things"]["get"]["security"] == [{"session": []}]
    assert {"401", "403"} <= set(paths["/api/v1/things"]["get"]["responses"])


@pytest.mark.parametrize(
    ("roles", "public"),
    [((), False), (("member",), True), (("boss",), False), (("electrician", "administrator"), False)],
)
def test_a_declaration_names_known_roles_or_public_never_both(roles: tuple[str, ...], public: bool) -> None:
    with pytest.raises(ValueError):
        requires(*roles, public=public)


def test_the_authenticator_is_asked_once_a_request(app: Flask) -> None:
    asked = []
    app.extensions["plugward-authenticator"] = lambda: asked.append(1)
    with app.test_request_context("/"):
        assert find_principal() is None
        assert find_principal() is None
        with pytest.raises(Unauthenticated):
            principal()
    assert len(asked) == 1


@pytest.mark.parametrize(
    ("roles", "home", "own", "visible"),
    [
        ("member", "home-1", True, True),
        ("member", "home-2", False, False),
        ("member", None, False, False),
        ("administrator", None, False, True),
        ("administrator member", "home-2", False, True),
    ],
)
def test_another_home_is_as_good_as_none(app: Flask, roles: str, home: str | None, own: bool, visible: bool) -> None:
    headers = {"X-Test-Roles": roles} | ({"X-Test-Home": home} if home else {})
    for check, is_let_through in ((require_own_household, own), (require_visible_household, visible)):
        with app.test_request_context("/", headers=headers):
            if is_let_through:
                check("home-1")
            else:
                with pytest.raises(NotFound):
                    check("home-1")


@pytest.fixture
def by_link(app: Flask) -> FlaskClient:
    """A client of an app with an operation that only a link opens: ``X-Test-Link`` holds its scheme."""

    @app.get("/by_link")
    @requires("electrician")
    def by_link() -> str:
        return f"{principal().scheme_id} {principal().link_id}"

    def holder() -> Principal | None:
        scheme = request.headers.get("X-Test-Link")
        return None if scheme is None else Principal("link", scheme, frozenset({"electrician"}), None, "", "link")

    set_link_authenticator(app, holder)
    return app.test_client()


def test_a_link_opens_its_operation_whoever_else_is_signed_in(by_link: FlaskClient) -> None:
    for headers in ({"X-Test-Link": "s"}, {"X-Test-Link": "s", "X-Test-Roles": "administrator"}):
        assert by_link.get("/by_link", headers=headers).text == "s link"


def test_without_a_link_no_role_opens_it_and_a_link_opens_nothing_else(by_link: FlaskClient) -> None:
    assert by_link.get("/by_link").status_code == 401
    # Whatever a session may hold: the role is not one that a session can have.
    assert by_link.get("/by_link", headers={"X-Test-Roles": "administrator electrician"}).status_code == 403
    assert by_link.get("/api/v1/things", headers={"X-Test-Link": "s"}).status_code == 401


def test_the_document_says_that_a_link_opens_it_and_how_it_ends() -> None:
    documented = requires("electrician")(lambda: None)._apidoc["manual_doc"]  # type: ignore[attr-defined]
    assert documented["security"] == [{"inspection_link": []}]
    assert {404, 410} <= set(documented["responses"])
