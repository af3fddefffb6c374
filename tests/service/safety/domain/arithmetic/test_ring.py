"""A load on a ring, against the split of parallel legs and the ring rule."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable import CableRun, Device, DeviceKind
from service.safety.domain.arithmetic.cable_factors import AS_TABULATED
from service.safety.domain.arithmetic.cable_tables import CableKind, Method
from service.safety.domain.arithmetic.ring import RingPlace, ring_equivalent_m, ring_split, ring_verdict
from tests.service.safety.domain.arithmetic.published import derived

SPLIT = derived("ring split: I (1 - d/L) and I d/L")
RING_RULE = "DIY wiki 'Regulation 433.1.5' and engineers' forum thread '433.1.204'"
B32 = Device(DeviceKind.CIRCUIT_BREAKER, Decimal(32))


def cable(size="2.5", method="C"):
    return CableRun("ring", CableKind.TWIN_AND_EARTH, Decimal(size), Method(method), AS_TABULATED)


def place(ring, along):
    return RingPlace(Decimal(ring), Decimal(along))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("load", "ring", "along", "leg", "expected"),
    [
        (10, 50, 5, "leg_a", "9.0"),
        (10, 50, 5, "other_leg_a", "1.0"),
        (32, 50, 5, "leg_a", "28.8"),
        (13, 60, 6, "leg_a", "11.7"),
        (13, 60, 6, "other_leg_a", "1.3"),
    ],
)
def test_a_load_splits_between_the_legs(load, ring, along, leg, expected, reference):
    reference(source=SPLIT, got=getattr(ring_split(load, place(ring, along)), leg), expected=Decimal(expected))


@pytest.mark.reference
def test_32_a_near_one_end_is_unsafe_in_2_5_mm2(reference):
    got = ring_verdict(32, 0, cable(), B32, place(50, 5))
    assert got.failed == ("no leg above Iz",)
    reference(source=f"{SPLIT}, against 27 A of Table 4D5", expected="fails", got=got.answer.value)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("size", "method", "rating", "expected"),
    [
        ("2.5", "C", 32, ()),
        ("2.5", "A", 30, ()),
        ("1.5", "C", 32, ("cable of at least 2.5 mm2",)),
        ("2.5", "101", 32, ("Iz of at least 20 A",)),
        ("2.5", "C", 40, ("device of 30 or 32 A",)),
    ],
)
def test_the_ring_rule(size, method, rating, expected, reference):
    device = Device(DeviceKind.CIRCUIT_BREAKER, Decimal(rating))
    got = ring_verdict(10, 0, cable(size, method), device, place(50, 5)).failed
    reference(source=f"{RING_RULE}, on cables chosen here", expected=expected, got=got)


def test_without_a_place_the_whole_load_is_taken_in_one_leg():
    verdict = ring_verdict(10, 0, cable(), B32, None)
    assert (verdict.answer, verdict.leg_a) == (Answer.PASSES, 10)
    assert ring_verdict(28, 0, cable(), B32, None).answer is Answer.FAILS


def test_the_leg_that_carries_more_is_the_one_that_counts():
    assert ring_verdict(32, 0, cable(), B32, place(50, 45)).leg_a == Decimal("28.8")


def test_what_is_not_known_of_a_ring_never_passes():
    assert ring_verdict(10, None, cable(), B32, place(50, 5)).answer is Answer.NOT_KNOWN
    assert ring_verdict(10, 0, cable(), None, place(50, 5)).answer is Answer.NOT_KNOWN


def test_other_lasting_load_counts_in_the_same_leg():
    assert ring_verdict(10, 18, cable(), B32, place(50, 5)).leg_a == 27
    assert ring_verdict(10, 19, cable(), B32, place(50, 5)).answer is Answer.FAILS


@pytest.mark.parametrize(("ring", "along"), [(0, 0), (50, 51), (50, -1), (1001, 1)])
def test_a_place_off_the_ring_is_refused(ring, along):
    with pytest.raises(Rejected, match=r"ring_m|along_m"):
        ring_split(10, place(ring, along))
    with pytest.raises(Rejected, match=r"ring_m|along_m"):
        ring_equivalent_m(place(ring, along))


@given(st.integers(0, 32), st.decimals(1, 200, places=1), st.decimals(0, 1, places=3))
def test_the_legs_carry_the_whole_load_and_drop_the_same(load, ring, share):
    split = ring_split(load, RingPlace(ring, ring * share))
    assert abs(split.leg_a + split.other_leg_a - load) < Decimal("1e-20")
    assert abs(split.leg_a * ring * share - split.other_leg_a * ring * (1 - share)) < Decimal("1e-20")
    assert abs(split.leg_a * ring * share - load * ring_equivalent_m(RingPlace(ring, ring * share))) < Decimal("1e-20")


RANK = [Answer.FAILS, Answer.NOT_KNOWN, Answer.PASSES]


@given(st.integers(0, 40), st.integers(0, 40), st.decimals(0, 50, places=1))
def test_more_load_never_gives_a_better_answer(one, other, along):
    low, high = sorted([one, other])
    answers = [ring_verdict(load, 0, cable(), B32, RingPlace(Decimal(50), along)).answer for load in (low, high)]
    assert RANK.index(answers[1]) <= RANK.index(answers[0])
