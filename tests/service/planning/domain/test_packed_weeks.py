"""Packed homes against the planner itself: the same bounds and the same plan at any later half-hour of the day."""

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
import pytest

from service.common.slots import slot_index
from service.planning.domain.car_programmes import CarProgramme
from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption, week_prices
from service.planning.domain.packed_weeks import (
    PackedPlans,
    can_be_planned,
    carried_forward,
    chosen,
    pack_home,
    packed_homes,
    plan_packed,
    schedule_of,
    ways_set,
)
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.state_of_charge import ChargeBasis, ChargeReading, carry_forward
from service.planning.domain.week import plan_household
from tests.prove.random_weeks import random_week

WEEKS = 120


@dataclass(frozen=True)
class Later:
    """A home planned, and the same home some half-hours later at other prices."""

    row: bytes
    plan: HouseholdPlan
    week: HouseholdWeek
    basis: ChargeBasis

    @property
    def as_of_slot(self) -> int:
        return self.week.prices.first_slot


def later_home(rng: np.random.Generator, *, ahead: int | None = None) -> Later | None:
    """Return a random home now and later, or None where such a home is not packed."""
    week = random_week(rng).week
    (vehicle,) = week.vehicles
    control = Control.ONE_RUN if rng.random() < 0.5 else Control.FREE
    loss = int(rng.integers(0, vehicle.cap_wh + 1)) if rng.random() < 0.3 else 0
    taper = int(rng.integers(600, 1001)) if rng.random() < 0.3 else None
    first = week.prices.first_slot
    noons = tuple(range(first + int(rng.integers(1, 48)), week.prices.end_slot, 48))
    quiet = tuple((slot, slot + 5) for slot in range(first + 7, week.prices.end_slot - 5, 48))
    known = bool(rng.random() > 0.1)
    vehicle = replace(vehicle, control=control, start_loss_wh=loss, taper_permille=taper)
    if not known:
        vehicle = replace(vehicle, start_charge_wh=vehicle.reserve_wh)
    week = replace(week, vehicles=(vehicle,), noon_slots=noons, quiet_spans=quiet if rng.random() < 0.3 else ())
    plan = plan_household(week)
    basis = ChargeBasis.READ if known else ChargeBasis.NOT_KNOWN
    row = pack_home(week, plan, basis=basis, reading_slot=first - 1 if known else None)
    if row is None:
        return None
    steps = int(rng.integers(0, 47)) if ahead is None else ahead
    return Later(row, plan, *_later_week(rng, week, plan, steps, known))


