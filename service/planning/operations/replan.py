"""Plan a few homes and store what changed: plan rows, pointers and events in one transaction.

Reading and solving happen outside the write transaction.  Inside it each home is looked at
again: one that changed meanwhile is left for the event of that change, and a newer plan is
never overwritten by an older one.
"""

import json
import logging
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Table, select

from service.common.errors import ServiceError
from service.common.ids import new_id
from service.common.slots import instant_at, local_of, slot_index
from service.households.models import Household
from service.infrastructure.db.sessions import FleetWriter
from service.infrastructure.outbox import Event
from service.planning.domain.events import PlanChanged
from service.planning.domain.home_week import HomeWeek
from service.planning.domain.packed_weeks import pack_home
from service.planning.domain.plan_document import (
    block_times,
    plan_document,
    schedule,
    total_cost_up,
    total_on_arrival_up,
    total_short_wh,
)
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.price_book import price_key
from service.planning.domain.week import plan_household
from service.planning.models import CurrentPlan, Plan, PlannerInputs
from service.planning.operations.gather import Prepared

log = logging.getLogger(__name__)
PLANS: Table = Plan.__table__  # type: ignore[assignment]
CURRENT: Table = CurrentPlan.__table__  # type: ignore[assignment]
EVENTS: Table = Event.__table__  # type: ignore[assignment]
INPUTS: Table = PlannerInputs.__table__  # type: ignore[assignment]
HOUSEHOLDS: Table = Household.__table__  # type: ignore[assignment]


@dataclass(frozen=True)
class Solved:
    """One home's answer: a new plan, or none where its terms are those of the plan in force.

    ``packed`` is the plan as a short row, None without one or where a row could not tell all.
    """

    prepared: Prepared
    plan: HouseholdPlan | None
    packed: bytes | None = None

    @property
    def week(self) -> HomeWeek:
        """Return the week that was solved."""
        return self.prepared.week


@dataclass(frozen=True)
class Stored:
    """What storing a batch did."""

    changed_count: int
    moved_count: int


@dataclass(frozen=True)
class Cause:
    """Why homes are replanned: the reason, the one occasion, and from when a tariff's new version counts."""

    reason: str
    occasion: str
    news_from_on: date | None = None


def solve(prepared: Sequence[Prepared]) -> list[Solved]:
    """Plan each home whose terms differ from its plan in force; a home that cannot be planned is left out."""
    solved = []
    for each in prepared:
        is_same = each.in_force is not None and each.in_force.terms_fingerprint == each.week.terms_fingerprint
        try:
            plan = None if is_same else plan_household(each.week.week)
            solved.append(Solved(each, plan, _packed(each.week, plan) if plan else None))
        except (ServiceError, ValueError):
            # One home's odd data must not stop the others; it keeps its old plan, and the chunk names it.
            log.exception("a home could not be planned", extra={"household": each.week.home.id})
    return solved


def store(fleet: FleetWriter, solved: Sequence[Solved], *, as_of_slot: int, cause: Cause, at: datetime) -> Stored:
    """Write new plans, move the pointers, and announce each home whose charging times moved."""
    stands = standing(fleet, [each.week.home.id for each in solved])
    plans, pointers, inputs, events = [], [], [], []
    for each in solved:
        home = each.week.home
        counter, pointed_slot, pointed_plan = stands.get(home.id, (None, None, None))
        if counter != home.change_counter or (pointed_slot is not None and pointed_slot > as_of_slot):
            continue
        if each.plan is None:
            assert each.prepared.in_force is not None  # only then is there nothing to plan
            if pointed_plan == each.prepared.in_force.plan_id:
                fleet.connection.execute(
                    CURRENT.update()
                    .where(CURRENT.c.scheme_id == fleet.scheme_id, CURRENT.c.id == home.id)
                    .values(change_counter=counter, as_of_slot=as_of_slot)
                )
                fleet.connection.execute(
                    INPUTS.update()
                    .where(INPUTS.c.scheme_id == fleet.scheme_id, INPUTS.c.id == home.id)
                    .values(price_key=price_key(home, each.week.local))
                )
            continue
        row = _plan_row(each, each.plan, at)
        plans.append(row)
        pointers.append(_pointer(each, each.plan, row["id"], as_of_slot, at))
        if each.packed is not None:
            inputs.append(_inputs_row(each, each.packed, row))
        if has_moved(each, each.plan, cause.news_from_on):
            event = PlanChanged(home.id, row["id"], cause.reason, cause.occasion)
            events.append(
                {
                    "id": new_id(),
                    "name": "PlanChanged",
                    "payload": asdict(event),
                    "happened_at": at,
                    "is_fanned_out": False,
                }
            )
    fleet.upsert(PLANS, plans, keys=["id"])
    fleet.upsert(CURRENT, pointers, keys=["id"])
    fleet.upsert(INPUTS, inputs, keys=["id"])
    fleet.insert(EVENTS, events)
    return Stored(len(plans), len(events))


