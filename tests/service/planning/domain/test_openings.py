"""When a car may charge at all: evidence, quiet hours and turns, by hand."""

from dataclasses import replace

from service.planning.domain.household_week import OutletOption
from service.planning.domain.openings import openings, relative_noons, turn_spans, within
from tests.factories.charging_weeks import FIRST_SLOT, car, week_of

OPTION = OutletOption("outlet", 1150, FIRST_SLOT + 100)


def test_an_outlet_is_open_until_its_evidence_ends():
    assert openings(week_of(car()), OPTION) == [(0, 100, 1150)]
    assert openings(week_of(car()), OPTION, usable_until_slot=FIRST_SLOT + 10_000) == [(0, 336, 1150)]
    assert openings(week_of(car()), replace(OPTION, usable_until_slot=FIRST_SLOT - 5)) == []


def test_quiet_hours_are_cut_out_also_where_they_reach_over_an_end():
    spans = ((FIRST_SLOT, FIRST_SLOT + 4), (FIRST_SLOT + 46, FIRST_SLOT + 52), (FIRST_SLOT + 94, FIRST_SLOT + 120))
    week = replace(week_of(car()), quiet_spans=spans)
    assert openings(week, OPTION) == [(4, 46, 1150), (52, 94, 1150)]


def test_turns_end_where_somebody_is_up_to_swap_and_ends_of_the_week_are_no_swaps():
    slots = (FIRST_SLOT, FIRST_SLOT + 38, FIRST_SLOT + 86, FIRST_SLOT + 336)
    assert turn_spans(replace(week_of(car()), swap_slots=slots)) == [(0, 38), (38, 86), (86, 336)]
    assert turn_spans(week_of(car())) == [(0, 336)]


def test_noons_at_the_edges_part_nothing():
    week = replace(week_of(car()), noon_slots=(FIRST_SLOT, FIRST_SLOT + 24, FIRST_SLOT + 336))
    assert relative_noons(week) == [24]


def test_windows_are_held_to_spans():
    assert within([(0, 10, 5), (12, 20, 7)], [(8, 14), (18, 30)]) == [(8, 10, 5), (12, 14, 7), (18, 20, 7)]
