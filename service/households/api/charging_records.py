"""What a home's cars were charged with, over HTTP: for members of the home alone, it tells when somebody is in."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from flask.views import MethodView

from service.common.errors import Fault, Rejected
from service.common.slots import instant_at, slot_index, slot_start
from service.households import operations
from service.households.api.routes import blueprint, matched, with_etag, writing
from service.households.domain.charging_records import ChargingDetails
from service.households.schemas import (
    ChargingCdrsSchema,
    ChargingChangeSchema,
    ChargingCsvSchema,
    ChargingEntrySchema,
    ChargingImportSchema,
    ChargingQuery,
    ChargingRecordSchema,
)
from service.infrastructure.http.access import require_own_household, requires
from service.infrastructure.http.etags import etagged
from service.infrastructure.http.paging import Page, first_row, page_schema
from service.infrastructure.http.transactions import idempotent, scheme_session

RECORDS = "/households/<id:household_id>/charging_records"
NO_HOME, NO_RECORD = "No such household", "No such charging record of this home"
FULL = "The home keeps as many charging records as it may"
ALWAYS = datetime(1970, 1, 1, tzinfo=UTC), datetime(2101, 1, 1, tzinfo=UTC)


@blueprint.route(RECORDS)
class ChargingRecordsView(MethodView):
    """A home's charging records."""

    @requires("member")
    @blueprint.arguments(ChargingQuery, location="query")
    @blueprint.response(200, page_schema(ChargingRecordSchema))
    @blueprint.alt_response(404, description=NO_HOME)
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """List the records that overlap a period, newest first."""
        require_own_household(household_id)
        session = scheme_session()
        zone = ZoneInfo(operations.get_household(session, household_id).zone)
        from_at, to_at = _period(query["from_on"], query["to_on"], zone)
        rows, total = operations.list_charging_records(
            session,
            household_id,
            from_at=from_at,
            to_at=to_at,
            vehicle_id=query["vehicle_id"],
            first=first_row(query["page"], query["page_size"]),
            limit=query["page_size"],
        )
        return Page(list(rows), total, query["page"], query["page_size"])

    @requires("member")
    @idempotent
    @blueprint.arguments(ChargingEntrySchema)
    @etagged
    @blueprint.response(201, ChargingRecordSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    @blueprint.alt_response(409, description=FULL)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Keep a charge that is over."""
        require_own_household(household_id)
        details = ChargingDetails(**_plain(values))
        return with_etag(operations.add_charging_record(scheme_session(), household_id, details, **writing()))


@blueprint.route(f"{RECORDS}/<id:record_id>")
class ChargingRecordView(MethodView):
    """One charging record."""

    @requires("member")
    @etagged
    @blueprint.response(200, ChargingRecordSchema)
    @blueprint.alt_response(404, description=NO_RECORD)
    def get(self, household_id: str, record_id: str) -> object:
        """Get a record."""
        require_own_household(household_id)
        return with_etag(operations.get_charging_record(scheme_session(), household_id, record_id))

    @requires("member")
    @etagged
    @blueprint.arguments(ChargingChangeSchema)
    @blueprint.response(200, ChargingRecordSchema)
    @blueprint.alt_response(404, description=NO_RECORD)
    def patch(self, values: dict[str, Any], household_id: str, record_id: str) -> object:
        """Change some fields of a record."""
        require_own_household(household_id)
        session = scheme_session()
        record = matched(operations.get_charging_record(session, household_id, record_id))
        return with_etag(
            operations.change_charging_record(session, household_id, record.id, _plain(values), **writing())
        )

    @requires("member")
    @etagged
    @blueprint.response(204)
    @blueprint.alt_response(404, description=NO_RECORD)
    def delete(self, household_id: str, record_id: str) -> None:
        """Take a record out."""
        require_own_household(household_id)
        session = scheme_session()
        record = matched(operations.get_charging_record(session, household_id, record_id))
        operations.remove_charging_record(session, household_id, record.id, **writing())


@blueprint.route(f"{RECORDS}/csv")
class ChargingCsvView(MethodView):
    """Records from a table."""

    @requires("member")
    @idempotent
    @blueprint.arguments(ChargingCsvSchema)
    @blueprint.response(200, ChargingImportSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    @blueprint.alt_response(409, description=FULL)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Read records from CSV, all or none; a fault names line and column."""
        require_own_household(household_id)
        return operations.import_charging_csv(
            scheme_session(), household_id, values["csv"], is_dry_run=values["is_dry_run"], **writing()
        )


@blueprint.route(f"{RECORDS}/ocpi_cdrs")
class ChargingCdrsView(MethodView):
    """Records from a charging point's own account."""

    @requires("member")
    @idempotent
    @blueprint.arguments(ChargingCdrsSchema)
    @blueprint.response(200, ChargingImportSchema)
    @blueprint.alt_response(404, description=NO_HOME)
    @blueprint.alt_response(409, description=FULL)
    def post(self, values: dict[str, Any], household_id: str) -> object:
        """Read charge detail records (OCPI 2.2.1), all or none; a fault names record and field."""
        require_own_household(household_id)
        return operations.import_cdrs(
            scheme_session(),
            household_id,
            values["cdrs"],
            vehicle_id=values["vehicle_id"],
            outlet_id=values["outlet_id"],
            is_dry_run=values["is_dry_run"],
            **writing(),
        )


def _period(from_on: date | None, to_on: date | None, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Return the instants of local days, the last one included."""
    if from_on is not None and to_on is not None and to_on < from_on:
        raise Rejected(Fault("to_on", to_on.isoformat(), "must not lie before from_on"))
    from_at = ALWAYS[0] if from_on is None else instant_at(from_on, 0, zone)
    return from_at, ALWAYS[1] if to_on is None else instant_at(to_on + timedelta(days=1), 0, zone)


def _plain(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return a body's values as the domain takes them; raises ``Rejected`` for a start between half-hours."""
    found = dict(values)
    if "place" in found:
        found["place"] = found["place"].value
    if "half_hours" in found:
        found["half_hours"] = tuple(
            (_slot(position, each["starts_at"]), each["energy_wh"]) for position, each in enumerate(found["half_hours"])
        )
    return found


def _slot(position: int, starts_at: datetime) -> int:
    slot = slot_index(starts_at)
    if slot_start(slot) != starts_at:
        rule = "must be the start of a half-hour"
        raise Rejected(Fault(f"half_hours.{position}.starts_at", starts_at.isoformat(), rule))
    return slot
