"""A small real app on the HTTP edge: things with a version, a CSV operation, and callers of both roles."""

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask, Response, request
from flask.testing import FlaskClient
from flask.views import MethodView
from marshmallow import fields as ma_fields

from service.common.errors import Conflict, Fault, Rejected, TooMany
from service.infrastructure.http.access import Principal, init_access, requires, set_authenticator
from service.infrastructure.http.bodies import ApiBlueprint, accepts
from service.infrastructure.http.docs import docs_blueprint
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.fields import Id, KilowattHours, Pence, StrictSchema, Text
from service.infrastructure.http.paging import Page, PageQuery, page_schema, sort_field
from service.infrastructure.http.problems import ProblemApi, answer_as_busy
from service.infrastructure.http.security import SecurityRules, init_security
from service.infrastructure.logging import log_requests

THING_ID = "0" * 31 + "1"
INDEX = b'<!doctype html><title>x</title><script type="importmap">{"imports":{}}</script>'


class DatabaseLockedError(Exception):
    """Stands for what a database raises when it is locked."""


class ThingQuery(PageQuery):
    sort = sort_field("name", "price", usual="name")


class PartSchema(StrictSchema):
    name = Text(max_length=5, required=True)


class ThingSchema(StrictSchema):
    id = Id(dump_only=True)
    name = Text(max_length=10, min_length=1, required=True)
    price_pence = Pence(minimum_up=0)
    energy_kwh = KilowattHours(allow_none=True)
    parts = ma_fields.List(ma_fields.Nested(PartSchema))


class SecretSchema(StrictSchema):
    password = Text(max_length=100, required=True)


def things_blueprint() -> ApiBlueprint:
    blueprint = ApiBlueprint("things", __name__, description="Things to try the edge with.")

    @blueprint.route("/things")
    class Things(MethodView):
        @requires("administrator")
        @blueprint.arguments(ThingQuery, location="query")
        @blueprint.response(200, page_schema(ThingSchema))
        def get(self, query: dict[str, Any]) -> Page:
            """List the things."""
            return Page([{"id": THING_ID, "name": "a"}], 1, query["page"], query["page_size"])

        @blueprint.arguments(ThingSchema)
        @blueprint.response(201, ThingSchema)
        @requires("administrator", "member")
        def post(self, body: dict[str, Any]) -> dict[str, Any]:
            """Add a thing."""
            return {"id": THING_ID, **body}

    @blueprint.route("/things/<id:thing_id>")
    class OneThing(MethodView):
        @requires("administrator", "member")
        @etagged
        @blueprint.response(200, ThingSchema)
        def get(self, thing_id: str) -> Any:
            """Show a thing."""
            return {"id": thing_id, "name": "a", "price_pence": 28_350_000}, etag_headers(3)

        @requires("administrator")
        @etagged
        @blueprint.arguments(ThingSchema)
        @blueprint.response(200, ThingSchema)
        def put(self, body: dict[str, Any], thing_id: str) -> Any:
            """Replace a thing."""
            require_match(3)
            return {"id": thing_id, **body}, etag_headers(4)

        @requires("administrator")
        @etagged
        @blueprint.response(204)
        def delete(self, thing_id: str) -> None:
            """Remove a thing."""
            require_match(3)

    @blueprint.route("/session", methods=["POST"])
    @requires(public=True)
    @blueprint.arguments(SecretSchema)
    @blueprint.response(200)
    def sign_in(body: dict[str, Any]) -> None:
        """Sign in."""
        raise Rejected(Fault("password", body["password"], "is too short"))

    @blueprint.route("/prices", methods=["PUT"])
    @accepts("text/csv")
    @requires("administrator")
    @blueprint.response(200)
    def put_prices() -> Any:
        """Store prices."""
        return {"length": len(request.get_data())}

    raising: dict[str, Callable[[], Exception]] = {
        "conflict": lambda: Conflict("Choose another date."),
        "too_many": lambda: TooMany(30),
        "locked": lambda: DatabaseLockedError("database is locked"),
        "disk": lambda: DatabaseLockedError("disk I/O error at a@b.example"),
        "bug": lambda: RuntimeError("secret words of a@b.example"),
        "faults": lambda: Rejected(
            Fault("sheets.0.bands.1.name", "x" * 500, "appears twice"),
            Fault("", None, "has no sheet"),
            Fault("a~b/c", "\ud800", "is odd"),
        ),
    }

    @blueprint.route("/raise/<kind>")
    @requires(public=True)
    @blueprint.response(200)
    def raise_it(kind: str) -> None:
        """Raise an error of a kind."""
        raise raising[kind]()

    return blueprint


def build_app(*, is_production: bool = False, base_url: str = "http://localhost:8000") -> Flask:
    app = Flask(__name__, static_folder=None)
    app.config.update(API_TITLE="Things", API_VERSION="v1", OPENAPI_VERSION="3.1.0", OPENAPI_URL_PREFIX="/api/v1")
    log_requests(app)
    init_security(app, SecurityRules(base_url, is_production, 4096, INDEX))
    init_access(app)
    set_authenticator(app, principal_of_header)
    api = ProblemApi(app)
    api.register_blueprint(things_blueprint(), url_prefix="/api/v1")
    answer_as_busy(app, DatabaseLockedError, when=lambda error: "locked" in str(error), retry_after_s=2)
    app.register_blueprint(docs_blueprint(api))
    app.extensions["test-api"] = api
    return app


def principal_of_header() -> Principal | None:
    roles = request.headers.get("X-Test-Roles")
    if roles is None:
        return None
    return Principal("account", "scheme", frozenset(roles.split()), request.headers.get("X-Test-Home"), "session")


@pytest.fixture
def app() -> Flask:
    """An app of the test's own, to change."""
    return build_app()


@pytest.fixture(scope="session")
def shared_app() -> Flask:
    return build_app()


@pytest.fixture
def client(shared_app: Flask) -> FlaskClient:
    return shared_app.test_client()


@pytest.fixture
def production_client() -> FlaskClient:
    return build_app(is_production=True, base_url="https://charging.scheme.example").test_client()


@pytest.fixture
def problem_of() -> Callable[[Response], dict[str, Any]]:
    """Check that a response is a well-formed problem and return its body."""

    def check(response: Any) -> dict[str, Any]:
        assert response.mimetype == "application/problem+json", response.get_data(as_text=True)[:200]
        body: dict[str, Any] = response.get_json(force=True)
        assert body["status"] == response.status_code
        assert body["type"].startswith("/problems/")
        assert body["title"]
        assert body["detail"]
        return body

    return check
