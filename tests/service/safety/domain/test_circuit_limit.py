"""The weakest known part of a circuit bounds its outlets; what is not known bounds nothing."""

from decimal import Decimal

from service.households.domain.equipment_details import RunDetails
from service.safety.domain.circuit_limit import RunInputs, carries_more, circuit_limit

CLIPPED = RunInputs("radial", None, "flat_twin_and_earth", Decimal("2.5"), "C")


def limit_of(*runs: RunInputs) -> int | None:
    found = circuit_limit(runs)
    return found.limit_a if found else None


def test_nothing_known_bounds_nothing() -> None:
    assert limit_of() is None
    assert limit_of(RunInputs("radial"), RunInputs("board", cable_kind="other", cable_mm2=Decimal(6))) is None


def test_devices_and_cables_bound_and_the_weakest_governs() -> None:
    assert limit_of(RunInputs("board", device_a=63), RunInputs("radial", device_a=20)) == 20
    assert limit_of(CLIPPED) == 27  # Table 4D5, 2.5 mm2 clipped direct
    found = circuit_limit((RunInputs("board", device_a=63), CLIPPED))
    assert found is not None
    assert found.step.result == "27 A, by: 2 radial, cable"


def test_surroundings_lower_it_and_those_outside_the_tables_say_nothing() -> None:
    hot = RunInputs("radial", None, "flat_twin_and_earth", Decimal("2.5"), "C", 40, 2, 0)
    assert limit_of(hot) == 18  # 27 x 0.87 x 0.80
    assert limit_of(RunInputs("radial", None, "flat_twin_and_earth", Decimal("2.5"), "C", 75)) is None
    assert limit_of(RunInputs("radial", None, "flat_twin_and_earth", Decimal("2.5"), "Z")) is None


def test_the_cable_of_a_ring_alone_says_nothing_and_its_device_does() -> None:
    ring = RunInputs("ring", 32, "flat_twin_and_earth", Decimal("2.5"), "C")
    assert limit_of(ring) == 32


def test_a_circuit_carries_more_by_a_greater_device_or_where_its_bound_is_left_out() -> None:
    recorded = (RunDetails("radial", device_a=16),)
    assert carries_more((RunDetails("radial", device_a=32),), recorded)
    assert carries_more((RunDetails("board"),), recorded)
    assert not carries_more((RunDetails("radial", device_a=10),), recorded)
    assert not carries_more(recorded, (RunDetails("radial"),))
