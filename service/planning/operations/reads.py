"""Answers from what is stored: the plan in force, its week, its working, runs and their progress."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import bindparam, case, func, select

from service.common.errors import NotFound
from service.common.money import format_pence
from service.common.slots import local_day_slots, local_of, slot_start
from service.common.units import WH_PER_KWH
from service.households.models import Household
from service.households.operations.homes import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.older_documents import completed
from service.planning.domain.stopped import stopped_step, without_charging
from service.planning.models import CurrentPlan, Plan, ReplanChunk, ReplanRun
from service.planning.operations.gather import prepare_homes
from service.planning.operations.replan import shown, solve


class NoPlanYet(NotFound):
    """The home has no plan: it was just made, or something it needs is missing."""

    title = "No plan yet"


@dataclass(frozen=True)
class ShownPlan:
    """What the plan in force shows, and whether the home has changed since it was made.

    ``stopped_at`` is set while charging was stopped after the plan was made: the document then has no block.
    """

    plan_id: str
    document: dict[str, Any]
    is_current: bool
    stopped_at: datetime | None


# When the newest stop was, if the plan in force is from before it.
_STOPPED_AT = case((CurrentPlan.change_counter < Household.stopped_at_change, Household.stopped_at))
_SHOWN = (
    select(Household.change_counter, CurrentPlan.change_counter, Plan.id, Plan.document, _STOPPED_AT)
    .outerjoin(CurrentPlan, (CurrentPlan.id == Household.id) & (CurrentPlan.scheme_id == Household.scheme_id))
    .outerjoin(Plan, (Plan.id == CurrentPlan.plan_id) & (Plan.scheme_id == CurrentPlan.scheme_id))
    .where(Household.id == bindparam("household_id"))
)
NO_PLAN = "The first plan is being worked out. If this stays, the home may lack a car, a routine or a tariff."


def get_shown_plan(session: SchemeSession, household_id: str) -> ShownPlan:
    """Return what the plan in force shows: one statement, nothing computed unless the plan is stored brief.

    Raises
    ------
    NotFound, NoPlanYet
        If there is no such household, or it has no plan so far.
    """
    found = session.execute(_SHOWN, {"household_id": household_id}).first()
    if found is None:
        raise NotFound("No such household.")
    home_counter, plan_counter, plan_id, document, stopped_at = found
    if plan_id is None:
        raise NoPlanYet(NO_PLAN)
    if document is None:
        document = get_plan(session, household_id)[0].document or {}
    whole = completed(document)
    to_show = without_charging(whole) if stopped_at else whole
    return ShownPlan(plan_id, to_show, home_counter == plan_counter, stopped_at)


def get_plan(session: SchemeSession, household_id: str) -> tuple[Plan, datetime | None]:
    """Return the plan in force, and when charging was stopped since it was made, or None.

    What is shown of a plan stored brief is worked out here and kept nowhere. Plan and stop are read by one statement:
    a stop and the plan after it must not fall between reading the one and the other.

    Raises
    ------
    NotFound, NoPlanYet
        If there is no such household, or it has no plan so far.
    """
    get_household(session, household_id)
    found = session.execute(
        select(Plan, _STOPPED_AT)
        .join(CurrentPlan, (CurrentPlan.plan_id == Plan.id) & (CurrentPlan.scheme_id == Plan.scheme_id))
        .join(Household, (Household.id == CurrentPlan.id) & (Household.scheme_id == CurrentPlan.scheme_id))
        .where(CurrentPlan.id == household_id)
    ).first()
    if found is None:
        raise NoPlanYet(NO_PLAN)
    plan, stopped_at = found
    return (plan if plan.document is not None else _in_full(session, plan)), stopped_at


def _in_full(session: SchemeSession, plan: Plan) -> Plan:
    """Return a brief plan with what is shown of it: the home planned once more from the plan's own start.

    The best plan is the only one, so this is the plan that was stored; a home that changed since is shown as it is
    planned now, until the run for its change is through.
    """
    solved = solve(prepare_homes(session, [plan.household_id], as_of_slot=plan.first_slot))
    if not solved or solved[0].plan is None:
        raise NoPlanYet(NO_PLAN)
    session.expunge(plan)  # what is added here is for the reader alone
    for name, value in shown(solved[0].week, solved[0].plan, plan_id=plan.id, at=plan.computed_at).items():
        setattr(plan, name, value)
    return plan


def current_document(session: SchemeSession, household_id: str) -> dict[str, Any] | None:
    """Return what the plan in force shows, or None where there is none."""
    try:
        return get_shown_plan(session, household_id).document
    except NotFound:
        return None


def get_week(session: SchemeSession, household_id: str) -> dict[str, Any]:
    """Return the half-hours of the plan in force, without charging while that is stopped.

    Raises
    ------
    NotFound, NoPlanYet
        If there is no such household, or it has no plan so far.
    """
    plan, stopped_at = get_plan(session, household_id)
    return week_of(plan, is_stopped=stopped_at is not None)


def get_working(session: SchemeSession, household_id: str) -> list[dict[str, Any]]:
    """Return the steps behind the plan in force, or why it is not shown; raises as ``get_week``."""
    plan, stopped_at = get_plan(session, household_id)
    return [stopped_step(stopped_at).to_json()] if stopped_at else plan.working or []


def week_of(plan: Plan, *, is_stopped: bool = False) -> dict[str, Any]:
    """Return a plan's half-hours for the chart: prices, what each vehicle draws, and where days begin.

    ``is_stopped``: no vehicle draws anything any more.
    """
    document, prices = plan.document, plan.prices
    assert document is not None  # as get_plan returns it
    assert prices is not None
    zone = ZoneInfo(document["zone"])
    count = plan.end_slot - plan.first_slot
    return {
        "zone": document["zone"],
        "starts_at": slot_start(plan.first_slot),
        "is_stopped": is_stopped,
        "count": count,
        "days": _days(plan.first_slot, plan.end_slot, zone),
        "price_pence_per_kwh": [format_pence(price) for price in prices["price_up"]],
        "is_price_known": [bool(known) for known in prices["is_known"]],
        "vehicles": [
            {
                "vehicle_id": vehicle["vehicle_id"],
                "label": vehicle["label"],
                "energy_kwh": _drawn([] if is_stopped else scheduled["blocks"], plan.first_slot, count),
            }
            for vehicle, scheduled in zip(document["vehicles"], plan.schedule, strict=True)
        ],
    }


def _days(first_slot: int, end_slot: int, zone: ZoneInfo) -> list[dict[str, Any]]:
    days = []
    day = local_of(first_slot, zone).date()
    while (slots := local_day_slots(day, zone)).start < end_slot:
        first, end = max(slots.start, first_slot), min(slots.stop, end_slot)
        days.append({"on": day, "first": first - first_slot, "count": end - first})
        day += timedelta(days=1)
    return days


def _drawn(blocks: Sequence[Any], first_slot: int, count: int) -> list[float]:
    drawn = [0.0] * count
    for first, energies in blocks:
        for step, energy_wh in enumerate(energies):
            drawn[first + step - first_slot] = energy_wh / WH_PER_KWH
    return drawn


@dataclass(frozen=True)
class Totals:
    """The week's totals of one home, as an administrator may see them; no energy and no cost while it is stopped."""

    energy_wh: int
    cost_up: int | None
    on_arrival_cost_up: int | None
    short_wh: int
    planned_at: datetime


