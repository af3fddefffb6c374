"""Tariffs over HTTP, for administrators: type in a version, look at it, publish it; upload half-hourly prices."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from typing import Any

from flask import request
from flask.views import MethodView

from service.common.errors import Fault, Rejected
from service.common.slots import slot_start
from service.infrastructure.http.access import principal, requires
from service.infrastructure.http.bodies import ApiBlueprint, accepts
from service.infrastructure.http.etags import etag_headers, etagged, require_match
from service.infrastructure.http.problems import PROBLEM_TYPE, ProblemSchema
from service.infrastructure.http.transactions import idempotent, now, scheme_session
from service.tariffs import operations
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.operations import Draft, VersionView
from service.tariffs.schemas import (
    DraftSchema,
    NewTariffSchema,
    OcpiImportSchema,
    PriceListSchema,
    PriceQuery,
    PublicationSchema,
    TakingSchema,
    TariffListSchema,
    TariffSchema,
    UploadSchema,
    VersionSchema,
)

CSV_TYPE = "text/csv"
PRICES_BODY = {
    "required": True,
    "description": "Header starts_at,price_pence_per_kwh and, where prices differ by region, region; RFC 3339 times.",
    "content": {
        CSV_TYPE: {
            "schema": {"type": "string"},
            "example": "starts_at,price_pence_per_kwh\n2026-11-26T00:00:00Z,11.4\n2026-11-26T00:30:00Z,-0.75\n",
        }
    },
}
JSON_NAMES = {"standing_per_day": "standing_pence_per_day"}
"""Where the domain and the body name a field differently."""

blueprint = ApiBlueprint("tariffs", __name__, description="Tariffs, their versions and half-hourly prices.")
_conflict = partial(blueprint.alt_response, 409, schema=ProblemSchema, content_type=PROBLEM_TYPE)


@contextmanager
def _in_json_names() -> Iterator[None]:
    """Point faults of the domain at the fields of the body."""
    try:
        yield
    except Rejected as rejected:
        raise Rejected(*(replace(fault, field=_json_path(fault.field)) for fault in rejected.faults)) from rejected


def _json_path(field: str) -> str:
    return ".".join(JSON_NAMES.get(part, part) for part in field.split("."))


def _draft(values: dict[str, Any]) -> Draft:
    return Draft(**{**values, "sheets": operations.read_sheets(values["sheets"])})


@blueprint.route("/tariffs")
class TariffsView(MethodView):
    """The scheme's tariffs."""

    @requires("administrator")
    @blueprint.response(200, TariffListSchema)
    def get(self) -> object:
        """List every tariff with its versions."""
        return {"items": operations.list_tariffs(scheme_session(), on=now().date())}

    @requires("administrator")
    @idempotent
    @blueprint.arguments(NewTariffSchema)
    @blueprint.response(201, TariffSchema)
    @_conflict(description="Another tariff has this name")
    def post(self, values: dict[str, Any]) -> object:
        """Create a tariff; it prices nothing until a version of it is published."""
        tariff = operations.create_tariff(scheme_session(), **values, at=now())
        return operations.get_tariff(scheme_session(), tariff.id, on=now().date())


@blueprint.route("/tariffs/<id:tariff_id>")
class TariffView(MethodView):
    """One tariff."""

    @requires("administrator")
    @blueprint.response(200, TariffSchema)
    @blueprint.alt_response(404, description="No such tariff")
    def get(self, tariff_id: str) -> object:
        """Get a tariff with its versions."""
        return operations.get_tariff(scheme_session(), tariff_id, on=now().date())


@blueprint.route("/tariffs/<id:tariff_id>/taking")
class TakingView(MethodView):
    """Who can take a tariff."""

    @requires("administrator")
    @etagged
    @blueprint.response(200, TakingSchema)
    @blueprint.alt_response(404, description="No such tariff")
    def get(self, tariff_id: str) -> object:
        """Get the terms of a new contract."""
        row = operations.get_taking(scheme_session(), tariff_id)
        return row, etag_headers(row.version)

    @requires("administrator")
    @etagged
    @blueprint.arguments(TakingSchema)
    @blueprint.response(200, TakingSchema)
    @blueprint.alt_response(404, description="No such tariff")
    def put(self, values: dict[str, Any], tariff_id: str) -> object:
        """Record the terms of a new contract; no plan depends on them."""
        session = scheme_session()
        version = operations.get_taking(session, tariff_id).version
        require_match(version)
        row = operations.put_taking(
            session, tariff_id, TakingTerms(**values), of_version=version, by=principal().account_id, at=now()
        )
        return row, etag_headers(row.version)


