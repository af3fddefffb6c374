"""Plan very many homes at new prices from their short rows: read, solved in compiled passes, stored brief.

What a row does not tell, or no longer does, is left to the usual way: those homes become ordinary chunks of the same
run, in the same transaction that stores the others.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from sqlalchemy import Executable, Table, Update, bindparam, func, select, update
from sqlalchemy.dialects import postgresql, sqlite

from service.common.ids import new_id
from service.common.slots import slot_start
from service.households.models import Household
from service.households.operations.planning_inputs import load_homes
from service.infrastructure.claims import Claim
from service.infrastructure.db.sessions import FleetWriter, SchemeSession
from service.infrastructure.failpoints import failpoint
from service.infrastructure.tasks import JobContext
from service.planning.domain.events import PlanChanged
from service.planning.domain.packed_weeks import (
    PackedPlans,
    can_be_planned,
    chosen,
    packed_homes,
    plan_packed,
    schedule_of,
    ways_set,
)
from service.planning.domain.price_book import HomePrices, LocalWeek, PriceBook, price_key
from service.planning.domain.state_of_charge import READING_LASTS_SLOTS
from service.planning.models import CurrentPlan, PlannerInputs
from service.planning.operations.chunks import CHUNKS, RUNS, Work, close_chunk, lock_run, open_chunk
from service.planning.operations.gather import load_home_terms
from service.planning.operations.replan import CURRENT, EVENTS, INPUTS, PLANS, Stored, standing

IDS_A_STATEMENT = 1_000
HOMES_A_WRITE = 1_000
"""Homes in one statement: few enough that the rows of all the others are not alive meanwhile."""
_ROWS = (
    select(
        PlannerInputs.id,
        PlannerInputs.plan_id,
        PlannerInputs.price_key,
        PlannerInputs.prices_fingerprint,
        PlannerInputs.car,
        PlannerInputs.packed,
        Household.change_counter,
    )
    .join(CurrentPlan, (CurrentPlan.id == PlannerInputs.id) & (CurrentPlan.scheme_id == PlannerInputs.scheme_id))
    .join(Household, (Household.id == PlannerInputs.id) & (Household.scheme_id == PlannerInputs.scheme_id))
    .where(
        PlannerInputs.id.in_(bindparam("ids", expanding=True)),
        CurrentPlan.plan_id == PlannerInputs.plan_id,
        CurrentPlan.change_counter == Household.change_counter,
    )
)


@dataclass(frozen=True, slots=True)
class PackedRow:
    """A home's short row, and the state of the home that it holds for."""

    home_id: str
    plan_id: str
    price_key: str
    prices_fingerprint: str
    car: str
    packed: bytes
    change_counter: int


@dataclass(frozen=True)
class KeyPrices:
    """What homes with one key pay over their week, and the half-hour of the midnight that it counts from."""

    prices: HomePrices
    day_slot: int


@dataclass(frozen=True)
class PackedChunk:
    """The rows that were found, and the prices of each key."""

    rows: Sequence[PackedRow]
    prices: dict[str, KeyPrices]


@dataclass(frozen=True, slots=True)
class NewPlan:
    """One home's new plan as values of the rows that say so, in the order of the column names below."""

    plan: tuple[Any, ...]
    pointer: tuple[Any, ...]
    inputs: tuple[Any, ...]
    event: tuple[Any, ...] | None


@dataclass(frozen=True, slots=True)
class Answer:
    """A home that was looked at: its new plan, or None where the one it has still holds."""

    row: PackedRow
    new: NewPlan | None


def run_fleet_chunk(context: JobContext, claim: Claim) -> Stored:
    """Plan a claimed chunk's homes and store the result together with the chunk's end."""
    with context.database.scheme(claim.scheme_id, write=False) as session:
        work = open_chunk(session, claim, context.clock.now())
        chunk = read_rows(session, work)
    answers = solve_rows(chunk, work)
    failpoint("chunk.planned")
    with context.database.fleet(claim.scheme_id) as fleet:
        stored, done = store_answers(fleet, answers, work)
        left = sorted(set(work.household_ids) - done)
        _leave_to_others(fleet, work, left, context.settings.chunk_size)
        close_chunk(
            fleet.connection, claim, work, stored, context.clock.now(),
            household_count=len(work.household_ids) - len(left),
        )  # fmt: skip
        failpoint("chunk.before_commit")
    failpoint("chunk.committed")
    return stored


