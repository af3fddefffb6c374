"""A plan as an OCPP charging profile, checked by the protocol's own schemas: with their validator, and by our hand."""

import asyncio
import json
from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal
from importlib.resources import files
from typing import Any

import jsonschema
import pytest
from ocpp.exceptions import OCPPError
from ocpp.messages import Call, MessageType, validate_payload

from service.common.slots import slot_index
from service.planning.documents.ocpp import PERIODS_MAX, charging_profile
from service.planning.domain.outlet_schedule import PROFILE_VERSIONS, OutletSchedule

SCHEMA_FILES = {"1.6": "v16/schemas/SetChargingProfile.json", "2.0.1": "v201/schemas/SetChargingProfileRequest.json"}
SPECIFICATION = "Open Charge Alliance, JSON schema of SetChargingProfile, OCPP {} (as the ocpp package ships it)"
FIRST_AT = datetime(2026, 10, 24, 22, 0, tzinfo=UTC)  # 23:00 by the clock in London, before it goes back
FIRST = slot_index(FIRST_AT)


def schema(version: str) -> Any:
    """Return the protocol's schema with its numbers as decimals: 0.1 as a float is no tenth."""
    return json.loads(files("ocpp").joinpath(SCHEMA_FILES[version]).read_text("utf-8"), parse_float=Decimal)


def faults_of(version: str, text: bytes) -> list[str]:
    """Return what breaks the schema, formats of times included."""
    kind = jsonschema.Draft4Validator if version == "1.6" else jsonschema.Draft6Validator
    validator = kind(schema(version), format_checker=kind.FORMAT_CHECKER)
    return [error.message for error in validator.iter_errors(json.loads(text, parse_float=Decimal))]


def refuse_by_package(version: str, text: bytes) -> None:
    """Raise as the protocol's own validator does; it is a coroutine."""
    call = Call("1", "SetChargingProfile", json.loads(text))
    assert call.message_type_id == MessageType.Call
    asyncio.run(validate_payload(call, version))


def schedule(limit_a: str = "32", *blocks: tuple[int, tuple[int, ...]], **changes: Any) -> OutletSchedule:
    values: dict[str, Any] = {
        "plan_id": "f" * 32, "label": "hatchback", "outlet_label": "point", "first_slot": FIRST,
        "end_slot": FIRST + 338, "limit_a": Decimal(limit_a), "phases": 1, "usable_until_slot": FIRST + 338, **changes,
    }  # fmt: skip
    placed = tuple((FIRST + first, wh) for first, wh in blocks or ((3, (9_999, 9_999)),))
    return OutletSchedule(blocks=placed, **values)


def schedule_in(version: str, text: bytes) -> dict[str, Any]:
    body = json.loads(text, parse_float=Decimal)
    if version == "1.6":
        found = body["csChargingProfiles"]["chargingSchedule"]
    else:
        (found,) = body["chargingProfile"]["chargingSchedule"]
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("version", PROFILE_VERSIONS)
def test_a_profile_is_absolute_in_utc_on_one_phase_and_ends_at_nought(version: str) -> None:
    text = charging_profile(schedule(), version)
    found = schedule_in(version, text)
    assert found["startSchedule"] == "2026-10-24T22:00:00Z"
    assert found["chargingRateUnit"] == "A"
    assert found["chargingSchedulePeriod"] == [
        {"startPeriod": 0, "limit": 0, "numberPhases": 1},
        {"startPeriod": 5_400, "limit": 32, "numberPhases": 1},
        {"startPeriod": 9_000, "limit": 0, "numberPhases": 1},
    ]
    assert "duration" not in found  # the last period holds on: nothing is charged past the plan
    profile = json.loads(text)["csChargingProfiles" if version == "1.6" else "chargingProfile"]
    assert (profile["chargingProfileKind"], profile["chargingProfilePurpose"], profile["stackLevel"]) == (
        "Absolute", "TxDefaultProfile", 0,
    )  # fmt: skip
    assert "recurrencyKind" not in profile


def test_three_phases_are_stated_too() -> None:
    found = schedule_in("2.0.1", charging_profile(schedule("16", phases=3), "2.0.1"))
    assert {period["numberPhases"] for period in found["chargingSchedulePeriod"]} == {3}


def test_a_block_over_the_clock_change_lasts_as_many_seconds_as_it_has_half_hours() -> None:
    # 00:30 to 04:30 by the clock of that night is five hours.
    first = slot_index(datetime(2026, 10, 24, 23, 30, tzinfo=UTC)) - FIRST
    found = schedule_in("1.6", charging_profile(schedule("32", (first, (9_999,) * 10)), "1.6"))
    on, off = found["chargingSchedulePeriod"][1:]
    assert (on["startPeriod"], off["startPeriod"] - on["startPeriod"]) == (5_400, 5 * 3_600)


LIMITS = ("6", "6.1", "8.1", "9.7", "10", "13", "16", "20.3", "31.9", "32")


@pytest.mark.reference
@pytest.mark.parametrize("limit_a", LIMITS)
@pytest.mark.parametrize("version", PROFILE_VERSIONS)
def test_a_profile_satisfies_the_protocols_schema(
    version: str, limit_a: str, reference: Callable[..., None]
) -> None:
    text = charging_profile(schedule(limit_a), version)
    refuse_by_package(version, text)
    reference(source=SPECIFICATION.format(version), expected=[], got=faults_of(version, text))
    limits = {period["limit"] for period in schedule_in(version, text)["chargingSchedulePeriod"]}
    assert limits == {Decimal(0), Decimal(limit_a)}


