"""Charging records from charge detail records of OCPI 2.2.1, as a charging point's operator hands them out.

What is read: times (UTC), total energy [kWh], energy by charging period, cost with VAT, whether home charging is to be
compensated.  Fields that are required there are required here, whether they are used or not: what lacks them is not a
charge detail record.  A later revision's ``home_charging_compensation`` true means that the car was charged at home.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise
from typing import Any, Final

from service.common.errors import Fault, Rejected
from service.common.slots import slot_index, slot_start
from service.common.units import PENCE_PER_POUND, WH_PER_KWH
from service.households.domain.charging_records import ChargingDetails
from service.households.domain.charging_records_csv import (
    EARLIEST_YEAR,
    FAULTS_MAX,
    LATEST_YEAR,
    ImportedRow,
    RowPlace,
)
from service.households.domain.equipment import ChargingPlace, RecordSource

RECORDS_MAX: Final = 500
PERIODS_MAX: Final = 2_000
"""Own bounds on one import, and on the charging periods of one record."""
TEXT_MAX: Final = {"country_code": 2, "party_id": 3, "id": 39}
"""Longest texts: OCPI 2.2.1, CDR object."""
AUTH_METHODS: Final = ("AUTH_REQUEST", "COMMAND", "WHITELIST")
ENERGY: Final = "ENERGY"
PERIOD_TOLERANCE_KWH: Final = Decimal("0.001")
"""Own choice: what rounding may take from or add to each period's energy."""
REQUIRED: Final = (
    "country_code", "party_id", "id", "start_date_time", "end_date_time", "cdr_token", "auth_method", "cdr_location",
    "currency", "charging_periods", "total_cost", "total_energy", "total_time", "last_updated",
)  # fmt: skip

_UTC = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?Z?")


@dataclass(frozen=True)
class _Period:
    """One charging period: when it starts, and its energy, None where it has none."""

    starts_at: datetime
    energy_kwh: Decimal | None


def read_cdrs(records: Sequence[Any], *, vehicle_id: str, outlet_id: str | None) -> tuple[ImportedRow, ...]:
    """Return the charging records of charge detail records.

    Parameters
    ----------
    vehicle_id, outlet_id : str
        The car that was charged, and for those charged at home the outlet: a charge detail record names neither.

    Raises
    ------
    Rejected
        With fields "rows.<position from 0>.<name>"; every fault, 100 at most.

    Notes
    -----
    Half-hours are kept where every charging period with energy lies inside one half-hour. Where one is longer they
    are not known, and the record is spread evenly when it is read. VAT that is not stated is not 0: what was paid is
    then not known, nor in another currency than pounds.
    """
    if not 1 <= len(records) <= RECORDS_MAX:
        raise Rejected(Fault("rows", len(records), f"must be 1 to {RECORDS_MAX} charge detail records"))
    found: list[ImportedRow] = []
    faults: list[Fault] = []
    for position, record in enumerate(records):
        at = RowPlace(position, f"record {position + 1}")
        try:
            found.append(ImportedRow(at, _read(record, vehicle_id, outlet_id)))
        except Rejected as error:
            faults.extend(at.fault(fault) for fault in error.faults)
    if faults:
        raise Rejected(*faults[:FAULTS_MAX])
    return tuple(found)


def _read(record: Any, vehicle_id: str, outlet_id: str | None) -> ChargingDetails:
    faults = list(_shape_faults(record))
    if faults:
        raise Rejected(*faults)
    starts_at, ends_at = _instant(record["start_date_time"]), _instant(record["end_date_time"])
    is_home = record.get("home_charging_compensation") is True
    energy_wh = _wh(_number(record["total_energy"]))
    periods = [_period(each) for each in record["charging_periods"]]
    _check_periods(periods, record, starts_at, ends_at)
    return ChargingDetails(
        vehicle_id=vehicle_id,
        outlet_id=outlet_id if is_home else None,
        place=(ChargingPlace.HOME if is_home else ChargingPlace.PUBLIC).value,
        starts_at=starts_at,
        ends_at=ends_at,
        energy_wh=energy_wh,
        is_metered=True,
        half_hours=_half_hours(periods, ends_at, energy_wh),
        paid_pence=None if is_home else _paid_pence(record),
        source=RecordSource.OCPI.value,
        external_id="*".join(record[name] for name in TEXT_MAX),
    )


def _shape_faults(record: Any) -> Iterator[Fault]:
    """Yield what keeps an object from being a charge detail record."""
    if not isinstance(record, Mapping):
        yield Fault("", None, "must be an object")
        return
    for name in REQUIRED:
        if name not in record:
            yield Fault(name, None, "is required in a charge detail record")
        elif not _is_right(name, record[name]):
            yield Fault(name, str(record[name])[:60], _RULES[name])
    if record.get("credit") is True:
        yield Fault("credit", "true", "must not be a credit: it takes back another record, and is no charge")
    if not isinstance(record.get("home_charging_compensation", False), bool):
        yield Fault("home_charging_compensation", None, "must be true or false")