def read_rows(session: SchemeSession, work: Work) -> PackedChunk:
    """Return the rows of a chunk's homes that hold, with their prices."""
    if work.cause.news_from_on is not None:
        return PackedChunk((), {})  # what counts as moved is then judged against whole schedules
    rows: list[PackedRow] = []
    for start in range(0, len(work.household_ids), IDS_A_STATEMENT):
        ids = list(work.household_ids[start : start + IDS_A_STATEMENT])
        rows += [PackedRow(*row) for row in session.execute(_ROWS, {"ids": ids})]
    return PackedChunk(rows, _prices(session, rows, work.as_of_slot))


def solve_rows(chunk: PackedChunk, work: Work) -> list[Answer]:
    """Plan every home whose row still tells all, in groups that share prices and a way of being set."""
    groups: dict[str, list[PackedRow]] = {}
    for row in chunk.rows:
        groups.setdefault(row.price_key, []).append(row)
    answers: list[Answer] = []
    for key, rows in groups.items():
        priced = chunk.prices.get(key)
        if priced is None:
            continue
        fingerprint = priced.prices.fingerprint()
        homes = packed_homes([row.packed for row in rows])
        is_told = can_be_planned(homes, work.as_of_slot, priced.prices.week.end_slot)
        is_same = np.array([row.prices_fingerprint == fingerprint for row in rows])
        answers += [Answer(rows[place], None) for place in np.flatnonzero(is_told & is_same).tolist()]
        ways = ways_set(homes)
        for way in np.unique(ways[is_told & ~is_same]).tolist():
            places = np.flatnonzero(is_told & ~is_same & (ways == way)).tolist()
            plans = plan_packed(priced.prices.week, chosen(homes, places))
            answers += _answers([rows[place] for place in places], plans, priced, work)
    answers.sort(key=lambda answer: answer.row.home_id)  # neighbours in the tables are written together
    return answers


def store_answers(fleet: FleetWriter, answers: Sequence[Answer], work: Work) -> tuple[Stored, set[str]]:
    """Write new plans, move the pointers, and announce each home whose charging times moved.

    Each home is looked at again first, as in ``replan.store``. Returns what was stored, and the homes dealt with; one
    that changed meanwhile, or has another plan by now, is not.
    """
    done: set[str] = set()
    changed = moved = 0
    made_at = fleet.as_driver(PLANS.c.computed_at, work.created_at)
    for start in range(0, len(answers), HOMES_A_WRITE):
        part = answers[start : start + HOMES_A_WRITE]
        stands = standing(fleet, [answer.row.home_id for answer in part])
        held = [answer for answer in part if _still_holds(answer.row, stands, work.as_of_slot)]
        done.update(answer.row.home_id for answer in held)
        same = [(work.as_of_slot, answer.row.home_id) for answer in held if answer.new is None]
        fleet.run_plain(_updated(CURRENT, ("as_of_slot",)), ("as_of_slot", "its_id"), same)
        plans = [answer.new for answer in held if answer.new is not None]
        events = [plan.event for plan in plans if plan.event is not None]
        at = (made_at,)
        fleet.run_plain(_inserted(fleet, PLANS, _PLAN), _PLAN, [plan.plan + at for plan in plans])
        fleet.run_plain(_updated(CURRENT, _POINTER), (*_POINTER, "its_id"), [at + plan.pointer for plan in plans])
        fleet.run_plain(_updated(INPUTS, _INPUTS), (*_INPUTS, "its_id"), [plan.inputs for plan in plans])
        fleet.run_plain(_inserted(fleet, EVENTS, _EVENT), _EVENT, [event + at for event in events])
        changed, moved = changed + len(plans), moved + len(events)
    return Stored(changed, moved), done


_PLAN = (
    "id", "household_id", "input_fingerprint", "terms_fingerprint", "first_slot", "end_slot", "schedule", "computed_at",
)  # fmt: skip
_POINTER = (
    "planned_at", "plan_id", "as_of_slot", "day_slot", "energy_wh", "cost_up", "on_arrival_cost_up", "short_wh",
)  # fmt: skip
_INPUTS = ("plan_id", "prices_fingerprint", "packed")
_EVENT = ("id", "name", "payload", "is_fanned_out", "happened_at")


