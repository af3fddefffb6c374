"""What a year of runs costs at each start of the day, against sums done another way."""

from datetime import date, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.domain.appliance_costs import LEAST_DAYS, year_of_runs
from service.advice.domain.appliances import ApplianceKind, Run
from service.advice.domain.charged_prices import PaidPrices, paid_prices
from service.common.slots import local_day_slots, slot_start
from tests.service.advice.domain.test_charged_prices import banded, contract, home

LONDON = ZoneInfo("Europe/London")
FIRST = date(2026, 11, 2)


def run(*half_hours_wh: int, runs: int = 5, starts_at: int = 38) -> Run:
    return Run(ApplianceKind.DISHWASHER, "Dishwasher", runs, 2_000, starts_at, half_hours_wh or (200,) * 5)


def prices_from(first_on: date, count: int, by_place: list[int]) -> PaidPrices:
    """Return prices by half-hour of the wall clock, on some local days and one more."""
    days = tuple(
        (on, local_day_slots(on, LONDON)) for on in (first_on + timedelta(days=step) for step in range(count + 1))
    )
    slots = [slot for _, day in days for slot in day]
    walls = [slot_start(slot).astimezone(LONDON) for slot in slots]
    up = tuple(by_place[wall.hour * 2 + wall.minute // 30] for wall in walls)
    none = (False,) * len(slots)
    return PaidPrices(slots[0], up, (True,) * len(slots), none, none, days, ())


def test_moving_a_run_into_the_night_saves_its_energy_times_the_difference() -> None:
    prices = paid_prices(home(contract()), {"n": banded()}, FIRST, FIRST + timedelta(days=365))
    year = year_of_runs(run(), prices, LONDON)
    assert year is not None
    assert year.days == 364
    # 260 runs of 1 kWh, at 9.5 p instead of 31 p.
    assert year.saving_up(38, 2) == 260 * 21_500_000
    assert year.cost_up[38] == 260 * 31_000_000


def test_a_run_half_inside_the_night_pays_each_half_hour_its_own_price() -> None:
    prices = paid_prices(home(contract()), {"n": banded()}, FIRST, FIRST + timedelta(days=365))
    year = year_of_runs(run(), prices, LONDON)
    assert year is not None
    # 04:30 to 07:00: two of five half-hours before 05:30.
    assert year.cost_up[9] == 260 * Fraction(2 * 9_500_000 + 3 * 31_000_000, 5)


def test_the_night_of_a_clock_change_is_in_the_year_with_its_own_half_hours() -> None:
    spring = date(2026, 3, 29)
    prices = paid_prices(home(contract()), {"n": banded()}, spring, spring + timedelta(days=LEAST_DAYS + 1))
    year = year_of_runs(run(100), prices, LONDON)
    assert year is not None
    # 01:00 and 01:30 do not exist on the first day: both runs begin an hour later, and the night ends at 05:30.
    assert year.days == LEAST_DAYS
    assert year.cost_up[2] == year.cost_up[4]
    assert year.cost_up[11] > year.cost_up[10]


def test_days_with_a_price_missing_are_left_out_and_too_few_are_no_year() -> None:
    known = prices_from(FIRST, LEAST_DAYS, [10_000_000] * 48)
    whole = year_of_runs(run(), known, LONDON)
    assert whole is not None
    assert whole.days == LEAST_DAYS
    first_missing = PaidPrices(
        known.first_slot, known.price_up, (False, *known.is_known[1:]), known.is_cheap, known.has_cheap_day,
        known.days, (),
    )  # fmt: skip
    assert year_of_runs(run(), first_missing, LONDON) is None


@settings(max_examples=60, deadline=None)
@given(
    by_place=st.lists(st.integers(-5_000_000, 60_000_000), min_size=48, max_size=48),
    half_hours_wh=st.lists(st.integers(0, 1_500), min_size=1, max_size=8),
    runs=st.integers(1, 20),
)
def test_a_years_saving_is_that_of_trying_every_start_by_brute_force(
    by_place: list[int], half_hours_wh: list[int], runs: int
) -> None:
    year = year_of_runs(run(*half_hours_wh, runs=runs), prices_from(FIRST, LEAST_DAYS, by_place), LONDON)
    assert year is not None
    # No clock change in these days: every day costs the same, so a year is 52 weeks of runs at one day's cost.
    costs = [
        Fraction(runs * 52, 1000)
        * sum(by_place[(start + step) % 48] * wh for step, wh in enumerate(half_hours_wh))
        for start in range(48)
    ]
    assert list(year.cost_up) == costs
    best = max(year.saving_up(38, start) for start in range(48))
    assert best == costs[38] - min(costs)