@pytest.mark.parametrize(("version", "limit_a"), [("1.6", "6.15"), ("2.0.1", "6.15")])
def test_a_limit_is_rounded_down_to_a_tenth(version: str, limit_a: str) -> None:
    found = schedule_in(version, charging_profile(schedule(limit_a), version))
    assert found["chargingSchedulePeriod"][1]["limit"] == Decimal("6.1")


@pytest.mark.reference
@pytest.mark.parametrize(
    ("version", "path"),
    [
        ("1.6", ("connectorId",)),
        ("1.6", ("csChargingProfiles",)),
        *(("1.6", ("csChargingProfiles", name)) for name in (
            "chargingProfileId", "stackLevel", "chargingProfilePurpose", "chargingProfileKind", "chargingSchedule",
        )),
        *(("1.6", ("csChargingProfiles", "chargingSchedule", name)) for name in (
            "chargingRateUnit", "chargingSchedulePeriod",
        )),
        ("2.0.1", ("evseId",)),
        ("2.0.1", ("chargingProfile",)),
        *(("2.0.1", ("chargingProfile", name)) for name in (
            "id", "stackLevel", "chargingProfilePurpose", "chargingProfileKind", "chargingSchedule",
        )),
        *(("2.0.1", ("chargingProfile", "chargingSchedule", 0, name)) for name in (
            "id", "chargingRateUnit", "chargingSchedulePeriod",
        )),
    ],
)  # fmt: skip
def test_each_name_that_the_protocol_requires_is_there(
    version: str, path: tuple[str | int, ...], reference: Callable[..., None]
) -> None:
    body = json.loads(charging_profile(schedule(), version))
    place = body
    for name in path[:-1]:
        place = place[name]
    assert path[-1] in place
    del place[path[-1]]
    (fault,) = faults_of(version, json.dumps(body).encode())
    reference(
        source=SPECIFICATION.format(version), expected=f"'{path[-1]}' is a required property", got=fault
    )


@pytest.mark.parametrize("version", PROFILE_VERSIONS)
def test_the_checks_themselves_can_fail(version: str) -> None:
    body = json.loads(charging_profile(schedule(), version))
    made = body["csChargingProfiles"]["chargingSchedule"] if version == "1.6" else body["chargingProfile"][
        "chargingSchedule"][0]  # fmt: skip
    made["startSchedule"] = "24/10/2026 22:00"
    assert len(faults_of(version, json.dumps(body).encode())) == 1
    made["startSchedule"], made["colour"] = "2026-10-24T22:00:00Z", "blue"
    with pytest.raises(OCPPError):
        refuse_by_package(version, json.dumps(body).encode())


def test_a_tenth_is_a_tenth_only_where_numbers_are_read_as_decimals() -> None:
    """Plain floats make the schema refuse 6.1: that would be the check's fault, not the profile's."""
    text = charging_profile(schedule("6.1"), "1.6")
    plain = json.loads(files("ocpp").joinpath(SCHEMA_FILES["1.6"]).read_text("utf-8"))
    assert list(jsonschema.Draft4Validator(plain).iter_errors(json.loads(text)))
    assert faults_of("1.6", text) == []


@pytest.mark.parametrize("version", PROFILE_VERSIONS)
def test_the_busiest_week_that_a_plan_can_have_stays_within_the_periods_of_a_schedule(version: str) -> None:
    blocks = tuple((first, (3_680, 100, 3_680)) for first in range(0, 336, 4))
    text = charging_profile(schedule("32", *blocks), version)
    count = len(schedule_in(version, text)["chargingSchedulePeriod"])
    assert 300 < count <= PERIODS_MAX
    assert faults_of(version, text) == []


@pytest.mark.reference
def test_one_period_more_than_a_schedule_may_have_is_refused_by_schema_and_writer(
    reference: Callable[..., None],
) -> None:
    body = json.loads(charging_profile(schedule(), "2.0.1"))
    made = body["chargingProfile"]["chargingSchedule"][0]
    period = made["chargingSchedulePeriod"][0]
    allowed = []
    for count in (1_023, 1_024, 1_025):
        made["chargingSchedulePeriod"] = [period] * count
        allowed.append(not faults_of("2.0.1", json.dumps(body).encode()))
    reference(source=SPECIFICATION.format("2.0.1"), expected=[True, True, False], got=allowed)
    odd = tuple((first, (3_680,)) for first in range(0, 1_030, 2))
    with pytest.raises(ValueError, match="1024 periods"):
        charging_profile(schedule("32", *odd, end_slot=FIRST + 1_040, usable_until_slot=FIRST + 1_040), "2.0.1")


def test_another_version_is_not_written() -> None:
    with pytest.raises(ValueError, match=r"OCPP 2\.1"):
        charging_profile(schedule(), "2.1")


def test_the_same_plan_gives_the_same_bytes_and_a_number_of_31_bits() -> None:
    assert charging_profile(schedule(), "1.6") == charging_profile(schedule(), "1.6")
    assert 0 <= json.loads(charging_profile(schedule(), "1.6"))["csChargingProfiles"]["chargingProfileId"] < 2**31
