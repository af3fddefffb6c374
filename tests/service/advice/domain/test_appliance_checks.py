"""Whether an appliance may run at a half-hour of the day; what is not known is never a pass."""

from decimal import Decimal
from typing import Any

import pytest

from service.advice.domain.appliance_checks import BARRIER_WORDS, Barrier, CarCircuit, HomeLimits, barrier_of
from service.advice.domain.appliances import ApplianceKind, HomeAppliances, Run

USABLE_W = 60 * 230 * 8 // 10  # 11,040 W of a 60 A fuse


def run(kind: ApplianceKind = ApplianceKind.DISHWASHER, power_w: int = 2_000, half_hours: int = 4) -> Run:
    return Run(kind, "it", 5, power_w, 38, (250,) * half_hours)


def limits(**changes: Any) -> HomeLimits:
    """Return a home of 60 A with a quiet house whose car is not charging."""
    values: dict[str, Any] = {
        "fuse_a": 60, "load_w": (500,) * 48, "car_w": (0,) * 48, "car_outlets": ({},) * 48, "circuits": {},
        "demand_a": None, "awake": HomeAppliances().awake_half_hours(), **changes,
    }  # fmt: skip
    return HomeLimits(**values)


def with_car(at: int, watts: int, **changes: Any) -> HomeLimits:
    """Return the home with a car at outlet "o" at one half-hour."""
    car_w = [0] * 48
    outlets: list[dict[str, int]] = [{} for _ in range(48)]
    car_w[at], outlets[at] = watts, {"o": watts}
    return limits(car_w=tuple(car_w), car_outlets=tuple(outlets), **changes)


def test_a_quiet_afternoon_bars_nothing() -> None:
    assert barrier_of(run(), 26, limits()) is None


@pytest.mark.parametrize(("start", "barrier"), [(12, Barrier.NOBODY_AWAKE), (13, None), (42, None),
                                                (43, Barrier.NOBODY_AWAKE), (47, Barrier.NOBODY_AWAKE)])  # fmt: skip
def test_somebody_is_awake_from_the_first_half_hour_to_the_last(start: int, barrier: Barrier | None) -> None:
    assert barrier_of(run(), start, limits()) is barrier


def test_a_run_past_midnight_needs_somebody_awake_on_both_sides_of_it() -> None:
    late = HomeAppliances((), ((0, 60), (1320, 1440))).awake_half_hours()
    assert barrier_of(run(), 46, limits(awake=late)) is None
    assert barrier_of(run(half_hours=5), 46, limits(awake=late)) is Barrier.NOBODY_AWAKE


@pytest.mark.parametrize("start", range(48))
def test_a_dryer_is_never_suggested_in_the_evening_or_overnight_even_where_somebody_is_always_awake(
    start: int,
) -> None:
    found = barrier_of(run(ApplianceKind.TUMBLE_DRYER), start, limits(awake=(True,) * 48))
    assert found is (None if 16 <= start <= 38 else Barrier.DRYER_OVERNIGHT)


@pytest.mark.parametrize(
    ("changes", "barrier"),
    [
        ({"fuse_a": None}, Barrier.FUSE_NOT_KNOWN),
        ({"load_w": None}, Barrier.LOAD_NOT_KNOWN),
        ({"demand_a": Decimal("60.1")}, Barrier.DEMAND_TOO_HIGH),
        ({"demand_a": Decimal(60)}, None),
    ],
)
def test_what_is_not_known_and_a_demand_above_the_fuse_bar_everything(
    changes: dict[str, Any], barrier: Barrier | None
) -> None:
    assert barrier_of(run(), 26, limits(**changes)) is barrier
    if barrier in (Barrier.FUSE_NOT_KNOWN, Barrier.LOAD_NOT_KNOWN):
        assert BARRIER_WORDS[barrier].startswith("not known")


def test_house_car_and_appliance_together_leave_a_fifth_of_the_fuse() -> None:
    point = {"circuits": {"o": CarCircuit(40, is_own=True)}}
    car_w = USABLE_W - 500 - 2_000
    assert barrier_of(run(), 26, with_car(27, car_w, **point)) is None
    assert barrier_of(run(), 26, with_car(27, car_w + 1, **point)) is Barrier.SUPPLY_FULL
    assert barrier_of(run(), 28, with_car(27, car_w + 1, **point)) is None


def test_other_appliances_count_too() -> None:
    point = {"circuits": {"o": CarCircuit(40, is_own=True)}}
    others = [0] * 48
    others[27] = 1
    home = with_car(27, USABLE_W - 2_500, others_w=tuple(others), **point)
    assert barrier_of(run(), 26, home) is Barrier.SUPPLY_FULL


@pytest.mark.parametrize(
    ("circuit", "barrier"),
    [
        (None, Barrier.CIRCUIT_NOT_KNOWN),
        (CarCircuit(None), Barrier.CIRCUIT_NOT_KNOWN),
        (CarCircuit(18), Barrier.CIRCUIT_FULL),
        (CarCircuit(19), None),
        (CarCircuit(None, is_own=True), None),
    ],
)
def test_where_a_car_charges_its_circuit_carries_both_or_is_its_own(
    circuit: CarCircuit | None, barrier: Barrier | None
) -> None:
    # 2,300 W of car and 2,000 W of dishwasher are 18.7 A.
    circuits = {} if circuit is None else {"o": circuit}
    assert barrier_of(run(), 26, with_car(28, 2_300, circuits=circuits)) is barrier
    # While the car does not charge, its circuit is no question.
    assert barrier_of(run(), 30, with_car(28, 2_300, circuits=circuits)) is None


def test_every_barrier_has_words() -> None:
    assert set(BARRIER_WORDS) == set(Barrier)
