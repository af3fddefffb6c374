"""A recorded circuit in the tables: read where everything is known, not known or refused where it is not."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.households.domain.equipment_details import RunDetails
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.circuit_arithmetic import circuit_arithmetic

KNOWN = {
    "cable_kind": "flat_twin_and_earth", "installed": "C", "ambient_c": 30, "grouped_circuits": 1, "insulation_mm": 0,
}  # fmt: skip
BOARD = RunDetails("board", device_kind="mcb_b", device_a=32)
RADIAL = RunDetails("radial", cable_mm2=Decimal(6), length_m=Decimal(20), **KNOWN)
RING = RunDetails("ring", cable_mm2=Decimal("2.5"), length_m=Decimal(50), **KNOWN)
TEN_A = Decimal(10)


def test_a_radial_that_is_wholly_known_has_a_capacity_and_a_drop() -> None:
    found = circuit_arithmetic([BOARD, RADIAL], Decimal(32))
    # 6 mm2 clipped: 47 A; 7.3 mV/A/m x 32 A x 20 m
    assert (found.capacity_a, found.drop_v) == (47, Decimal("4.672"))
    assert (found.drop_answer, found.drop_limit_v) == (Answer.PASSES, Decimal("11.5"))
    assert [run.label for run in found.runs] == ["2 radial"]
    # what else it carries is recorded nowhere
    assert found.answer is Answer.NOT_KNOWN
    assert not found.refused


def test_the_weakest_run_governs_and_drops_add() -> None:
    spur = replace(RADIAL, kind="spur", cable_mm2=Decimal("2.5"), length_m=Decimal(10))
    found = circuit_arithmetic([BOARD, RADIAL, spur], TEN_A)
    assert (found.capacity_a, found.governed_by) == (27, "3 spur")
    assert found.drop_v == Decimal("1.46") + Decimal("1.8")


def test_a_cable_that_is_too_small_fails_whatever_else_is_not_known() -> None:
    found = circuit_arithmetic([BOARD, replace(RADIAL, installed="101")], Decimal(32))
    assert (found.answer, found.runs[0].answer) == (Answer.FAILS, Answer.FAILS)


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        ({"cable_kind": "not_known"}, "kind of cable"),
        ({"cable_kind": "other"}, "kind of cable"),
        ({"cable_mm2": None}, "size of cable"),
        ({"installed": ""}, "how it is installed"),
        ({"ambient_c": None}, "ambient temperature"),
        ({"grouped_circuits": None}, "other circuits beside it"),
        ({"insulation_mm": None}, "insulation around it"),
    ],
)
def test_a_gap_leaves_capacity_and_drop_not_known_and_is_named(gap: dict, words: str) -> None:
    found = circuit_arithmetic([BOARD, replace(RADIAL, **gap)], TEN_A)
    assert (found.answer, found.capacity_a, found.drop_v, found.drop_answer) == (
        Answer.NOT_KNOWN, None, None, Answer.NOT_KNOWN,
    )  # fmt: skip
    assert found.runs[0].missing == (words,)


def test_a_length_that_is_not_known_leaves_only_the_drop_not_known() -> None:
    found = circuit_arithmetic([replace(RADIAL, length_m=None)], TEN_A)
    assert (found.capacity_a, found.drop_v, found.drop_answer) == (47, None, Answer.NOT_KNOWN)


@pytest.mark.parametrize(
    ("beyond", "field"),
    [
        ({"cable_mm2": Decimal("3.5")}, "runs.0.size_mm2"),
        ({"installed": "D"}, "runs.0.method"),
        ({"installed": "101", "insulation_mm": 100}, "runs.0.surroundings.insulation_mm"),
        ({"cable_kind": "armoured", "ambient_c": 40}, "runs.0.surroundings"),
    ],
)
def test_what_no_table_holds_is_refused_by_name_and_never_extrapolated(beyond: dict, field: str) -> None:
    found = circuit_arithmetic([replace(RADIAL, **beyond)], TEN_A)
    assert (found.capacity_a, [fault.field for fault in found.refused]) == (None, [field])


def test_a_current_above_every_capacity_of_the_size_is_refused_for_the_drop() -> None:
    found = circuit_arithmetic([replace(RADIAL, cable_mm2=Decimal(1))], Decimal(32))
    assert (found.answer, found.drop_v) == (Answer.FAILS, None)
    assert [fault.field for fault in found.refused] == ["current_a"]


def test_a_ring_splits_by_place_and_the_worst_place_is_one_leg() -> None:
    (worst,) = circuit_arithmetic([BOARD, RING], TEN_A).rings
    assert (worst.leg_a, worst.other_leg_a, worst.is_worst_place) == (10, 0, True)
    (split,) = circuit_arithmetic([BOARD, RING], TEN_A, ring_along_m=Decimal(5)).rings
    assert (split.leg_a, split.other_leg_a, split.is_worst_place) == (9, 1, False)


def test_a_ring_drops_as_its_two_legs_do() -> None:
    # 5 m of 50 m: as 4.5 m of one cable; the worst place is the middle, as 12.5 m
    near = circuit_arithmetic([BOARD, RING], TEN_A, ring_along_m=Decimal(5)).drop_v
    worst = circuit_arithmetic([BOARD, RING], TEN_A).drop_v
    assert (near, worst) == (Decimal("0.81"), Decimal("2.25"))


def test_a_place_beyond_the_ring_is_refused() -> None:
    found = circuit_arithmetic([BOARD, RING], TEN_A, ring_along_m=Decimal(60))
    assert "along_m" in [fault.field for fault in found.refused]
    assert (found.answer, found.drop_v) == (Answer.NOT_KNOWN, None)


def test_boards_alone_are_not_known() -> None:
    found = circuit_arithmetic([BOARD], TEN_A)
    assert (found.answer, found.capacity_a, found.drop_answer, found.runs) == (
        Answer.NOT_KNOWN, None, Answer.NOT_KNOWN, (),
    )  # fmt: skip


@given(st.integers(0, 90), st.integers(0, 90), st.sampled_from([25, 30, 35, 40, 50, 60]))
def test_longer_is_never_less_drop_and_hotter_never_more_capacity(length_m: int, more_m: int, ambient_c: int) -> None:
    short = circuit_arithmetic([replace(RADIAL, length_m=Decimal(length_m))], TEN_A)
    long = circuit_arithmetic([replace(RADIAL, length_m=Decimal(length_m + more_m))], TEN_A)
    assert short.drop_v is not None and long.drop_v is not None and long.drop_v >= short.drop_v
    cool = circuit_arithmetic([replace(RADIAL, ambient_c=25)], TEN_A)
    warm = circuit_arithmetic([replace(RADIAL, ambient_c=ambient_c)], TEN_A)
    assert cool.capacity_a is not None and warm.capacity_a is not None and warm.capacity_a <= cool.capacity_a
