"""What plans had cars draw in half-hours that are over, as far as such plans are kept."""

from __future__ import annotations

from sqlalchemy import select

from service.common.slots import slot_index
from service.households.operations.homes import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import Plan


def planned_energy(session: SchemeSession, household_id: str, first_slot: int, end_slot: int) -> dict[int, int]:
    """Return what all cars of a home were to draw in each half-hour of [first_slot, end_slot), at the wall [Wh].

    Of each half-hour the plan counts that was newest when it began. Half-hours of which no plan is kept are not among
    the results; after the home's last stop a plan from before it plans nothing.
    """
    stopped_at = get_household(session, household_id).stopped_at
    rows = session.execute(
        select(Plan.first_slot, Plan.end_slot, Plan.computed_at, Plan.schedule)
        .where(Plan.household_id == household_id, Plan.first_slot < end_slot, Plan.end_slot > first_slot)
        .order_by(Plan.first_slot, Plan.computed_at, Plan.id)
    )
    found: dict[int, int] = {}
    for plan_first, plan_end, computed_at, schedule in rows:
        is_stopped = stopped_at is not None and computed_at < stopped_at
        stop = slot_index(stopped_at) if stopped_at is not None and is_stopped else plan_end
        drawn: dict[int, int] = {}
        for vehicle in schedule:
            for first, energies in vehicle["blocks"]:
                for step, energy_wh in enumerate(energies):
                    drawn[first + step] = drawn.get(first + step, 0) + energy_wh
        for slot in range(max(plan_first, first_slot), min(plan_end, end_slot)):
            found[slot] = drawn.get(slot, 0) if slot < stop else 0
    return found
