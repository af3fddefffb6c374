"""A car's plan as a charging profile of OCPP 1.6 and 2.0.1: the open protocol that charging points take limits in.

The profile is absolute, starts at a UTC instant and has neither duration nor end: its last period, 0 A, holds until
another profile takes its place, so nothing is ever charged past the plan.  A daily profile would repeat every 24 hours
and be an hour off after a clock change.  ``numberPhases`` is always there: left out it means three.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, Final

from service.common.slots import slot_start
from service.planning.domain.outlet_schedule import PROFILE_VERSIONS, OutletSchedule, limit_periods

PERIODS_MAX: Final = 1_024
"""OCPP 2.0.1, ChargingScheduleType: the most periods of one schedule; 1.6 leaves it to the charging point."""
CONNECTOR: Final = 1
"""The first connector of a charging point; 0 would be all of it."""
PURPOSE: Final = "TxDefaultProfile"
"""Limits every charge that begins or goes on there, whoever starts it."""


def charging_profile(schedule: OutletSchedule, version: str) -> bytes:
    """Return the request that sets a plan as a charging profile, as JSON.

    Raises
    ------
    ValueError
        For a version other than "1.6" and "2.0.1", or more periods than the protocol takes.
    """
    build = _BUILD.get(version)
    if build is None:
        raise ValueError(f"no profile is written for OCPP {version}")
    return json.dumps(build(schedule), indent=2).encode()


def _request_16(schedule: OutletSchedule) -> dict[str, Any]:
    profile = {"chargingProfileId": _number(schedule), **_common(), "chargingSchedule": _schedule(schedule)}
    return {"connectorId": CONNECTOR, "csChargingProfiles": profile}


def _request_201(schedule: OutletSchedule) -> dict[str, Any]:
    profile = {"id": _number(schedule), **_common(), "chargingSchedule": [{"id": 1, **_schedule(schedule)}]}
    return {"evseId": CONNECTOR, "chargingProfile": profile}


def _common() -> dict[str, Any]:
    return {"stackLevel": 0, "chargingProfilePurpose": PURPOSE, "chargingProfileKind": "Absolute"}


def _schedule(schedule: OutletSchedule) -> dict[str, Any]:
    periods = limit_periods(schedule)
    if len(periods) > PERIODS_MAX:
        raise ValueError(f"a schedule has {PERIODS_MAX} periods at most")
    return {
        "startSchedule": f"{slot_start(schedule.first_slot):%Y-%m-%dT%H:%M:%SZ}",
        "chargingRateUnit": "A",
        "chargingSchedulePeriod": [
            # One decimal: its shortest text as a JSON number is that decimal.
            {"startPeriod": each.start_s, "limit": float(each.limit_a), "numberPhases": schedule.phases}
            for each in periods
        ],
    }


def _number(schedule: OutletSchedule) -> int:
    """Return a number that follows from the plan and fits 31 bits; the same plan gives the same profile."""
    return int(schedule.plan_id[:7], 16)


_BUILD: Final[Mapping[str, Callable[[OutletSchedule], dict[str, Any]]]] = dict(
    zip(PROFILE_VERSIONS, (_request_16, _request_201), strict=True)
)
