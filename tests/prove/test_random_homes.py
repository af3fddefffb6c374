"""Random homes of several cars and outlets: whatever the answer, no half-hour breaks a limit."""

from dataclasses import replace

import numpy as np
import pytest

from service.planning.domain.household_week import Control, HouseholdWeek, OutletOption, VehicleWeek, week_prices
from service.planning.domain.plans import HouseholdPlan
from service.planning.domain.week import plan_household
from tests.factories.charging_weeks import FIRST_SLOT, car, trip

SEEDS = range(100, 140)


def random_home(seed: int) -> HouseholdWeek:
    """Return a week in which outlets, swaps, evidence, quiet hours, supply and circuits all may bind."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(40, 200))
    kinds = [float(rng.integers(5, 40)) for _ in range(3)]
    price_up = (rng.choice(kinds, count) * 1e6).astype(np.int64) - int(rng.choice([0, 0, 10_000_000]))
    prices = week_prices(FIRST_SLOT, price_up, rng.random(count) < 0.95)
    names = [f"outlet {number}" for number in range(rng.integers(1, 4))]
    circuits = {name: rng.choice([None, "ring"]) for name in names}
    is_late, is_one_run = rng.random(2) < 0.4
    cars = tuple(_car(rng, ordinal, names, circuits, is_late, is_one_run) for ordinal in range(rng.integers(1, 4)))
    caps = [option.cap_wh for each in cars for option in each.options if option.circuit_id == "ring"]
    days = range(count // 48 + 1)
    return HouseholdWeek(
        prices,
        cars,
        swap_slots=tuple(FIRST_SLOT + 38 + 48 * day for day in days if 38 + 48 * day < count),
        noon_slots=tuple(FIRST_SLOT + 24 + 48 * day for day in days if 24 + 48 * day < count),
        quiet_spans=tuple((FIRST_SLOT + 48 * day + 4, FIRST_SLOT + 48 * day + 7) for day in days if rng.random() < 0.3),
        headroom_wh=tuple(rng.choice([0, 1_500, 3_680, 5_000, 9_000], count).tolist()) if rng.random() < 0.5 else None,
        circuits_wh=(("ring", max(caps)),) if caps else (),
    )


def _car(rng, ordinal, names, circuits, is_late, is_one_run) -> VehicleWeek:
    options = []
    for name in rng.permutation(names)[: rng.integers(1, len(names) + 1)]:
        cap_wh = int(rng.choice([0, 1_150, 1_840, 3_680], p=[0.1, 0.3, 0.3, 0.3]))
        until = FIRST_SLOT + int(rng.choice([0, 30, 70, 10_000], p=[0.1, 0.2, 0.2, 0.5]))
        control = Control.ONE_RUN if is_one_run and rng.random() < 0.6 else Control.FREE
        loss_wh = min(cap_wh, int(rng.choice([0, 400, 1_240]))) if is_late else 0
        options.append(OutletOption(str(name), cap_wh, until, control, loss_wh, circuits[name]))
    trips = tuple(
        replace(trip(day, "07:00", "17:30", int(rng.integers(0, 30_000))), is_important=bool(rng.random() < 0.2))
        for day in range(5)
        if rng.random() < 0.7
    )
    usual, *others = options
    return car(
        vehicle_id=f"car {ordinal}",
        ordinal=ordinal,
        outlet_id=usual.outlet_id,
        cap_wh=usual.cap_wh,
        usable_until_slot=usual.usable_until_slot,
        control=usual.control,
        start_loss_wh=usual.start_loss_wh,
        circuit_id=usual.circuit_id,
        others=tuple(others),
        start_charge_wh=int(rng.integers(4_000, 40_000)),
        efficiency_permille=int(rng.choice([840, 900, 1000])),
        taper_permille=int(rng.choice([700, 900])) if rng.random() < 0.2 else None,
        trips=trips,
    )


def use_of(week: HouseholdWeek, plan: HouseholdPlan) -> list[tuple[VehicleWeek, OutletOption, int, int]]:
    """Return (car, where, half-hour, energy) of every half-hour that charges."""
    vehicles = {vehicle.vehicle_id: vehicle for vehicle in week.vehicles}
    found = []
    for drawn in plan.vehicles:
        vehicle = vehicles[drawn.vehicle_id]
        for block in drawn.blocks:
            (option,) = [each for each in vehicle.options if each.outlet_id == block.outlet_id]
            found += [(vehicle, option, slot, wh) for slot, wh in enumerate(block.energy_wh, start=block.first_slot)]
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_no_half_hour_lies_outside_what_evidence_outlet_hours_supply_and_circuit_allow(seed):
    week = random_home(seed)
    plan = plan_household(week)
    holders: dict[tuple[str | None, int], str] = {}
    full_wh: dict[int, int] = {}
    of_circuit: dict[tuple[str, int], int] = {}
    for vehicle, option, slot, energy_wh in use_of(week, plan):
        assert 0 < energy_wh <= option.cap_wh
        assert week.prices.first_slot <= slot < min(week.prices.end_slot, option.usable_until_slot)
        assert not any(first <= slot < end for first, end in week.quiet_spans)
        assert holders.setdefault((option.outlet_id, slot), vehicle.vehicle_id) == vehicle.vehicle_id
        # whoever charges in a half-hour may do so at full current all at once
        full_wh[slot] = full_wh.get(slot, 0) + option.cap_wh
        if option.circuit_id is not None:
            of_circuit[option.circuit_id, slot] = of_circuit.get((option.circuit_id, slot), 0) + option.cap_wh
    headroom_wh = week.headroom_wh or (2**40,) * week.prices.count
    assert all(wh <= headroom_wh[slot - week.prices.first_slot] for slot, wh in full_wh.items())
    assert all(wh <= dict(week.circuits_wh)[circuit] for (circuit, _), wh in of_circuit.items())


@pytest.mark.parametrize("seed", SEEDS)
def test_a_block_of_a_shared_outlet_lies_in_a_turn_of_its_car_and_at_home(seed):
    week = random_home(seed)
    plan = plan_household(week)
    for drawn in plan.vehicles:
        for block in drawn.blocks:
            stay = drawn.stays[block.stay]
            assert stay.first_slot <= block.first_slot < block.end_slot <= stay.end_slot
            turns = [each for each in plan.turns if each.outlet_id == block.outlet_id]
            for turn in turns:
                if turn.first_slot < block.end_slot and block.first_slot < turn.end_slot:
                    assert turn.vehicle_id == drawn.vehicle_id


@pytest.mark.parametrize("seed", SEEDS)
def test_shortfalls_by_cause_add_up_to_what_is_unmet(seed):
    for drawn in plan_household(random_home(seed)).vehicles:
        by_cause = [short.short_wh for short in drawn.shortfalls if short.cause != "battery_too_small"]
        assert sum(by_cause) == drawn.unmet_wh
        assert all(wh > 0 for wh in by_cause)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_in_which_cars_are_given_changes_nothing(seed):
    week = random_home(seed)
    assert plan_household(replace(week, vehicles=week.vehicles[::-1])) == plan_household(week)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_said_of_a_plan_is_never_below_nothing(seed):
    plan = plan_household(random_home(seed))
    assert plan.gap_up is None or plan.gap_up >= 0
    for drawn in plan.vehicles:
        for block, reason in zip(drawn.blocks, drawn.reasons, strict=True):
            assert reason.serves_stay is None or reason.serves_stay >= block.stay
            assert reason.next_best_up is None or reason.next_best_up >= 0
