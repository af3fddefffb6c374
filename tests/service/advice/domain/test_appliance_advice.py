"""Which appliances to move, when to, and why not."""

from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from service.advice.domain.appliance_advice import CAUTIONS, Move, advise
from service.advice.domain.appliance_checks import Barrier, barrier_of
from service.advice.domain.appliance_costs import LEAST_DAYS
from service.advice.domain.appliances import ApplianceKind, Run
from service.advice.domain.charged_prices import PaidPrices, paid_prices
from service.tariffs.domain.rate_bands import Band, Window
from tests.service.advice.domain.test_appliance_checks import limits
from tests.service.advice.domain.test_appliance_costs import prices_from
from tests.service.advice.domain.test_charged_prices import banded, contract, home

LONDON = ZoneInfo("Europe/London")
FIRST = date(2026, 11, 2)


def run(**changes: Any) -> Run:
    values: dict[str, Any] = {
        "kind": ApplianceKind.DISHWASHER, "label": "Dishwasher", "runs_a_week": 5, "power_w": 2_000, "starts_at": 38,
        "half_hours_wh": (200,) * 5, "figures": (("power", "2000 W", "a test"),), **changes,
    }  # fmt: skip
    return Run(**values)


def year(*bands: Band) -> PaidPrices:
    return paid_prices(home(contract()), {"n": banded("n", *bands)}, FIRST, FIRST + timedelta(days=365))


AFTERNOON = (
    Band("low", 10_000_000, (Window(780, 960),)), Band("dear", 40_000_000, (Window(960, 1140),)),
    Band("usual", 25_000_000, (), True),
)  # fmt: skip


def test_it_is_moved_to_the_cheapest_hours_in_which_somebody_is_awake() -> None:
    (advice,) = advise([run()], year(*AFTERNOON), limits(), LONDON)
    assert (advice.move, advice.start) == (Move.MOVE, 26)
    assert advice.yearly_saving_up == 260 * 15_000_000
    assert advice.yearly_cost_up == 260 * 25_000_000
    assert advice.headline == "Start it at 13:00 instead of 19:00, while somebody is awake and at home."
    assert [step.what for step in advice.steps] == [
        "Dishwasher: power", "Dishwasher: a year of runs", "Dishwasher: within circuit and supply at 13:00",
    ]  # fmt: skip
    assert "3900 p saved a year" in advice.steps[1].result


def test_where_only_the_night_is_cheap_nothing_is_suggested_and_it_says_why() -> None:
    # From 04:00 on a run would end in waking hours, but begin before them; by 06:30 nothing of the night is left.
    (advice,) = advise([run()], year(), limits(), LONDON)
    assert (advice.move, advice.start, advice.yearly_saving_up) == (Move.NOT_SUGGESTED, None, None)
    assert advice.barriers == (Barrier.NOBODY_AWAKE,)
    assert advice.headline == "Every cheaper start is barred: nobody is awake at home for all of it."


def test_at_one_price_it_may_stay_where_it_is() -> None:
    (advice,) = advise([run()], year(Band("all", 25_000_000, (), True)), limits(), LONDON)
    assert (advice.move, advice.yearly_saving_up) == (Move.STAY, 0)


def test_without_prices_it_is_not_known() -> None:
    nothing = paid_prices(home(), {}, FIRST, FIRST + timedelta(days=365))
    (advice,) = advise([run()], nothing, limits(), LONDON)
    assert (advice.move, advice.yearly_cost_up, advice.start) == (Move.NOT_KNOWN, None, None)


def test_where_fuse_or_load_is_not_known_nothing_is_suggested() -> None:
    for changes, barrier in (({"fuse_a": None}, Barrier.FUSE_NOT_KNOWN), ({"load_w": None}, Barrier.LOAD_NOT_KNOWN)):
        (advice,) = advise([run()], year(*AFTERNOON), limits(**changes), LONDON)
        assert advice.move is Move.NOT_SUGGESTED
        assert barrier in advice.barriers
        assert "not known" in advice.headline


def test_one_that_was_moved_counts_as_load_for_the_next() -> None:
    machines = [run(label="One", power_w=5_000), run(label="Two", power_w=5_000), run(label="Three", power_w=5_000)]
    found = advise(machines, year(*AFTERNOON), limits(), LONDON)
    # 11,040 W usable, the house 500: two of them fit at once. The first leaves 19:00 alone with the third.
    starts = [advice.start for advice in found]
    assert starts[:2] == [26, 26]
    assert starts[2] not in (26, 27, 28, 29, 30)


def test_the_fire_caution_is_there_whatever_the_advice() -> None:
    assert any("sleep or are out" in caution for caution in CAUTIONS)
    assert any("overnight" in caution for caution in CAUTIONS)


@settings(max_examples=40, deadline=None)
@given(
    by_place=st.lists(st.integers(0, 60_000_000), min_size=48, max_size=48),
    half_hours=st.integers(1, 6),
    starts_at=st.integers(0, 47),
    awake=st.lists(st.booleans(), min_size=48, max_size=48),
)
def test_what_is_suggested_is_the_best_of_all_starts_that_pass_every_check(
    by_place: list[int], half_hours: int, starts_at: int, awake: list[bool]
) -> None:
    machine = run(half_hours_wh=(100,) * half_hours, starts_at=starts_at)
    bounds = limits(awake=tuple(awake))
    (advice,) = advise([machine], prices_from(FIRST, LEAST_DAYS, by_place), bounds, LONDON)
    costs = [
        sum(by_place[(start + step) % 48] * 100 for step in range(half_hours)) * 260 / 1000 for start in range(48)
    ]
    passing = [start for start in range(48) if barrier_of(machine, start, bounds) is None]
    best = min((costs[start] for start in passing), default=None)
    if best is not None and best < costs[starts_at]:
        assert advice.yearly_saving_up is not None
        assert abs(advice.yearly_saving_up - (costs[starts_at] - best)) <= 1
        assert advice.start in passing
    else:
        assert advice.start is None
