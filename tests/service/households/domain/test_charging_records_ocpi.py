"""Charge detail records of OCPI 2.2.1: what is read of them; a JSON schema written by hand says the same of the shape.

No published schema of that version was found, so required fields, lengths and kinds stand here a second time, in
another notation: what the schema refuses our reader refuses, and what it takes our reader takes.
"""

import json
from collections.abc import Callable
from copy import deepcopy
from datetime import UTC, datetime
from typing import Any

import jsonschema
import pytest

from service.common.errors import Rejected
from service.common.slots import slot_index
from service.households.domain.charging_records import ChargingDetails
from service.households.domain.charging_records_ocpi import REQUIRED, read_cdrs

CAR, OUTLET = "a" * 32, "c" * 32
UTC_TIME = {
    "type": "string",
    "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,6})?Z?$",
}
NUMBER = {"type": "number", "minimum": 0}
CDR_SCHEMA = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "required": [
        "country_code", "party_id", "id", "start_date_time", "end_date_time", "cdr_token", "auth_method",
        "cdr_location", "currency", "charging_periods", "total_cost", "total_energy", "total_time", "last_updated",
    ],
    "properties": {
        "country_code": {"type": "string", "minLength": 1, "maxLength": 2},
        "party_id": {"type": "string", "minLength": 1, "maxLength": 3},
        "id": {"type": "string", "minLength": 1, "maxLength": 39},
        "start_date_time": UTC_TIME,
        "end_date_time": UTC_TIME,
        "last_updated": UTC_TIME,
        "cdr_token": {"type": "object"},
        "cdr_location": {"type": "object"},
        "auth_method": {"enum": ["AUTH_REQUEST", "COMMAND", "WHITELIST"]},
        "currency": {"type": "string", "minLength": 3, "maxLength": 3},
        "charging_periods": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "required": ["start_date_time", "dimensions"],
                "properties": {
                    "start_date_time": UTC_TIME,
                    "dimensions": {
                        "type": "array",
                        "minItems": 1,
                        "items": {
                            "type": "object",
                            "required": ["type", "volume"],
                            "properties": {"type": {"type": "string"}, "volume": {"type": "number"}},
                        },
                    },
                },
            },
        },
        "total_cost": {
            "type": "object",
            "required": ["excl_vat"],
            "properties": {"excl_vat": {"type": "number"}, "incl_vat": {"type": "number"}},
        },
        "total_energy": NUMBER,
        "total_time": NUMBER,
        "credit": {"not": {"const": True}},
        "home_charging_compensation": {"type": "boolean"},
    },
}  # fmt: skip
VALIDATOR = jsonschema.Draft202012Validator(CDR_SCHEMA)

CDR: dict[str, Any] = {
    "country_code": "GB",
    "party_id": "XXX",
    "id": "session-0001",
    "start_date_time": "2026-11-24T23:30:00Z",
    "end_date_time": "2026-11-25T01:00:00Z",
    "cdr_token": {"uid": "000", "type": "RFID", "contract_id": "GB-XXX-1"},
    "auth_method": "WHITELIST",
    "cdr_location": {"id": "1", "address": "1 Quince Row"},
    "currency": "GBP",
    "charging_periods": [
        {"start_date_time": "2026-11-24T23:30:00Z", "dimensions": [{"type": "ENERGY", "volume": 3.5}]},
        {"start_date_time": "2026-11-25T00:00:00Z", "dimensions": [{"type": "ENERGY", "volume": 3.6}]},
        {
            "start_date_time": "2026-11-25T00:30:00Z",
            "dimensions": [{"type": "ENERGY", "volume": 0.4}, {"type": "TIME", "volume": 0.5}],
        },
    ],
    "total_cost": {"excl_vat": 3.00, "incl_vat": 3.155},
    "total_energy": 7.5,
    "total_time": 1.5,
    "last_updated": "2026-11-25T01:05:00Z",
}


def cdr(**changes: Any) -> dict[str, Any]:
    """Return a charge detail record."""
    return {**deepcopy(CDR), **changes}


def read(record: Any) -> ChargingDetails:
    """Return the one record that is read."""
    (row,) = read_cdrs([record], vehicle_id=CAR, outlet_id=OUTLET)
    return row.details


def without(name: str) -> dict[str, Any]:
    """Return a record that lacks a field."""
    return {key: value for key, value in cdr().items() if key != name}


def refused_fields(record: Any) -> list[str]:
    """Return the fields of the faults, without the position in front."""
    with pytest.raises(Rejected) as refused:
        read(record)
    return [fault.field.removeprefix("rows.0").removeprefix(".") for fault in refused.value.faults]


def test_a_public_charge_is_read_with_what_it_cost() -> None:
    details = read(cdr())
    assert (details.place, details.outlet_id, details.paid_pence) == ("public", None, 316)
    assert (details.energy_wh, details.is_metered, details.source) == (7_500, True, "ocpi")
    assert details.external_id == "GB*XXX*session-0001"
    first = slot_index(datetime(2026, 11, 24, 23, 30, tzinfo=UTC))
    assert details.half_hours == ((first, 3_500), (first + 1, 3_600), (first + 2, 400))


def test_a_charge_to_be_compensated_at_home_is_one_at_home_and_the_tariff_says_its_cost() -> None:
    details = read(cdr(home_charging_compensation=True))
    assert (details.place, details.outlet_id, details.paid_pence) == ("home", OUTLET, None)


@pytest.mark.parametrize(
    "cost", [{"total_cost": {"excl_vat": 3.0}}, {"currency": "EUR"}], ids=["VAT not stated", "not pounds"]
)
def test_what_was_paid_is_not_known_where_it_is_not_told_in_pounds_with_vat(cost: dict[str, Any]) -> None:
    assert read(cdr(**cost)).paid_pence is None