def _later_week(
    rng: np.random.Generator, week: HouseholdWeek, plan: HouseholdPlan, steps: int, known: bool
) -> tuple[HouseholdWeek, ChargeBasis]:
    """Return the week as the planner would be asked for it later, from the rules as they are written for it."""
    (vehicle,) = week.vehicles
    first = week.prices.first_slot + steps
    charged = [
        (slot, wall_wh * vehicle.efficiency_permille // 1000)
        for block in plan.vehicles[0].blocks
        for slot, wall_wh in enumerate(block.energy_wh, start=block.first_slot)
    ]
    start = ChargeReading(vehicle.start_charge_wh, week.prices.first_slot, is_plan_start=True) if known else None
    found = carry_forward(
        start,
        as_of_slot=first,
        used_wh=[(slot_index(trip.leaves_at), trip.energy_wh) for trip in vehicle.trips],
        charged_wh=charged,
        battery_wh=vehicle.battery_wh,
        reserve_wh=vehicle.reserve_wh,
    )
    price_up = np.array(week.prices.price_up)[steps:]
    if rng.random() < 0.8:
        price_up = np.rint(rng.normal(12, 12, len(price_up))).astype(np.int64) * 1_000_000
    prices = week_prices(first, price_up, np.array(week.prices.known)[steps:])
    trips = tuple(trip for trip in vehicle.trips if slot_index(trip.returns_at) >= first)
    later = replace(vehicle, start_charge_wh=found.charge_wh, trips=trips)
    return replace(week, prices=prices, vehicles=(later,)), found.basis


def test_a_row_asks_the_solver_for_what_the_planner_would_ask_later_that_day() -> None:
    rng = np.random.default_rng(20_261_129)
    seen: Counter[str] = Counter()
    for _ in range(WEEKS):
        home = later_home(rng)
        if home is None:
            continue
        rows = packed_homes([home.row])
        if not can_be_planned(rows, home.as_of_slot, home.week.prices.end_slot)[0]:
            continue
        now, batch, nights = carried_forward(rows, home.as_of_slot)
        (vehicle,) = home.week.vehicles
        path = CarProgramme.of(home.week, vehicle).alone(vehicle.options[0])
        assert batch.lower_wh.tolist() == path.lower_wh
        assert batch.upper_wh.tolist() == path.upper_wh
        assert np.diff(batch.window_offset).tolist() == [len(group) for group in path.windows]
        columns = (batch.window_first.tolist(), batch.window_end.tolist(), batch.window_cap_wh.tolist())
        assert list(zip(*columns, strict=True)) == [window for group in path.windows for window in group]
        if path.nights is not None:
            own = [night for group in path.nights for night in group]
            assert (np.diff(nights) > 0).tolist() == (np.diff(own) > 0).tolist()
        said = schedule_of(now.row(0))
        assert (said.first_slot, said.start_wh, said.basis) == (home.as_of_slot, vehicle.start_charge_wh, home.basis)
        seen["homes"] += 1
        seen["departed"] += bool(home.plan.vehicles[0].stays[0].end_slot < home.as_of_slot)
        seen["charged"] += any(start < home.as_of_slot for start, _ in home.plan.vehicles[0].block_times())
        seen["one run"] += path.nights is not None
        seen[home.basis] += 1
    assert min(seen.values()) > 5, seen
    assert seen["homes"] > WEEKS // 2


def check_plan(found: PackedPlans, position: int, home: Later) -> bool:
    """Assert that a packed plan is what the planner makes of the home later; return whether its times moved."""
    expected = plan_household(home.week)
    (vehicle,) = expected.vehicles
    said = schedule_of(found.homes.row(position))
    assert said.blocks == [[block.first_slot, list(block.energy_wh)] for block in vehicle.blocks]
    assert said.end_slot == expected.end_slot
    assert found.energy_wh[position] == vehicle.energy_wh
    assert found.unpriced_wh[position] == vehicle.unpriced_wh
    assert found.cost_up[position] == vehicle.cost_up
    assert found.on_arrival_up[position] == vehicle.on_arrival_cost_up
    assert found.on_arrival_unpriced_wh[position] == vehicle.on_arrival_unpriced_wh
    assert found.short_wh[position] == sum(short.short_wh for short in vehicle.shortfalls)
    before = {
        (max(first, home.as_of_slot), end)
        for first, end in home.plan.vehicles[0].block_times()
        if end > home.as_of_slot
    }
    assert found.has_moved[position] == (before != set(vehicle.block_times()))
    return bool(found.has_moved[position])


def test_a_row_is_planned_as_the_planner_would_plan_the_home_later_that_day() -> None:
    rng = np.random.default_rng(7)
    moved = planned = short = 0
    for _ in range(WEEKS):
        home = later_home(rng)
        if home is None:
            continue
        rows = packed_homes([home.row])
        if can_be_planned(rows, home.as_of_slot, home.week.prices.end_slot)[0]:
            found = plan_packed(home.week.prices, rows)
            moved += check_plan(found, 0, home)
            planned += 1
            short += int(found.short_wh[0] > 0)
    assert planned > WEEKS // 2
    assert min(moved, planned - moved, short) > 20


def test_a_new_row_is_as_good_as_one_packed_from_the_new_plan() -> None:
    rng = np.random.default_rng(11)
    compared = 0
    for _ in range(WEEKS // 4):
        home = later_home(rng)
        if home is None:
            continue
        rows = packed_homes([home.row])
        if can_be_planned(rows, home.as_of_slot, home.week.prices.end_slot)[0]:
            new = plan_packed(home.week.prices, rows).homes
            afresh = pack_home(
                home.week,
                plan_household(home.week),
                basis=home.basis,
                reading_slot=None if home.basis is ChargeBasis.NOT_KNOWN else packed_reading(home.row),
            )
            assert afresh is not None
            old_row, new_row = packed_homes([afresh]).row(0), new.row(0)
            same = [position for position in range(len(old_row)) if old_row[position] != new_row[position]]
            assert len(old_row) == len(new_row)
            assert not [position for position in same if not is_night(old_row, position)]
            compared += 1
    assert compared > WEEKS // 10


def packed_reading(row: bytes) -> int:
    """Return the half-hour of the reading that a row stands on."""
    return int(packed_homes([row]).heads[0, 12]) - 14 * 48


def is_night(row: np.ndarray, position: int) -> bool:
    """Tell whether a word is the number of a night: only which are equal matters."""
    begin = 18 + row[15] * 7
    return begin <= position < begin + row[16] * 4 and (position - begin) % 4 == 3


def test_many_rows_together_are_planned_as_each_alone() -> None:
    rng = np.random.default_rng(3)
    homes: list[Later] = []
    while len(homes) < 30:
        home = later_home(rng, ahead=0)
        if home is None:
            continue
        if can_be_planned(packed_homes([home.row]), home.as_of_slot, home.week.prices.end_slot)[0]:
            homes.append(home)
    groups: dict[tuple[int, int, int], list[int]] = {}
    rows = packed_homes([home.row for home in homes])
    for position, (home, way) in enumerate(zip(homes, ways_set(rows).tolist(), strict=True)):
        groups.setdefault((way, home.as_of_slot, home.week.prices.end_slot), []).append(position)
    assert max(len(positions) for positions in groups.values()) > 2
    for positions in groups.values():
        prices = homes[positions[0]].week.prices
        together = plan_packed(prices, chosen(rows, positions))
        for place, position in enumerate(positions):
            alone = plan_packed(prices, packed_homes([homes[position].row]))
            assert together.homes.row(place).tolist() == alone.homes.row(0).tolist()
            assert together.cost_up[place] == alone.cost_up[0]


def test_rows_that_no_longer_tell_all_are_left_to_the_planner() -> None:
    rng = np.random.default_rng(5)
    home = None
    while home is None or home.week.vehicles[0].usable_until_slot < home.as_of_slot + 50:
        home = later_home(rng, ahead=0)
    rows, end = packed_homes([home.row]), home.week.prices.end_slot
    assert can_be_planned(rows, home.as_of_slot, end)[0]
    assert not can_be_planned(rows, home.as_of_slot - 1, end)[0]  # planned later than asked for
    assert not can_be_planned(rows, home.as_of_slot, end + 48)[0]  # another local day
    assert not can_be_planned(rows, home.week.vehicles[0].usable_until_slot, end)[0]  # the evidence has ended
    other = rows.words.copy()
    other[0] += 1
    assert not can_be_planned(replace(rows, words=other), home.as_of_slot, end)[0]  # another layout


@pytest.mark.parametrize("change", ["two cars", "two outlets", "a supply that binds", "a reading after the start"])
def test_what_is_shared_or_read_since_is_not_packed(change: str) -> None:
    rng = np.random.default_rng(9)
    while True:
        week = random_week(rng, vehicles=2 if change == "two cars" else 1).week
        if all(vehicle.has_outlet for vehicle in week.vehicles):
            break
    reading_slot = None
    if change == "two outlets":
        other = OutletOption("another", 1150, week.prices.end_slot)
        week = replace(week, vehicles=(replace(week.vehicles[0], others=(other,)),))
    elif change == "a supply that binds":
        week = replace(week, headroom_wh=(10_000,) * week.prices.count)
    elif change == "a reading after the start":
        reading_slot = week.prices.first_slot
    plan = plan_household(week)
    assert pack_home(week, plan, basis=ChargeBasis.READ, reading_slot=reading_slot) is None
