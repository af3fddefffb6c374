"""Half-hours as currents and instants: worked cases, and that nothing is ever exceeded."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.planning.domain.charging import power_w, slot_cap_wh
from service.planning.domain.part_load import CURRENT_STEP_A, LEAST_CURRENT_A, PartLoad, Session, part_load, sessions

PILOT = "IEC 61851-1 as two test-instrument manuals give it: no pilot value below 6 A"


@pytest.mark.reference
def test_no_part_loaded_half_hour_asks_for_less_than_6_a():
    assert LEAST_CURRENT_A == 6, PILOT
    cap_wh = slot_cap_wh(32)
    for energy_wh in range(1, cap_wh + 1):
        for at_edge in (True, False):
            assert part_load(energy_wh, cap_wh, 32, 1, at_edge=at_edge).current_a >= 6


def test_at_a_runs_edge_it_is_full_current_for_part_of_the_time():
    assert part_load(1150, 1150, 10, 1, at_edge=True) == PartLoad(Decimal(10), 1800)
    assert part_load(575, 1150, 10, 1, at_edge=True) == PartLoad(Decimal(10), 900)


def test_within_a_run_it_is_the_current_that_fills_the_half_hour():
    # 16 A x 230 V x 0.5 h = 1840 Wh; three phases of 10 A make 3450 Wh
    assert part_load(1840, 3680, 32, 1, at_edge=False) == PartLoad(Decimal(16), 1800)
    assert part_load(3450, 5520, 16, 3, at_edge=False) == PartLoad(Decimal(10), 1800)


def test_a_fraction_of_a_tenth_of_an_ampere_comes_off_the_time():
    # 1000 Wh over half an hour would be 8.696 A; at 8.7 A it takes 1799.1 s
    assert part_load(1000, 3680, 32, 1, at_edge=False) == PartLoad(Decimal("8.7"), 1799)


def test_what_would_be_below_6_a_is_6_a_for_part_of_the_time():
    # 6 A x 230 V = 1380 W: 345 Wh take a quarter of an hour
    assert part_load(345, 1150, 10, 1, at_edge=False) == PartLoad(Decimal(6), 900)
    assert part_load(690, 1150, 10, 1, at_edge=False) == PartLoad(Decimal(6), 1800)


@given(
    limit_a=st.decimals(6, 80, places=1),
    phases=st.sampled_from([1, 3]),
    share=st.floats(0, 1),
    at_edge=st.booleans(),
)
def test_it_never_draws_more_than_planned_and_less_by_one_seconds_worth_at_most(limit_a, phases, share, at_edge):
    cap_wh = slot_cap_wh(limit_a, phases)
    energy_wh = max(1, int(cap_wh * share))
    load = part_load(energy_wh, cap_wh, limit_a, phases, at_edge=at_edge)
    power = power_w(load.current_a, phases)
    if at_edge or energy_wh == cap_wh:
        power = Decimal(cap_wh) * 2  # a full half-hour is its cap, rounded down from the current
    drawn_wh = power * load.seconds / 3600
    assert 0 <= load.seconds <= 1800
    assert load.current_a <= limit_a
    assert load.current_a % CURRENT_STEP_A == 0
    assert drawn_wh <= energy_wh
    assert energy_wh - drawn_wh <= power / 3600


@pytest.mark.parametrize(("energy_wh", "limit_a"), [(0, 10), (1151, 10), (-5, 10), (500, 5)])
def test_an_energy_or_a_current_that_cannot_be_is_refused(energy_wh, limit_a):
    with pytest.raises(ValueError):
        part_load(energy_wh, 1150, limit_a, 1, at_edge=True)


def test_a_run_starts_late_or_ends_early_by_its_part_loaded_half_hour():
    assert sessions([4, 5, 6], [500, 1000, 1000], 1000) == (Session(4 * 1800 + 900, 7 * 1800, 2500),)
    assert sessions([4, 5, 6], [1000, 1000, 250], 1000) == (Session(4 * 1800, 6 * 1800 + 450, 2250),)


def test_a_single_half_hour_starts_on_its_boundary():
    assert sessions([9], [600], 1000) == (Session(9 * 1800, 9 * 1800 + 1080, 600),)


def test_half_hours_apart_are_runs_of_their_own():
    assert sessions([1, 2, 5], [100, 100, 100], 100) == (Session(1800, 5400, 200), Session(9000, 10800, 100))


def test_a_run_goes_on_through_a_part_loaded_half_hour_in_between():
    assert sessions([1, 2, 3], [100, 40, 100], 100) == (Session(1800, 7200, 240),)


def test_a_new_night_begins_a_run_even_without_a_pause():
    assert sessions([1, 2, 3], [100, 40, 100], 100, breaks=[3]) == (
        Session(1800, 3600 + 720, 140), Session(5400, 7200, 100),
    )  # fmt: skip


def test_nothing_planned_or_less_than_a_second_is_no_run():
    assert sessions([], [], 1000) == ()
    assert sessions([3], [1], 3680) == ()


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(1, 700)), unique_by=lambda pair: pair[0]))
def test_runs_do_not_overlap_stay_within_their_half_hours_and_hold_all_energy(pairs):
    pairs.sort()
    slots, energies = [slot for slot, _ in pairs], [energy for _, energy in pairs]
    found = sessions(slots, energies, 700)
    times = [instant for session in found for instant in (session.starts_s, session.ends_s)]
    assert times == sorted(times)
    assert {second // 1800 for session in found for second in (session.starts_s, session.ends_s - 1)} <= set(slots)
    left_out = sum(energies) - sum(session.energy_wh for session in found)
    assert 0 <= left_out <= len(slots)  # runs of a single Wh or two take no whole second