def has_moved(solved: Solved, plan: HouseholdPlan, news_from_on: date | None = None) -> bool:
    """Tell whether charging times ahead differ from those of the plan in force.

    With a day from which a version's prices hold (``news_from_on``), only this counts: charging from that day
    on starts at a time of day at which it did not start before.  What else moved came with the new day.
    """
    old = solved.prepared.in_force
    if old is None:
        return False
    new = schedule(solved.week, plan)
    if news_from_on is None:
        view = (plan.first_slot, min(plan.end_slot, old.end_slot))
        return block_times(new, *view) != block_times(old.schedule, *view)
    zone = ZoneInfo(solved.week.home.zone)
    news_slot = slot_index(instant_at(news_from_on, 0, zone))
    # What the plan in force already had from that day on was looked at when it was made.
    known = _starts(old.schedule, old.first_slot, old.end_slot, zone) | _starts(new, plan.first_slot, news_slot, zone)
    return not _starts(new, news_slot, plan.end_slot, zone) <= known


def _starts(scheduled: Sequence[Any], first_slot: int, end_slot: int, zone: ZoneInfo) -> set[tuple[str, time]]:
    """Return (vehicle, local time of day) at which charging starts within a view; what began before it does not."""
    return {
        (vehicle["vehicle_id"], local_of(start, zone).time())
        for vehicle in scheduled
        for start, _energies in vehicle["blocks"]
        if first_slot <= start < end_slot
    }


def standing(fleet: FleetWriter, household_ids: Sequence[str]) -> dict[str, tuple[int, int | None, str | None]]:
    """Return, locked, each home's change counter and its pointer's half-hour and plan.

    A pointer made before the home last changed says nothing: its half-hour must not keep out the answer to the change.
    """
    counters = fleet.connection.execute(
        select(HOUSEHOLDS.c.id, HOUSEHOLDS.c.change_counter)
        .where(HOUSEHOLDS.c.scheme_id == fleet.scheme_id, HOUSEHOLDS.c.id.in_(household_ids))
        .order_by(HOUSEHOLDS.c.id)  # the same order in every batch, or two could wait for each other
        .with_for_update(key_share=True)
    ).all()
    # A statement of its own: on PostgreSQL one that waited for the lock still sees the pointers of before.
    rows = fleet.connection.execute(
        select(CURRENT.c.id, CURRENT.c.change_counter, CURRENT.c.as_of_slot, CURRENT.c.plan_id).where(
            CURRENT.c.scheme_id == fleet.scheme_id, CURRENT.c.id.in_(household_ids)
        )
    )
    counter_of = {row.id: row.change_counter for row in counters}
    pointers = {row[0]: (row[2] if row[1] == counter_of.get(row[0]) else None, row[3]) for row in rows}
    return {home_id: (counter, *pointers.get(home_id, (None, None))) for home_id, counter in counter_of.items()}


def _plan_row(solved: Solved, plan: HouseholdPlan, at: datetime) -> dict[str, Any]:
    week = solved.week
    inputs = week.input_fingerprint()
    # The id follows from the inputs: the same plan made again is the same row.
    plan_id = inputs[:32]
    return {
        "id": plan_id,
        "household_id": week.home.id,
        "input_fingerprint": inputs,
        "terms_fingerprint": week.terms_fingerprint,
        "computed_at": at,
        "first_slot": plan.first_slot,
        "end_slot": plan.end_slot,
        "schedule": schedule(week, plan),
        **shown(week, plan, plan_id=plan_id, at=at),
    }


def shown(week: HomeWeek, plan: HouseholdPlan, *, plan_id: str, at: datetime) -> dict[str, Any]:
    """Return what is shown of a plan: the document, the prices behind its chart, the working."""
    return {
        "document": plan_document(week, plan, plan_id=plan_id, computed_at=at),
        "prices": {"price_up": list(week.prices.week.price_up), "is_known": [int(k) for k in week.prices.week.known]},
        "working": [step for vehicle in plan.vehicles for step in _titled_steps(week, vehicle)],
    }


def _packed(week: HomeWeek, plan: HouseholdPlan) -> bytes | None:
    if len(week.cars) != 1:
        return None
    (car,) = week.cars
    return pack_home(
        week.week, plan, basis=car.estimate.basis, reading_slot=car.reading.slot if car.reading else None
    )


def _inputs_row(solved: Solved, packed: bytes, plan_row: dict[str, Any]) -> dict[str, Any]:
    week = solved.week
    (car,) = plan_row["schedule"]
    return {
        "id": week.home.id,
        "plan_id": plan_row["id"],
        "price_key": price_key(week.home, week.local),
        "prices_fingerprint": week.prices.fingerprint(),
        "car": json.dumps({name: value for name, value in car.items() if name not in ("start_wh", "basis", "blocks")}),
        "packed": packed,
    }


def _titled_steps(week: HomeWeek, vehicle: Any) -> list[dict[str, object]]:
    """Return a vehicle's working, each step under the car's name."""
    label = next(car.car.label for car in week.cars if car.car.id == vehicle.vehicle_id)
    return [{**step, "what": f"{label}: {step['what']}"} for step in vehicle.working.to_json()]


def _pointer(solved: Solved, plan: HouseholdPlan, plan_id: str, as_of_slot: int, at: datetime) -> dict[str, Any]:
    return {
        "id": solved.week.home.id,
        "plan_id": plan_id,
        "change_counter": solved.week.home.change_counter,
        "as_of_slot": as_of_slot,
        "planned_at": at,
        "day_slot": solved.week.local.day_slot,
        "energy_wh": sum(vehicle.energy_wh for vehicle in plan.vehicles),
        "cost_up": total_cost_up(plan),
        "on_arrival_cost_up": total_on_arrival_up(plan),
        "short_wh": total_short_wh(plan),
    }
