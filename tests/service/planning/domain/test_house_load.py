"""What a house leaves of its fuse: means by hand, refusals, and the floor of a charging point."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.common.slots import local_day_slots, slot_index
from service.common.working import Step
from service.planning.domain.house_load import (
    NO_PROTECTION,
    HouseLoad,
    above_pilot_floor,
    headroom,
    load_from_profile,
    load_from_readings,
)

LONDON = ZoneInfo("Europe/London")
MONDAY = slot_index(datetime(2026, 1, 5, tzinfo=UTC))
WEEK = range(MONDAY, MONDAY + 336)
STEP = Step("", {}, "", "", "")


def readings(days: int, wh=lambda slot: 100) -> dict[int, int]:
    return {slot: wh(slot) for slot in range(MONDAY - 48 * days, MONDAY)}


def test_each_half_hour_is_the_mean_of_its_kind_of_day():
    # weekdays 100 Wh at midnight and 300 Wh a week later, so 200 Wh: 400 W; weekends 50 Wh: 100 W; else 10 Wh: 20 W
    def wh(slot):
        day = (slot - MONDAY) // 48
        return (50 if day % 7 >= 5 else 100 if day < -7 else 300) if slot % 48 == 0 else 10

    load = load_from_readings(readings(14, wh), WEEK, LONDON)
    assert [load.load_w[day * 48] for day in range(7)] == [400] * 5 + [100] * 2
    assert set(load.load_w[1:48]) == {20}
    assert "14" in load.step.inputs["whole days"]


def test_a_mean_that_is_no_whole_watt_is_rounded_up():
    odd = load_from_readings(readings(14, lambda slot: 100 + (slot == MONDAY - 48 * 7)), WEEK, LONDON)
    assert odd.load_w[0] == 201  # 1,001 Wh over ten Mondays to Fridays, in half an hour


def test_half_hours_are_those_of_the_household_s_clock():
    # 18:00 in London is 17:00 UTC in summer: readings of a winter's evening peak move with the clock
    load = load_from_readings(readings(7, lambda slot: 900 if slot % 48 == 36 else 0), WEEK, LONDON)
    summer = local_day_slots(date(2026, 7, 6), LONDON)
    moved = load_from_readings(readings(7, lambda slot: 900 if slot % 48 == 36 else 0), summer, LONDON)
    assert load.load_w.index(1800) == moved.load_w.index(1800) == 36


def test_weeks_with_a_clock_change_have_a_load_for_each_of_their_half_hours():
    for day, count in ((date(2026, 3, 29), 46), (date(2026, 10, 25), 50)):
        horizon = local_day_slots(day, LONDON)
        assert len(load_from_readings(readings(7), horizon, LONDON).load_w) == count
        assert len(load_from_profile(2700, horizon, LONDON).load_w) == count


@pytest.mark.parametrize(
    "given_wh",
    [
        {},
        readings(6),
        {slot: wh for slot, wh in readings(7).items() if slot != MONDAY - 10},  # seven days, one with a gap
        {slot: wh for slot, wh in readings(14).items() if (slot - MONDAY) // 48 % 7 < 5},  # no weekend
        readings(7) | {MONDAY - 1: -1},
        readings(7) | {MONDAY - 1: 40_001},
    ],
)
def test_readings_that_do_not_tell_enough_are_refused(given_wh):
    with pytest.raises(Rejected) as caught:
        load_from_readings(given_wh, WEEK, LONDON)
    assert {fault.field for fault in caught.value.faults} == {"readings_wh"}


def test_a_home_outside_great_britain_has_no_profile():
    with pytest.raises(Rejected, match="no profile is known"):
        load_from_profile(2700, WEEK, ZoneInfo("Europe/Dublin"))


def test_the_fuse_less_its_margin_and_the_load_is_what_is_left():
    # 60 A x 230 V = 13,800 W, less a fifth 11,040 W; 1,039 W of load leaves 10,001 W, half an hour of it 5,000 Wh
    left = headroom(HouseLoad((1_039, 0, 12_000), STEP), 60)
    assert left.headroom_wh == (5_000, 5_520, 0)
    assert left.working.steps[0] is STEP
    assert "20 % of the fuse" in left.working.steps[1].inputs["kept free"]


def test_on_three_phases_all_of_the_load_counts_on_each():
    assert headroom(HouseLoad((1_040,), STEP), 60, phases=3).headroom_wh == (15_000,)


@given(st.lists(st.integers(0, 60_000)), st.integers(1, 100), st.integers(0, 1000), st.sampled_from((1, 3)))
def test_more_fuse_or_less_margin_never_leaves_less_and_nothing_is_below_zero(loads, fuse_a, margin, phases):
    load = HouseLoad(tuple(loads), STEP)
    left = headroom(load, fuse_a, phases=phases, margin_permille=margin).headroom_wh
    more = headroom(load, min(100, fuse_a + 20), phases=phases, margin_permille=margin // 2).headroom_wh
    assert all(0 <= less <= wh for less, wh in zip(left, more, strict=True))


@pytest.mark.parametrize(("fuse_a", "phases", "margin"), [(0, 1, 200), (101, 1, 200), (60, 2, 200), (60, 1, 1001)])
def test_a_supply_out_of_range_is_refused(fuse_a, phases, margin):
    with pytest.raises(Rejected):
        headroom(HouseLoad((), STEP), fuse_a, phases=phases, margin_permille=margin)


def test_below_six_amperes_nothing_is_left():
    assert above_pilot_floor([0, 689, 690, 5_000]) == [0, 0, 690, 5_000]
    assert above_pilot_floor([2_069, 2_070], phases=3) == [0, 2_070]


def test_every_working_says_that_a_plan_protects_nothing():
    load = load_from_profile(2700, WEEK, LONDON)
    for step in headroom(load, 80).working.steps:
        assert NO_PROTECTION in step.rule
    assert NO_PROTECTION in load_from_readings(readings(7), WEEK, LONDON).step.rule
