"""Stays, windows and bounds of awkward weeks, worked by hand; bounds in Wh at the wall, efficiency 1 unless said."""

from dataclasses import replace
from datetime import timedelta

import pytest

from service.planning.domain.household_week import Control
from service.planning.domain.segments import VehiclePath, absences, vehicle_path
from tests.factories.charging_weeks import FIRST_SLOT, MONDAY, Trip, at, car, trip, two_band_prices

PRICES = two_band_prices()


def path_of(vehicle, *, prices=PRICES, **options) -> VehiclePath:
    away = absences(vehicle, prices)
    options = {"usable_until_slot": vehicle.usable_until_slot, **options}
    return vehicle_path(vehicle, prices, away, **options)


def stays_of(path: VehiclePath) -> list[tuple[int, int]]:
    return [(segment.first_slot, segment.end_slot) for segment in path.segments]


STAYS = [
    ("no trips: one stay, to the end", [], [(0, 336)]),
    ("a commute", [trip(0, "07:00", "18:00", 1)], [(0, 14), (36, 336)]),
    ("minutes are cut to whole half-hours", [trip(0, "07:29", "18:01", 1)], [(0, 14), (37, 336)]),
    ("away at the start", [trip(-1, "22:00", "06:10", 1)], [(13, 336)]),
    ("ended before the start", [trip(-1, "07:00", "18:00", 1)], [(0, 336)]),
    ("leaves at the very start", [trip(0, "00:00", "01:00", 1)], [(0, 0), (2, 336)]),
    ("night shift", [trip(0, "21:30", "06:30", 1)], [(0, 43), (61, 336)]),
    ("two trips a day", [trip(0, "07:00", "12:00", 1), trip(0, "13:00", "18:00", 1)], [(0, 14), (24, 26), (36, 336)]),
    ("trips that touch", [trip(0, "07:00", "12:00", 1), trip(0, "12:00", "18:00", 1)], [(0, 14), (24, 24), (36, 336)]),
    (
        "a stay shorter than a half-hour",
        [trip(0, "07:00", "12:10", 1), trip(0, "12:25", "18:00", 1)],
        [(0, 14), (25, 25), (36, 336)],
    ),
    (
        "trips that overlap, the later one back first",
        [trip(0, "07:00", "18:00", 1), trip(0, "09:00", "10:00", 1)],
        [(0, 14), (36, 36), (36, 336)],
    ),
    ("ends beyond the horizon", [trip(6, "20:00", "12:00", 1)], [(0, 328), (336, 336)]),
    ("leaves beyond the horizon", [trip(7, "00:00", "12:00", 1)], [(0, 336)]),
    ("in no order", [trip(1, "07:00", "18:00", 1), trip(0, "07:00", "18:00", 1)], [(0, 14), (36, 62), (84, 336)]),
    ("there and back at once, within a half-hour", [trip(0, "07:10", "07:10", 1)], [(0, 14), (15, 336)]),
]


@pytest.mark.parametrize(("name", "trips", "expected"), STAYS, ids=[row[0] for row in STAYS])
def test_stays_are_the_whole_half_hours_at_home(name, trips, expected):
    path = path_of(car(trips=tuple(trips)))
    assert stays_of(path) == expected
    assert [[window[:2] for window in windows] for windows in path.windows] == [
        [stay] if stay[1] > stay[0] else [] for stay in expected
    ]


def test_each_departure_needs_its_trip_and_the_reserve_on_top_of_what_was_driven():
    path = path_of(car(trips=(trip(0, "07:00", "18:00", 9_000), trip(1, "07:00", "18:00", 21_000))))
    assert path.lower_wh == [9_000 + 4_000 - 20_000, 9_000 + 21_000 + 4_000 - 20_000, 30_000 + 4_000 - 20_000]
    assert path.upper_wh == [32_000 - 20_000, 9_000 + 32_000 - 20_000, 30_000 + 32_000 - 20_000]


def test_needs_are_divided_by_the_efficiency_and_rounded_down_to_100_wh_room_is_rounded_down():
    path = path_of(car(efficiency_permille=840, trips=(trip(0, "07:00", "18:00", 21_001),)))
    assert path.lower_wh[0] == 5_900  # 5001 / 0.84 = 5953.57
    assert path.upper_wh[0] == 14_285  # 12000 / 0.84 = 14285.71


def test_a_trip_already_begun_counts_as_driven():
    path = path_of(car(trips=(trip(-1, "22:00", "06:00", 30_000),)))
    assert path.segments[0].driven_wh == 0
    assert path.lower_wh == [4_000 - 20_000]


def test_a_journey_above_the_ceiling_raises_it_for_the_stay_before_just_so_far():
    path = path_of(car(trips=(trip(0, "07:00", "18:00", 32_000),)))
    assert path.lower_wh[0] == path.upper_wh[0] == 36_000 - 20_000


def test_a_later_journey_raises_the_ceiling_where_hours_between_do_not_suffice():
    # the second trip needs 30 + 4 kWh, one hour at home gives 2.3: 31.7 after the first trip of 5 kWh
    trips = (trip(0, "07:00", "12:00", 5_000), trip(0, "13:00", "18:00", 30_000))
    path = path_of(car(trips=trips))
    assert path.upper_wh[0] == 5_000 + 34_000 - 2_300 - 20_000
    assert path.upper_wh[1] == 5_000 + 34_000 - 20_000


def test_a_battery_is_never_charged_beyond_full():
    trips = (trip(0, "07:00", "12:00", 35_000), trip(0, "12:00", "18:00", 35_000))
    path = path_of(car(trips=trips))
    assert path.upper_wh[0] == 20_000


