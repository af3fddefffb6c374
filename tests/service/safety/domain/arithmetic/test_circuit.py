"""A circuit of several runs: the weakest governs, and what is not known never passes."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.cable import CableRun, Device, DeviceKind
from service.safety.domain.arithmetic.cable_factors import AS_TABULATED
from service.safety.domain.arithmetic.cable_tables import CableKind, Method
from service.safety.domain.arithmetic.circuit import ProtectedRun, circuit_verdict
from service.safety.domain.arithmetic.ring import RingPlace

NONE = Decimal(0)


def cable(size, method="C"):
    return CableRun("cable", CableKind.TWIN_AND_EARTH, Decimal(size), Method(method), AS_TABULATED)


def breaker(rating):
    return Device(DeviceKind.CIRCUIT_BREAKER, Decimal(rating))


def test_every_run_must_pass_and_the_one_with_least_to_spare_governs():
    runs = [
        ProtectedRun("sub-main", cable("16"), Decimal(20), breaker(63)),
        ProtectedRun("radial", cable("2.5"), NONE, breaker(16)),
        ProtectedRun("spur", cable("2.5", "103"), NONE, breaker(13)),
    ]
    verdict = circuit_verdict(10, runs)
    assert (verdict.answer, verdict.governed_by) == (Answer.PASSES, "spur")
    assert [run.spare_a for run in verdict.runs] == [55, 17, Decimal("3.5")]


def test_one_weak_run_fails_the_circuit():
    runs = [
        ProtectedRun("radial", cable("6"), NONE, breaker(32)),
        ProtectedRun("through the loft", cable("6", "101"), NONE),
    ]
    verdict = circuit_verdict(32, runs)
    assert (verdict.answer, verdict.governed_by) == (Answer.FAILS, "through the loft")
    assert verdict.runs[1].failed == ("In <= Iz", "I2 <= 1.45 Iz")


def test_a_device_protects_the_runs_after_it_until_the_next():
    loft = ProtectedRun("through the loft", cable("6", "101"), NONE)
    unfused = circuit_verdict(20, [ProtectedRun("radial", cable("6"), NONE, breaker(32)), loft])
    fused = circuit_verdict(20, [ProtectedRun("radial", cable("6"), NONE, breaker(20)), loft])
    assert (unfused.answer, fused.answer) == (Answer.FAILS, Answer.PASSES)


@pytest.mark.parametrize(
    "unknown",
    [
        ProtectedRun("no cable known", None, NONE, breaker(32)),
        ProtectedRun("no device known", cable("6"), NONE),
        ProtectedRun("no other load known", cable("6"), None, breaker(32)),
    ],
)
def test_a_run_that_is_not_known_leaves_the_circuit_not_known(unknown):
    verdict = circuit_verdict(10, [unknown, ProtectedRun("radial", cable("6"), NONE, breaker(32))])
    assert verdict.answer is Answer.NOT_KNOWN
    weak = ProtectedRun("weak", cable("1.0", "103"), NONE, breaker(32))
    assert circuit_verdict(10, [unknown, weak]).answer is Answer.FAILS


def test_a_ring_in_the_circuit_is_held_to_the_rule_of_rings():
    place = RingPlace(Decimal(50), Decimal(5))
    ring = ProtectedRun("ring", cable("2.5"), NONE, breaker(32), is_ring=True, place=place)
    assert circuit_verdict(10, [ring]).answer is Answer.PASSES
    assert circuit_verdict(32, [ring]).runs[0].failed == ("no leg above Iz",)


def test_a_circuit_without_a_run_is_refused():
    with pytest.raises(Rejected, match="runs"):
        circuit_verdict(10, [])


def test_the_working_shows_every_run():
    runs = [ProtectedRun("sub-main", cable("16"), Decimal(20), breaker(63)), ProtectedRun("radial", None, NONE)]
    last = circuit_verdict(10, runs).working.steps[-1]
    assert last.inputs == {"1 sub-main": "passes, spare 55 A", "2 radial": "not known, spare not known"}
    assert last.result == "not known, governed by: sub-main"