def find_totals(session: SchemeSession, household_id: str) -> Totals | None:
    """Return the totals of the plan in force, or None where there is none."""
    get_household(session, household_id)
    row = session.execute(
        select(
            CurrentPlan.energy_wh,
            CurrentPlan.cost_up,
            CurrentPlan.on_arrival_cost_up,
            CurrentPlan.short_wh,
            CurrentPlan.planned_at,
            _STOPPED_AT,
        )
        .join(Household, (Household.id == CurrentPlan.id) & (Household.scheme_id == CurrentPlan.scheme_id))
        .where(CurrentPlan.id == household_id)
    ).first()
    if row is None:
        return None
    totals = Totals(*row[:-1])
    return replace(totals, energy_wh=0, cost_up=None, on_arrival_cost_up=None) if row[-1] else totals


@dataclass(frozen=True)
class RunProgress:
    """A run and how far it is."""

    run: ReplanRun
    chunks_done: int
    done_count: int
    changed_count: int
    moved_count: int


def _progress(session: SchemeSession, runs: Sequence[ReplanRun]) -> list[RunProgress]:
    is_done = ReplanChunk.status.in_(("done", "given_up"))
    rows = session.execute(
        select(
            ReplanChunk.run_id,
            func.count(),
            func.sum(ReplanChunk.household_count),
            func.sum(ReplanChunk.changed_count),
            func.sum(ReplanChunk.moved_count),
        )
        .where(ReplanChunk.run_id.in_([run.id for run in runs]), is_done)
        .group_by(ReplanChunk.run_id)
    )
    counts = {row[0]: tuple(int(count) for count in row[1:]) for row in rows}
    return [RunProgress(run, *counts.get(run.id, (0, 0, 0, 0))) for run in runs]


def get_run(session: SchemeSession, run_id: str) -> RunProgress:
    """Return one run's progress; raises NotFound."""
    run = session.scalar(select(ReplanRun).where(ReplanRun.id == run_id))
    if run is None:
        raise NotFound("No such run.")
    return _progress(session, [run])[0]


def list_runs(
    session: SchemeSession, *, version_id: str | None, first: int, limit: int
) -> tuple[list[RunProgress], int]:
    """Return runs, newest first, and how many there are; single homes' own changes are not listed."""
    wanted = select(ReplanRun).where(ReplanRun.reason != "household_change")
    if version_id:
        wanted = wanted.where(ReplanRun.version_id == version_id)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    runs = session.scalars(wanted.order_by(ReplanRun.created_at.desc(), ReplanRun.id).offset(first).limit(limit))
    return _progress(session, list(runs)), total