def _is_right(name: str, value: Any) -> bool:
    if name in TEXT_MAX:
        return isinstance(value, str) and 0 < len(value) <= TEXT_MAX[name] and value.isascii() and value.isprintable()
    if name in ("start_date_time", "end_date_time", "last_updated"):
        return _is_instant(value)
    if name in ("total_energy", "total_time"):
        return _is_number(value) and value >= 0
    if name == "total_cost":
        return isinstance(value, Mapping) and _is_number(value.get("excl_vat")) and _is_number(value.get("incl_vat", 0))
    if name == "charging_periods":
        return isinstance(value, list) and 1 <= len(value) <= PERIODS_MAX and all(map(_is_period, value))
    if name == "auth_method":
        return value in AUTH_METHODS
    if name == "currency":
        return isinstance(value, str) and len(value) == 3
    return isinstance(value, Mapping)  # cdr_token, cdr_location


_RULES: Final = {
    **{name: f"must be a text of at most {longest} printable ASCII characters" for name, longest in TEXT_MAX.items()},
    **dict.fromkeys(
        ("start_date_time", "end_date_time", "last_updated"), "must be a time in UTC, such as 2026-11-24T22:30:00Z"
    ),
    **dict.fromkeys(("total_energy", "total_time"), "must be a number, 0 or more"),
    "total_cost": "must be an object with excl_vat and, where it is known, incl_vat",
    "charging_periods": "must be periods with start_date_time and dimensions of type and volume, one at least",
    "auth_method": "must be one of: " + ", ".join(AUTH_METHODS),
    "currency": "must be a code of three letters",
    **dict.fromkeys(("cdr_token", "cdr_location"), "must be an object"),
}


def _is_period(value: Any) -> bool:
    if not isinstance(value, Mapping) or not _is_instant(value.get("start_date_time")):
        return False
    dimensions = value.get("dimensions")
    return (
        isinstance(dimensions, list)
        and len(dimensions) > 0
        and all(
            isinstance(each, Mapping) and isinstance(each.get("type"), str) and _is_number(each.get("volume"))
            for each in dimensions
        )
    )


def _is_instant(value: Any) -> bool:
    if not isinstance(value, str) or not _UTC.fullmatch(value):
        return False
    try:
        return EARLIEST_YEAR <= _instant(value).year <= LATEST_YEAR
    except ValueError:
        return False


def _instant(text: str) -> datetime:
    """Return the instant of an OCPI time: UTC, with a Z or without."""
    return datetime.fromisoformat(text.removesuffix("Z")).replace(tzinfo=UTC)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e9


def _number(value: Any) -> Decimal:
    """Return a JSON number exactly as it was written."""
    return Decimal(repr(value))


def _wh(kwh: Decimal) -> int:
    return int((kwh * WH_PER_KWH).quantize(Decimal(1), ROUND_HALF_UP))


def _period(value: Mapping[str, Any]) -> _Period:
    volumes = [_number(each["volume"]) for each in value["dimensions"] if each["type"] == ENERGY]
    return _Period(_instant(value["start_date_time"]), sum(volumes, Decimal(0)) if volumes else None)


def _check_periods(
    periods: Sequence[_Period], record: Mapping[str, Any], starts_at: datetime, ends_at: datetime
) -> None:
    """Refuse periods out of order or outside the record's time, and energy that is not the total's."""
    starts = [period.starts_at for period in periods]
    faults: list[Fault] = []
    if any(later <= earlier for earlier, later in pairwise(starts)):
        faults.append(Fault("charging_periods", len(periods), "must stand in order of time"))
    if starts[0] < starts_at or starts[-1] >= ends_at:
        faults.append(Fault("charging_periods", len(periods), "must lie between start and end"))
    energies = [period.energy_kwh for period in periods if period.energy_kwh is not None]
    if any(energy < 0 for energy in energies):
        faults.append(Fault("charging_periods", len(periods), "must not have negative energy"))
    total = _number(record["total_energy"])
    if energies and abs(sum(energies) - total) > PERIOD_TOLERANCE_KWH * len(energies):
        rule = f"must be the energy of the charging periods together: {sum(energies):f} kWh"
        faults.append(Fault("total_energy", str(total), rule))
    if faults:
        raise Rejected(*faults)


def _half_hours(periods: Sequence[_Period], ends_at: datetime, energy_wh: int) -> tuple[tuple[int, int], ...]:
    """Return (slot, Wh) where no period with energy crosses a half-hour; else nothing.

    What has flowed by the end of each period is rounded to a whole Wh, and the last one takes what is left of the
    record's energy: so they add up to it.
    """
    ends = [*(period.starts_at for period in periods[1:]), ends_at]
    found: dict[int, int] = {}
    flowed, before_wh = Decimal(0), 0
    for period, end in zip(periods, ends, strict=True):
        if period.energy_kwh is None:
            continue
        slot = slot_index(period.starts_at)
        if end > slot_start(slot + 1):
            return ()
        flowed += period.energy_kwh
        until_wh = min(_wh(flowed), energy_wh)
        found[slot] = found.get(slot, 0) + until_wh - before_wh
        before_wh = until_wh
    if found:
        found[max(found)] += energy_wh - before_wh
    return tuple(sorted(found.items()))


def _paid_pence(record: Mapping[str, Any]) -> int | None:
    cost = record["total_cost"].get("incl_vat")
    if cost is None or record["currency"] != "GBP":
        return None
    return int((_number(cost) * PENCE_PER_POUND).quantize(Decimal(1), ROUND_HALF_UP))