def test_a_journey_beyond_the_battery_takes_what_a_full_one_gives_above_the_reserve():
    path = path_of(car(trips=(trip(0, "07:00", "18:00", 50_000),)))
    assert path.segments[0].beyond_battery_wh == 14_000
    assert path.segments[0].needed_wh == 40_000
    assert path.segments[1].driven_wh == 36_000
    assert path.lower_wh[0] == path.upper_wh[0] == 20_000


def test_a_full_battery_that_is_no_whole_number_at_the_wall_is_rounded_down():
    path = path_of(car(efficiency_permille=840, trips=(trip(0, "07:00", "18:00", 36_000),)))
    assert (path.lower_wh[0], path.upper_wh[0]) == (23_800, 23_800)  # 20000 / 0.84 = 23809.52, no more is needed
    assert path.most_wh[0] == 23_809


def test_the_next_departure_after_the_horizon_asks_for_what_hours_until_then_cannot_give():
    early = trip(7, "01:00", "12:00", 30_000)  # two half-hours after the end: 2.3 kWh
    path = path_of(car(trips=(early,)))
    assert path.lower_wh == [34_000 - 2_300 - 20_000]
    assert path.next_trip is early
    assert path.upper_wh == [32_000 - 20_000]


def test_a_departure_long_after_the_horizon_asks_for_no_more_than_the_reserve():
    path = path_of(car(trips=(trip(8, "07:00", "12:00", 30_000),)))
    assert path.lower_wh == [4_000 - 20_000]
    assert path.next_trip is None


def test_hours_after_the_evidence_do_not_count_towards_the_next_departure():
    path = path_of(car(trips=(trip(8, "07:00", "12:00", 30_000),), usable_until_slot=FIRST_SLOT + 336))
    assert path.lower_wh == [34_000 - 20_000]


def test_hours_before_a_late_return_do_not_count_towards_the_next_departure():
    trips = (trip(6, "20:00", "00:30", 5_000), trip(7, "01:00", "12:00", 20_000))
    path = path_of(car(trips=trips))
    assert path.lower_wh[-1] == 7_800  # 5 + 24 - 1.15 - 20, rounded down


def test_windows_end_with_the_evidence_and_keep_to_what_is_allowed():
    vehicle = car(trips=(trip(0, "07:00", "18:00", 5_000),))
    path = path_of(vehicle, usable_until_slot=FIRST_SLOT + 40, allowed=[(2, 6, 700), (8, 50, 1150)])
    assert path.windows == [[(2, 6, 700), (8, 14, 1150)], [(36, 40, 1150)]]


def test_one_run_a_night_cuts_windows_at_noon_and_a_stay_begins_a_new_night():
    path = path_of(car(control=Control.ONE_RUN, trips=(trip(0, "07:00", "18:00", 5_000),)), noons=[24, 72])
    assert path.windows == [[(0, 14, 1150)], [(36, 72, 1150), (72, 336, 1150)]]
    assert path.nights is not None
    assert len({night for group in path.nights for night in group}) == 3
    assert path.capacities_wh() == [14 * 1150, 300 * 1150]


def test_of_one_night_with_several_windows_only_the_longest_counts_and_a_late_start_takes_its_share():
    path = path_of(car(control=Control.ONE_RUN, start_loss_wh=300), allowed=[(2, 6, 1150), (8, 10, 1150)])
    assert path.capacities_wh() == [4 * 1150 - 300]


def test_above_the_level_where_charging_slows_down_time_is_kept_free_before_leaving():
    # 4 kWh above 80 % take as long again at half the current: four half-hours of 1150 Wh
    path = path_of(car(taper_permille=800, trips=(trip(0, "07:00", "18:00", 32_000),)))
    assert path.windows[0] == [(0, 10, 1150)]
    assert path_of(car(taper_permille=950, trips=(trip(0, "07:00", "18:00", 20_000),))).windows[0] == [(0, 14, 1150)]


def test_a_careful_need_raises_what_must_be_there_and_not_what_is_driven():
    careful = replace(trip(0, "07:00", "18:00", 9_000), careful_wh=12_000)
    path = path_of(car(start_charge_wh=4_000, trips=(careful,)))
    assert path.lower_wh == [12_000, 9_000]


def test_no_current_means_no_windows():
    assert path_of(car(cap_wh=0)).windows == [[]]


def test_absences_are_sorted_and_those_over_are_dropped():
    trips = (trip(1, "07:00", "18:00", 1), trip(-1, "07:00", "18:00", 1), trip(-1, "23:00", "01:00", 1))
    assert [absence.trip.key for absence in absences(car(trips=trips), PRICES)] == ["trip -1 23:00", "trip 1 07:00"]


def test_a_return_just_after_a_boundary_is_the_next_half_hour():
    moment = timedelta(microseconds=1)
    (on_time,) = absences(car(trips=(Trip("t", MONDAY, at(0, "09:00"), 1),)), PRICES)
    (late,) = absences(car(trips=(Trip("t", MONDAY, at(0, "09:00") + moment, 1),)), PRICES)
    assert late.home_slot == on_time.home_slot + 1


def test_what_a_car_takes_while_it_stands_is_charged_on_top_and_leaves_room_again() -> None:
    # 40 W: 7 h before the first departure take 280 Wh, 13 h before the second 520 Wh, the last 126 h 5,040 Wh;
    # needs are rounded down.
    trips = (trip(0, "07:00", "18:00", 10_000), trip(1, "07:00", "18:00", 10_000))
    still, awake = path_of(car(trips=trips)), path_of(car(trips=trips, standby_w=40))
    assert [after - before for before, after in zip(still.lower_wh, awake.lower_wh, strict=True)] == [200, 800, 5_800]
    assert [after - before for before, after in zip(still.upper_wh, awake.upper_wh, strict=True)] == [0, 280, 800]
