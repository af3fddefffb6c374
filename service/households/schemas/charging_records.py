"""JSON shapes of charging records and of their imports; what can have been is the domain's."""

from __future__ import annotations

import marshmallow as ma

from service.common.slots import slot_start
from service.households.domain.equipment import ChargingPlace, RecordSource
from service.households.schemas.shapes import Change
from service.infrastructure.http.fields import (
    CalendarDate,
    Choice,
    Flag,
    Id,
    Instant,
    KilowattHours,
    StrictSchema,
    Text,
    WholeNumber,
)
from service.infrastructure.http.paging import PageQuery

HALF_HOURS_MAX = 400
CSV_LENGTH_MAX = 1_000_000
CDRS_MAX = 1_000
"""Own bounds of a body, above what the domain takes: they keep a hostile list short."""


class ChargedHalfHourSchema(StrictSchema):
    """Energy that a meter told of one half-hour."""

    starts_at = Instant(required=True)
    energy_kwh = KilowattHours(required=True, attribute="energy_wh")


class _HalfHours(ma.fields.List):
    """(slot, Wh) pairs inside, objects with the half-hour's start in JSON."""

    def __init__(self) -> None:
        super().__init__(
            ma.fields.Nested(ChargedHalfHourSchema),
            load_default=list,
            validate=ma.validate.Length(max=HALF_HOURS_MAX),
            metadata={"description": "Empty where no meter told them apart; else they add up to the energy"},
        )

    @staticmethod
    def write(value: list[list[int]]) -> list[object]:
        """Return the pairs as objects."""
        shape = ChargedHalfHourSchema()
        return [shape.dump({"starts_at": slot_start(slot), "energy_wh": wh}) for slot, wh in value]


class ChargingEntrySchema(StrictSchema):
    """One charge of a car, over by now."""

    vehicle_id = Id(required=True)
    place = Choice(ChargingPlace, required=True)
    starts_at = Instant(required=True)
    ends_at = Instant(required=True)
    energy_kwh = KilowattHours(required=True, attribute="energy_wh", metadata={"description": "At the wall"})
    outlet_id = Id(load_default=None, allow_none=True, metadata={"description": "At home, where it is known"})
    is_metered = Flag(
        load_default=False, metadata={"description": "By a meter that feeds nothing but cars, no estimate"}
    )
    half_hours = _HalfHours()
    paid_pence = WholeNumber(
        load_default=None, allow_none=True, metadata={"description": "Away from home, VAT included; null: not known"}
    )
    note = Text(load_default="", max_length=1000)


class ChargingChangeSchema(Change, ChargingEntrySchema):
    """What can be changed of a record."""


class ChargingRecordSchema(ChargingEntrySchema):
    """A charging record of a home."""

    id = Id(dump_only=True)
    source = Choice(RecordSource, dump_only=True)
    external_id = Text(max_length=60, dump_only=True, allow_none=True)


class ChargingQuery(PageQuery):
    """Which records: of local days [from_on, to_on], and of one car; newest first."""

    from_on = CalendarDate(load_default=None, metadata={"description": "First local day"})
    to_on = CalendarDate(load_default=None, metadata={"description": "Last local day"})
    vehicle_id = Id(load_default=None)


class ChargingCsvSchema(StrictSchema):
    """A table to read records from."""

    csv = Text(
        required=True,
        max_length=CSV_LENGTH_MAX,
        is_lines=True,
        metadata={
            "description": "First line: starts_at,ends_at,energy_kwh,place and, if wanted, vehicle,outlet,is_metered,"
            "paid_pence,external_id,note. Times with their offset, or on the home's clock"
        },
    )
    is_dry_run = Flag(load_default=True, metadata={"description": "Check all of it, keep nothing"})


class ChargingCdrsSchema(StrictSchema):
    """Charge detail records of OCPI 2.2.1 to read records from."""

    vehicle_id = Id(required=True, metadata={"description": "The car that they charged"})
    outlet_id = Id(load_default=None, allow_none=True, metadata={"description": "Of those charged at home"})
    cdrs = ma.fields.List(
        ma.fields.Dict(keys=ma.fields.String()),
        required=True,
        validate=ma.validate.Length(max=CDRS_MAX),
        metadata={"description": "CDR objects; fields that are not used are passed over"},
    )
    is_dry_run = Flag(load_default=True, metadata={"description": "Check all of it, keep nothing"})


class ChargingImportSchema(StrictSchema):
    """What an import did, or would do."""

    is_dry_run = Flag()
    added_count = WholeNumber()
    skipped_count = WholeNumber(metadata={"description": "Records whose name at their source the home has already"})
    added_kwh = KilowattHours(attribute="added_wh")
    first_at = Instant(allow_none=True)
    last_at = Instant(allow_none=True)