@blueprint.route("/tariffs/import_ocpi")
class OcpiImportView(MethodView):
    """Tariff objects of the open standard OCPI 2.2.1."""

    @requires("administrator")
    @idempotent
    @blueprint.arguments(OcpiImportSchema)
    @blueprint.response(201, TariffSchema)
    @_conflict(description="Another tariff has this name")
    def post(self, values: dict[str, Any]) -> object:
        """Create a tariff with a draft from such an object, where rate bands can say it; else every reason is named."""
        with _in_json_names():
            row = operations.import_ocpi(scheme_session(), **values, at=now())
        return operations.get_tariff(scheme_session(), row.id, on=now().date())


@blueprint.route("/tariffs/<id:tariff_id>/versions")
class VersionsView(MethodView):
    """A tariff's versions; they are listed with the tariff."""

    @requires("administrator")
    @idempotent
    @etagged
    @blueprint.arguments(DraftSchema)
    @blueprint.response(201, VersionSchema)
    @blueprint.alt_response(404, description="No such tariff")
    def post(self, values: dict[str, Any], tariff_id: str) -> object:
        """Draft a version: gaps and overlaps between its bands are refused by name."""
        with _in_json_names():
            return _with_etag(operations.create_draft(scheme_session(), tariff_id, _draft(values)))


@blueprint.route("/tariffs/<id:tariff_id>/versions/<id:version_id>")
class VersionDetailView(MethodView):
    """One version."""

    @requires("administrator")
    @etagged
    @blueprint.response(200, VersionSchema)
    @blueprint.alt_response(404, description="No such version")
    def get(self, tariff_id: str, version_id: str) -> object:
        """Get a version with its rate sheets."""
        return _with_etag(operations.get_version(scheme_session(), tariff_id, version_id))

    @requires("administrator")
    @etagged
    @blueprint.arguments(DraftSchema)
    @blueprint.response(200, VersionSchema)
    @blueprint.alt_response(404, description="No such version")
    @_conflict(description="The version is published and does not change")
    def put(self, values: dict[str, Any], tariff_id: str, version_id: str) -> object:
        """Replace a draft."""
        _require_version_match(tariff_id, version_id)
        with _in_json_names():
            return _with_etag(operations.edit_draft(scheme_session(), tariff_id, version_id, _draft(values)))

    @requires("administrator")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description="No such version")
    @_conflict(description="The version is published and does not change")
    def delete(self, tariff_id: str, version_id: str) -> None:
        """Throw a draft away."""
        _require_version_match(tariff_id, version_id)
        operations.delete_draft(scheme_session(), tariff_id, version_id)


@blueprint.route("/tariffs/<id:tariff_id>/versions/<id:version_id>/publication")
class PublicationView(MethodView):
    """Whether and since when a version holds."""

    @requires("administrator")
    @blueprint.response(200, PublicationSchema)
    @blueprint.alt_response(404, description="No such version")
    @_conflict(description="Another published version starts on the same day")
    def post(self, tariff_id: str, version_id: str) -> object:
        """Publish a version; asked again, it answers the same and starts nothing anew.

        The worker replans the affected homes: GET /runs?version_id= shows how far it is.
        """
        row = operations.publish_version(
            scheme_session(), tariff_id, version_id, by=principal().account_id, at=now()
        )
        return {"version_id": row.id, "published_at": row.published_at}


@blueprint.route("/tariffs/<id:tariff_id>/prices")
class PricesView(MethodView):
    """The price series of a half-hourly tariff."""

    @requires("administrator")
    @blueprint.arguments(PriceQuery, location="query")
    @blueprint.response(200, PriceListSchema)
    @blueprint.alt_response(404, description="No such tariff")
    def get(self, query: dict[str, Any], tariff_id: str) -> object:
        """List the stored prices of a period, for one region or for prices that hold in any."""
        return {"items": operations.list_prices(scheme_session(), tariff_id, **query)}

    @requires("administrator")
    @accepts(CSV_TYPE)
    @blueprint.doc(requestBody=PRICES_BODY)
    @blueprint.response(200, UploadSchema)
    @blueprint.alt_response(404, description="No such tariff")
    @_conflict(description="The tariff is not half-hourly")
    def put(self, tariff_id: str) -> object:
        """Store the half-hours a CSV text names; those it does not name keep their prices, so no ETag is asked for."""
        done = operations.upload_prices(scheme_session(), tariff_id, _csv_text(), at=now())
        gaps = [
            {"region": gap.region, "starts_at": slot_start(gap.first_slot), "ends_at": slot_start(gap.end_slot)}
            for gap in done.missing
        ]
        return {"stored_count": done.stored_count, "changed_count": done.changed_count, "missing": gaps}


def _with_etag(view: VersionView) -> tuple[VersionView, dict[str, str]]:
    return view, etag_headers(view.version)


def _require_version_match(tariff_id: str, version_id: str) -> None:
    require_match(operations.get_version(scheme_session(), tariff_id, version_id).version)


def _csv_text() -> str:
    try:
        return request.get_data().decode("utf-8")
    except UnicodeDecodeError as error:
        raise Rejected(Fault("", None, f"the text is not UTF-8 at byte {error.start + 1}")) from error
