"""What one car may draw at an outlet, second by second."""

from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.planning.domain.charging import hours_to_charge, slot_cap_wh
from service.planning.domain.outlet_schedule import LimitPeriod, OutletSchedule, energy_wh, limit_periods

FIRST = 996_000
FULL = 3_680  # Wh of half an hour at 32 A


def schedule(*blocks: tuple[int, tuple[int, ...]], **changes: Any) -> OutletSchedule:
    """Return a schedule of 20 half-hours at 32 A; blocks count from its first half-hour."""
    values: dict[str, Any] = {
        "plan_id": "a" * 32, "label": "hatchback", "outlet_label": "point", "first_slot": FIRST,
        "end_slot": FIRST + 20, "limit_a": Decimal(32), "phases": 1, "usable_until_slot": FIRST + 1000, **changes,
    }  # fmt: skip
    return OutletSchedule(blocks=tuple((FIRST + first, wh) for first, wh in blocks), **values)


def told(of: OutletSchedule) -> list[tuple[int, str]]:
    return [(period.start_s, str(period.limit_a)) for period in limit_periods(of)]


def test_between_blocks_and_after_the_last_the_limit_is_nought() -> None:
    assert told(schedule((2, (FULL, FULL)), (8, (FULL,)))) == [
        (0, "0"), (3_600, "32.0"), (7_200, "0"), (14_400, "32.0"), (16_200, "0"),
    ]  # fmt: skip


def test_a_plan_without_charging_is_one_limit_of_nought() -> None:
    assert limit_periods(schedule()) == (LimitPeriod(0, Decimal(0)),)


def test_a_block_from_the_start_and_blocks_that_touch_need_no_nought_between() -> None:
    assert told(schedule((0, (FULL,)), (1, (FULL,)))) == [(0, "32.0"), (3_600, "0")]


def test_a_part_loaded_edge_starts_late_or_stops_early_at_full_current() -> None:
    assert told(schedule((0, (1_840, FULL, 920)))) == [(0, "0"), (900, "32.0"), (4_050, "0")]
    assert told(schedule((1, (1_840,)))) == [(0, "0"), (1_800, "32.0"), (2_700, "0")]


def test_a_part_loaded_half_hour_within_a_block_is_spread_or_takes_six_amps_for_a_part() -> None:
    assert told(schedule((0, (FULL, 1_840, FULL)))) == [(0, "32.0"), (1_800, "16.0"), (3_600, "32.0"), (5_400, "0")]
    assert told(schedule((0, (FULL, 345, FULL)))) == [
        (0, "32.0"), (1_800, "6"), (2_700, "0"), (3_600, "32.0"), (5_400, "0"),
    ]  # fmt: skip


def test_nothing_is_drawn_after_the_end_of_the_evidence_or_before_now() -> None:
    assert told(schedule((2, (FULL,) * 4), usable_until_slot=FIRST + 4)) == [(0, "0"), (3_600, "32.0"), (7_200, "0")]
    late = schedule((2, (FULL,) * 4))
    moved = OutletSchedule(**{**vars(late), "first_slot": FIRST + 4})
    assert told(moved) == [(0, "32.0"), (3_600, "0")]


@pytest.mark.parametrize("limit_a", [Decimal("5.9"), Decimal(5), Decimal(0)])
def test_below_six_amps_nothing_can_be_asked_for(limit_a: Decimal) -> None:
    assert told(schedule((0, (FULL,)), limit_a=limit_a)) == [(0, "0")]


def test_where_less_may_be_drawn_now_than_was_planned_the_limit_is_what_may_be_drawn_now() -> None:
    assert told(schedule((0, (FULL, FULL)), limit_a=Decimal(16))) == [(0, "16.0"), (3_600, "0")]


@given(
    limit=st.integers(60, 320),
    phases=st.sampled_from([1, 3]),
    blocks=st.lists(st.tuples(st.integers(0, 3), st.lists(st.integers(0, 12_000), min_size=1, max_size=6)), max_size=4),
    usable=st.integers(0, 50),
)
def test_no_limit_is_above_what_may_be_drawn_and_no_more_energy_than_planned_can_flow(
    limit: int, phases: int, blocks: list[tuple[int, list[int]]], usable: int
) -> None:
    limit_a = Decimal(limit) / 10
    at, placed = 0, []
    for gap, energies in blocks:
        placed.append((at + gap, tuple(min(wh, slot_cap_wh(limit_a, phases)) for wh in energies)))
        at += gap + len(energies)
    made = schedule(*placed, limit_a=limit_a, phases=phases, end_slot=FIRST + 60, usable_until_slot=FIRST + usable)
    periods = limit_periods(made)
    starts = [period.start_s for period in periods]
    assert starts[0] == 0
    assert starts == sorted(set(starts))
    assert periods[-1].limit_a == 0
    assert all(period.limit_a == 0 or 6 <= period.limit_a <= limit_a for period in periods)
    assert all(period.limit_a == round(period.limit_a, 1) for period in periods)
    assert all(a.limit_a != b.limit_a for a, b in pairwise(periods))
    usable_wh = sum(
        wh for first, energies in placed for step, wh in enumerate(energies) if first + step < min(usable, 60)
    )
    flowed = energy_wh(periods, phases)
    # Half a Wh: a full half-hour's whole Wh is itself rounded down.
    assert flowed <= usable_wh + Decimal("0.5") * sum(len(energies) for _, energies in placed)
    # A tenth of an ampere, and a second at full current, for each half-hour.
    lost = (Decimal("11.5") + limit_a * 230 / 3600 + 1) * phases * sum(len(energies) for _, energies in placed)
    assert flowed >= usable_wh - lost
    assert periods[-1].start_s <= usable * 1800


DELAYS = "The Electric Vehicles (Smart Charge Points) Regulations 2021, SI 2021/1467: random delay of {} s at {} kW"


@pytest.mark.reference
@pytest.mark.parametrize(("delay_s", "kwh"), [(600, "0.3833"), (300, "0.1917"), (1_800, "1.15")])
def test_a_start_that_is_delayed_loses_what_the_delay_would_have_given_on_a_portable_lead(
    delay_s: int, kwh: str, reference: Callable[..., None]
) -> None:
    lost_wh = energy_wh((LimitPeriod(0, Decimal(10)), LimitPeriod(delay_s, Decimal(0))), 1)
    reference(source=DELAYS.format(delay_s, "2.3"), expected=Decimal(kwh), got=round(lost_wh / 1000, 4))


@pytest.mark.reference
@pytest.mark.parametrize(("delay_s", "kwh"), [(600, "1.2333"), (300, "0.6167"), (1_800, "3.7")])
def test_the_energy_of_a_delay_at_a_charging_point_takes_that_delay_to_charge(
    delay_s: int, kwh: str, reference: Callable[..., None]
) -> None:
    seconds = hours_to_charge(round(Decimal(kwh) * 1000), 7_400) * 3600
    reference(source=DELAYS.format(delay_s, "7.4"), expected=delay_s, got=seconds, tolerance=Decimal("0.5"))
