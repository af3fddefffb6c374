"""What the same charging would have cost in the cheapest half-hours of the same time plugged in."""

from datetime import UTC, datetime, timedelta
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.domain.charged_prices import PaidPrices
from service.advice.domain.charged_stays import Stay, stay_cost, stays_of
from service.common.slots import slot_index
from service.households.domain.charging_records import Charged

EVENING = datetime(2026, 11, 24, 18, 0, tzinfo=UTC)
MORNING = datetime(2026, 11, 25, 7, 30, tzinfo=UTC)


def record(start: datetime = EVENING, hours: float = 2, energy_wh: int = 4_600, car: str = "a") -> Charged:
    ends_at = start + timedelta(hours=hours)
    return Charged(f"{start:%d%H%M}", car, None, "home", start, ends_at, energy_wh, False)


def prices_of(first_slot: int, price_up: list[int | None]) -> PaidPrices:
    """Return prices of half-hours in a row; None: not known."""
    known = tuple(price is not None for price in price_up)
    none = (False,) * len(price_up)
    return PaidPrices(first_slot, tuple(price or 0 for price in price_up), known, none, none, (), ())


def test_a_car_stands_plugged_in_until_it_next_leaves() -> None:
    (stay,) = stays_of([record()], {"a": [EVENING - timedelta(hours=1), MORNING]})
    assert (stay.starts_at, stay.ends_at, stay.energy_wh) == (EVENING, MORNING, 4_600)


def test_where_no_departure_is_known_it_stands_a_day_and_never_ends_before_the_record() -> None:
    assert stays_of([record()], {})[0].ends_at == EVENING + timedelta(days=1)
    assert stays_of([record(hours=30)], {"a": [MORNING]})[0].ends_at == EVENING + timedelta(hours=30)


def test_records_of_one_night_are_one_stay_and_those_of_another_car_or_night_are_not() -> None:
    later = EVENING + timedelta(hours=5)
    records = [record(), record(later), record(EVENING + timedelta(days=1)), record(car="b")]
    stays = stays_of(records, {"a": [MORNING], "b": [MORNING]})
    assert [(stay.vehicle_id, stay.starts_at, stay.energy_wh) for stay in stays] == [
        ("a", EVENING, 9_200), ("b", EVENING, 4_600), ("a", EVENING + timedelta(days=1), 4_600),
    ]  # fmt: skip


def test_charging_on_arrival_is_compared_with_the_cheap_half_hours_of_the_same_night() -> None:
    (stay,) = stays_of([record()], {"a": [MORNING]})
    first = slot_index(EVENING)
    night = slot_index(datetime(2026, 11, 25, 0, 30, tzinfo=UTC))
    price_up = [9_500_000 if night <= slot < night + 10 else 31_000_000 for slot in range(first, first + 27)]
    cost = stay_cost(stay, prices_of(first, list(price_up)))
    assert (cost.paid_np, cost.cheapest_np) == (4_600 * 31_000_000, 4_600 * 9_500_000)


def test_cheap_half_hours_take_no_more_than_the_car_drew_at_most() -> None:
    (stay,) = stays_of([record()], {"a": [MORNING]})
    first = slot_index(EVENING)
    prices: list[int | None] = [31_000_000] * 27
    prices[20] = 1_000_000
    cost = stay_cost(stay, prices_of(first, prices))
    assert cost.cheapest_np == 1_150 * 1_000_000 + 3_450 * 31_000_000


def test_energy_without_a_price_is_not_compared_and_a_half_hour_without_one_is_never_filled() -> None:
    (stay,) = stays_of([record()], {"a": [MORNING]})
    first = slot_index(EVENING)
    prices: list[int | None] = [None, *([31_000_000] * 26)]
    assert stay_cost(stay, prices_of(first, prices)).paid_np is None
    prices = [*([31_000_000] * 4), *([None] * 23)]
    cost = stay_cost(stay, prices_of(first, prices))
    assert cost.paid_np == cost.cheapest_np == 4_600 * 31_000_000


@settings(max_examples=200)
@given(
    price_up=st.lists(st.integers(-5, 40), min_size=5, max_size=5),
    drawn=st.lists(st.integers(0, 3), min_size=5, max_size=5),
    spare=st.lists(st.integers(0, 2), min_size=5, max_size=5),
)
def test_the_least_cost_is_that_of_the_best_of_all_ways_to_fill_the_stay(
    price_up: list[int], drawn: list[int], spare: list[int]
) -> None:
    cap = [wh + more for wh, more in zip(drawn, spare, strict=True)]
    stay = Stay("a", EVENING, MORNING, dict(enumerate(drawn)), dict(enumerate(cap)))
    ways = (way for way in product(*(range(most + 1) for most in cap)) if sum(way) == sum(drawn))
    best = min(sum(price * wh for price, wh in zip(price_up, way, strict=True)) for way in ways)
    cost = stay_cost(stay, prices_of(0, list(price_up)))
    assert cost.cheapest_np == best
    assert cost.paid_np == sum(price * wh for price, wh in zip(price_up, drawn, strict=True)) >= best


@given(
    start_s=st.integers(0, 86_400),
    seconds=st.integers(60, 40_000),
    energy_wh=st.integers(1, 60_000),
    leaves_h=st.integers(0, 40),
)
def test_a_stay_can_always_hold_what_was_drawn_in_it(start_s: int, seconds: int, energy_wh: int, leaves_h: int) -> None:
    starts_at = EVENING + timedelta(seconds=start_s)
    one = record(starts_at, seconds / 3600, energy_wh)
    (stay,) = stays_of([one], {"a": [EVENING + timedelta(hours=leaves_h)]})
    assert set(stay.drawn_wh) <= set(stay.cap_wh)
    assert all(stay.cap_wh[slot] >= wh for slot, wh in stay.drawn_wh.items())
    assert stay.energy_wh == energy_wh
