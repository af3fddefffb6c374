"""One name for everything a plan was made from: same fingerprint, same plan.

A replan whose fingerprint is unchanged need not be solved or written again. The solver's version
is part of it, so that a change of method reaches every plan.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import astuple
from datetime import UTC

from service.planning.domain.household_week import HouseholdWeek, Trip, VehicleWeek
from service.planning.domain.path_kernel import SOLVER_VERSION


def fingerprint(week: HouseholdWeek) -> str:
    """Return the SHA-256, in hex, of the week's inputs as canonical JSON and the solver's version.

    The order in which vehicles and trips are given, and the offset in which an instant is
    written, do not matter.
    """
    inputs = {
        "solver": SOLVER_VERSION,
        "prices": week.prices.digest,
        "vehicles": [_vehicle(vehicle) for vehicle in week.in_order()],
        "swaps": week.swap_slots,
        "noons": week.noon_slots,
        "quiet": week.quiet_spans,
        "headroom": week.headroom_wh,
        "circuits": week.circuits_wh,
    }
    text = json.dumps(inputs, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _vehicle(vehicle: VehicleWeek) -> list[object]:
    return [
        vehicle.vehicle_id,
        vehicle.ordinal,
        vehicle.outlet_id,
        vehicle.battery_wh,
        vehicle.efficiency_permille,
        vehicle.cap_wh,
        vehicle.usable_until_slot,
        vehicle.ceiling_permille,
        vehicle.reserve_permille,
        vehicle.start_charge_wh,
        sorted(_trip(trip) for trip in vehicle.trips),
        [step.to_json() for step in vehicle.steps],
        vehicle.control.value,
        vehicle.start_loss_wh,
        vehicle.circuit_id,
        [list(astuple(option)) for option in vehicle.others],
        vehicle.taper_permille,
        vehicle.standby_w,
    ]


def _trip(trip: Trip) -> tuple[str, str, str, int, bool, int]:
    leaves, returns = trip.leaves_at.astimezone(UTC), trip.returns_at.astimezone(UTC)
    return leaves.isoformat(), returns.isoformat(), trip.key, trip.energy_wh, trip.is_important, trip.careful_wh