def _answers(rows: Sequence[PackedRow], plans: PackedPlans, priced: KeyPrices, work: Work) -> Iterator[Answer]:
    fingerprint, day_slot, cause = priced.prices.fingerprint(), priced.day_slot, work.cause
    # Never equal to the terms of a plan made the usual way: the next one made so is made anew.
    terms = f"brief:{fingerprint}"
    totals = zip(
        plans.energy_wh.tolist(), plans.cost_up.tolist(), plans.unpriced_wh.tolist(), plans.on_arrival_up.tolist(),
        plans.on_arrival_unpriced_wh.tolist(), plans.short_wh.tolist(), plans.has_moved.tolist(), strict=True,
    )  # fmt: skip
    words = plans.homes.words.astype("<i4")
    ends = plans.homes.offset.tolist()
    for place, (energy, cost, unpriced, arrival, arrival_unpriced, short, has_moved) in enumerate(totals):
        row, packed = rows[place], words[ends[place] : ends[place + 1]]
        stored = packed.tobytes()
        said = schedule_of(packed)
        # The id follows from the inputs: the same plan made again is the same row. It begins as the home's does, so
        # that plans of neighbours are neighbours too: a million in any other order are a million pages.
        inputs = hashlib.sha256(f"{row.home_id}/{fingerprint}/".encode() + stored).hexdigest()
        plan_id = row.home_id[:8] + inputs[:24]
        if unpriced:
            cost = arrival = None
        elif arrival_unpriced:
            arrival = None
        scheduled = (
            f'[{row.car[:-1]}, "start_wh": {said.start_wh}, "basis": "{said.basis.value}", "blocks": {said.blocks}}}]'
        )
        event = None
        if has_moved:
            payload = vars(PlanChanged(row.home_id, plan_id, cause.reason, cause.occasion))
            event = (row.home_id[:8] + new_id()[8:], "PlanChanged", json.dumps(payload), False)
        yield Answer(
            row,
            NewPlan(
                (plan_id, row.home_id, inputs, terms, said.first_slot, said.end_slot, scheduled),
                (plan_id, said.first_slot, day_slot, energy, cost, arrival, short, row.home_id),
                (plan_id, fingerprint, stored, row.home_id),
                event,
            ),
        )


def _inserted(fleet: FleetWriter, table: Table, columns: Sequence[str]) -> Executable:
    """Return the statement that adds rows; one that is there already stays."""
    dialect = postgresql if fleet.connection.dialect.name == "postgresql" else sqlite
    statement = dialect.insert(table)
    return statement.values(
        {table.c.scheme_id: bindparam("scheme"), **{table.c[name]: bindparam(name) for name in columns}}
    ).on_conflict_do_nothing(index_elements=["scheme_id", "id"])


def _updated(table: Table, columns: Sequence[str]) -> Update:
    """Return the statement that sets some columns of the row with an id."""
    return (
        update(table)
        .where(table.c.scheme_id == bindparam("scheme"), table.c.id == bindparam("its_id"))
        .values({name: bindparam(name) for name in columns})
    )


def _prices(session: SchemeSession, rows: Sequence[PackedRow], as_of_slot: int) -> dict[str, KeyPrices]:
    """Return the prices of each key, as one of its homes pays them."""
    homes = {row.price_key: row.home_id for row in rows}
    loaded = load_homes(session, sorted(homes.values()), from_at=slot_start(as_of_slot - READING_LASTS_SLOTS))
    book = PriceBook(load_home_terms(session, loaded, as_of_slot), as_of_slot)
    found: dict[str, KeyPrices] = {}
    for home in loaded:
        zone = ZoneInfo(home.zone)
        week = LocalWeek.at(as_of_slot, zone)
        key = price_key(home, week)
        if key in homes:  # on another local day than the rows' it is another key, and they are not used
            found[key] = KeyPrices(book.for_home(home, zone), week.day_slot)
    return found


def _still_holds(row: PackedRow, stands: dict[str, tuple[int, int | None, str | None]], as_of_slot: int) -> bool:
    counter, pointed_slot, pointed_plan = stands.get(row.home_id, (None, None, None))
    is_older = pointed_slot is not None and pointed_slot <= as_of_slot
    return counter == row.change_counter and pointed_plan == row.plan_id and is_older


def _leave_to_others(fleet: FleetWriter, work: Work, household_ids: Sequence[str], size: int) -> None:
    """Make ordinary chunks of the homes that were not dealt with."""
    if not household_ids:
        return
    scheme_id, connection = fleet.scheme_id, fleet.connection
    lock_run(connection, scheme_id, work.run_id)  # two chunks that end at once would number theirs alike
    last = connection.execute(
        select(func.max(CHUNKS.c.position)).where(CHUNKS.c.scheme_id == scheme_id, CHUNKS.c.run_id == work.run_id)
    ).scalar_one()
    parts = [list(household_ids[start : start + size]) for start in range(0, len(household_ids), size)]
    fleet.insert(
        CHUNKS,
        [
            {"run_id": work.run_id, "position": last + 1 + ahead, "household_ids": part, "household_count": len(part)}
            for ahead, part in enumerate(parts)
        ],
    )
    connection.execute(
        update(RUNS)
        .where(RUNS.c.scheme_id == scheme_id, RUNS.c.id == work.run_id)
        .values(chunk_count=RUNS.c.chunk_count + len(parts))
    )