def test_periods_that_cross_a_half_hour_tell_no_half_hours() -> None:
    whole = [{"start_date_time": CDR["start_date_time"], "dimensions": [{"type": "ENERGY", "volume": 7.5}]}]
    assert read(cdr(charging_periods=whole)).half_hours == ()


def test_quarter_hours_are_put_together_and_odd_energies_add_up_to_a_watt_hour() -> None:
    starts = ["23:30", "23:45", "00:00", "00:15", "00:30", "00:45"]
    periods = [
        {
            "start_date_time": f"2026-11-2{4 if start > '12' else 5}T{start}:00Z",
            "dimensions": [{"type": "ENERGY", "volume": 0.3333}],
        }
        for start in starts
    ]
    details = read(cdr(charging_periods=periods, total_energy=2.0))
    assert [wh for _, wh in details.half_hours] == [667, 666, 667]


def test_a_time_without_a_zone_is_utc_as_ocpi_says() -> None:
    assert read(cdr(start_date_time="2026-11-24T23:30:00")).starts_at == datetime(2026, 11, 24, 23, 30, tzinfo=UTC)


BROKEN: list[tuple[str, Callable[[], Any], list[str]]] = [
    *((f"without {name}", lambda name=name: without(name), [name]) for name in REQUIRED),
    ("not an object", lambda: ["no"], [""]),
    ("country of three letters", lambda: cdr(country_code="GBR"), ["country_code"]),
    ("party of four letters", lambda: cdr(party_id="XXXX"), ["party_id"]),
    ("id of 40", lambda: cdr(id="x" * 40), ["id"]),
    ("a local time", lambda: cdr(start_date_time="2026-11-24T23:30:00+01:00"), ["start_date_time"]),
    ("a date", lambda: cdr(end_date_time="25/11/2026"), ["end_date_time"]),
    ("energy in words", lambda: cdr(total_energy="7.5"), ["total_energy"]),
    ("energy that is true", lambda: cdr(total_energy=True), ["total_energy"]),
    ("less than no energy", lambda: cdr(total_energy=-1), ["total_energy"]),
    ("no periods", lambda: cdr(charging_periods=[]), ["charging_periods"]),
    (
        "a period without dimensions",
        lambda: cdr(charging_periods=[{"start_date_time": CDR["start_date_time"], "dimensions": []}]),
        ["charging_periods"],
    ),
    (
        "a dimension without volume",
        lambda: cdr(
            charging_periods=[{"start_date_time": CDR["start_date_time"], "dimensions": [{"type": "ENERGY"}]}]
        ),
        ["charging_periods"],
    ),
    ("cost as a number", lambda: cdr(total_cost=3.0), ["total_cost"]),
    ("cost without VAT excluded", lambda: cdr(total_cost={"incl_vat": 3.0}), ["total_cost"]),
    ("unknown authentication", lambda: cdr(auth_method="SHOUTED"), ["auth_method"]),
    ("a currency in full", lambda: cdr(currency="pounds"), ["currency"]),
    ("token as text", lambda: cdr(cdr_token="000"), ["cdr_token"]),
    ("a credit", lambda: cdr(credit=True), ["credit"]),
    ("compensation in words", lambda: cdr(home_charging_compensation="yes"), ["home_charging_compensation"]),
]


@pytest.mark.parametrize(("make", "fields"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN])
def test_what_the_schema_refuses_is_refused_by_name(make: Callable[[], Any], fields: list[str]) -> None:
    assert not VALIDATOR.is_valid(make())
    assert refused_fields(make()) == fields


@pytest.mark.parametrize(
    "record", [cdr(), cdr(credit=False), cdr(home_charging_compensation=False), cdr(remark="kept by its operator")]
)
def test_what_the_schema_takes_is_read(record: dict[str, Any]) -> None:
    VALIDATOR.validate(record)
    assert read(json.loads(json.dumps(record))).energy_wh == 7_500


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"total_energy": 7.6}, "total_energy"),
        ({"end_date_time": "2026-11-25T00:20:00Z"}, "charging_periods"),
        ({"start_date_time": "2026-11-24T23:45:00Z"}, "charging_periods"),
        ({"charging_periods": list(reversed(CDR["charging_periods"]))}, "charging_periods"),
    ],
)
def test_periods_that_do_not_fit_the_record_are_refused(changes: dict[str, Any], field: str) -> None:
    assert field in refused_fields(cdr(**changes))


@pytest.mark.reference
@pytest.mark.parametrize("name", CDR_SCHEMA["required"])
def test_each_field_that_ocpi_requires_is_required(name: str, reference: Callable[..., None]) -> None:
    with pytest.raises(Rejected) as refused:
        read(without(name))
    rule = refused.value.faults[0].rule
    reference(
        source=f"OCPI 2.2.1, CDR object: {name} has cardinality 1",
        expected=f"record 1, {name}: is required in a charge detail record",
        got=rule,
    )


@pytest.mark.parametrize("name", ["country_code", "party_id", "id"])
@pytest.mark.parametrize("text", ["\x00", "\ud800", "\n", "\u00e9"])
def test_a_name_of_a_record_is_printable_ascii_as_ocpi_says_and_so_can_be_stored(name: str, text: str) -> None:
    assert refused_fields(cdr(**{name: text})) == [name]


def test_a_year_of_no_charge_is_refused_not_stumbled_over() -> None:
    late = "9999-12-31T23:30:00Z"
    periods = [{"start_date_time": late, "dimensions": [{"type": "ENERGY", "volume": 7.5}]}]
    record = cdr(start_date_time=late, end_date_time="9999-12-31T23:59:59Z", charging_periods=periods)
    assert refused_fields(record) == ["start_date_time", "end_date_time", "charging_periods"]
