"""Where two tariffs cost the same: in closed form as by trying, over random pairs of tariffs."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.advice.domain.bill import bill_of, bill_of_days, priced_line, standing_of
from service.advice.domain.break_even import (
    CheapUse,
    Rates,
    YearCost,
    blended_up,
    break_even_share,
    car_factor,
    house_factor,
    share_needed,
)
from service.common.calendar import Nation
from service.common.errors import Rejected
from service.tariffs.domain.priced_days import price_days
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms, Version

PAIRS, SEED = 1000, 20261129
FLAT, TWO = Rates(26_250_000, 26_250_000), Rates(30_700_000, 7_900_000)
WEEK_FIRST, WEEK_END = date(2026, 3, 26), date(2026, 4, 2)  # with the clock change of spring
OWN_ARITHMETIC = "identity of two prices, checked by hand"


@pytest.mark.reference
def test_a_quarter_of_use_in_the_cheap_hours_costs_what_it_should(reference: Callable[..., None]) -> None:
    reference(source=OWN_ARITHMETIC, expected=25.0, got=float(blended_up(TWO, Fraction(1, 4))) / 10**6)


@pytest.mark.reference
def test_the_break_even_share_of_the_published_style_pair(reference: Callable[..., None]) -> None:
    share = break_even_share(FLAT, TWO, yearly_wh=3_000_000)
    assert share is not None
    reference(source=OWN_ARITHMETIC, expected=19.52, got=round(float(share) * 100, 2))
    assert blended_up(TWO, share) == FLAT.dear_up


def test_no_share_is_named_where_none_does_it() -> None:
    assert break_even_share(Rates(40_000_000, 40_000_000), TWO, yearly_wh=1_000) is None  # cheaper at any share
    assert break_even_share(Rates(5_000_000, 5_000_000), TWO, yearly_wh=1_000) is None  # dearer at any share
    assert break_even_share(FLAT, Rates(30, 30), yearly_wh=1_000) is None  # no cheaper hours
    with pytest.raises(Rejected) as refused:
        break_even_share(TWO, TWO, yearly_wh=0)
    assert [fault.field for fault in refused.value.faults] == ["flat", "yearly_wh"]


def _tariff(rng: np.random.Generator) -> TariffTerms:
    """Return a random tariff: a standing charge, one to three prices, windows anywhere in the day."""
    count = int(rng.integers(1, 4))
    prices = rng.integers(3_000_000, 45_000_000, size=count).tolist()
    cuts = sorted(rng.choice(47, size=2 * (count - 1), replace=False).tolist()) if count > 1 else []
    windows = [Window(first * 30, end * 30) for first, end in zip(cuts[::2], cuts[1::2], strict=True)]
    named = enumerate(zip(prices, windows, strict=False))
    bands = [Band(f"band {place}", price, (window,)) for place, (price, window) in named]
    bands.append(Band("other hours", prices[-1], is_otherwise=True))
    standing_up = int(rng.integers(0, 80_000_000))
    version = Version(date(2020, 1, 1), (RateSheet(None, None, standing_up, tuple(bands)),), True, Decimal(5))
    return TariffTerms("t", "T", TariffKind.BANDED, TariffClock.LOCAL, (version,), {})


def _two_weeks(rng: np.random.Generator):
    """Return two random tariffs' prices of a week, a random house and a random car."""
    one, other = (
        price_days(_tariff(rng), Contract(date(2019, 1, 1)), WEEK_FIRST, WEEK_END, zone=ZoneInfo("Europe/London"),
                   nation=Nation.ENGLAND)
        for _ in range(2)
    )  # fmt: skip
    house = rng.integers(0, 800, size=one.count)
    car = np.where(rng.random(one.count) < 0.1, rng.integers(100, 3700, size=one.count), 0)
    return (one, other), house.astype(np.int64), car.astype(np.int64)


def _cost(days, house, car) -> YearCost:
    of_house, of_car = bill_of_days(days, house), bill_of_days(days, car)
    return YearCost(of_house.energy_np, of_car.energy_np, of_house.standing_np)


def _gap(pair, house, car) -> int:
    """Return what the first costs more than the second, from whole bills."""
    first, second = (bill_of_days(days, house + car).total_np for days in pair)
    return first - second


def _by_trying(sign_at: Callable[[Fraction], int], highest: int) -> Fraction | None:
    """Return where a sign changes between 0 and ``highest``, by halving; None where both ends have one sign."""
    low, high = Fraction(0), Fraction(highest)
    at_low, at_high = sign_at(low), sign_at(high)
    if at_low * at_high > 0:
        return None
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if sign_at(middle) * at_low > 0 else (low, middle)
    return high


def test_the_house_use_and_miles_that_swap_two_tariffs_are_those_that_trying_finds() -> None:
    rng = np.random.default_rng(SEED)
    print("seed", SEED)
    found = 0
    for _ in range(PAIRS):
        pair, house, car = _two_weeks(rng)
        first, second = (_cost(days, house, car) for days in pair)
        assert first.total_np - second.total_np == _gap(pair, house, car)
        for factor, of in ((house_factor(first, second), house), (car_factor(first, second), car)):
            # Whole bills with the use scaled, in whole Wh after a scale of 10^6 that makes its rounding small.
            rest = (car if of is house else house) * 1_000_000

            def sign_at(scale: Fraction, of=of, rest=rest, pair=pair) -> int:
                scaled = (of * int(scale * 1_000_000)).astype(np.int64)
                standing = [int(days.standing_up.sum()) * 1000 for days in pair]
                energy = [bill_of_days(days, scaled + rest).energy_np for days in pair]
                gap = energy[0] - energy[1] + (standing[0] - standing[1]) * 1_000_000
                return (gap > 0) - (gap < 0)

            tried = _by_trying(sign_at, 20)
            if tried is None:
                assert factor is None or factor > 20 or abs(factor) < Fraction(1, 10**5)
            else:
                found += 1
                assert factor is not None
                assert abs(factor - tried) < Fraction(1, 10**5)
    assert found > PAIRS // 10


def _moved(use: CheapUse, share: Fraction) -> int:
    """Return the energy cost of a tariff with another share of use in its cheap hours, as two lines of a bill."""
    total = use.cheap_wh + use.other_wh
    cheap = share * total
    return int(cheap * Fraction(use.cheap_np, use.cheap_wh) + (total - cheap) * Fraction(use.other_np, use.other_wh))


def test_the_share_that_swaps_two_tariffs_is_the_one_that_trying_finds() -> None:
    rng = np.random.default_rng(SEED + 1)
    print("seed", SEED + 1)
    found = 0
    for _ in range(PAIRS):
        pair, house, car = _two_weeks(rng)
        days, used = pair[0], house + car
        is_cheap = days.price_up == days.price_up.min()
        if is_cheap.all():
            continue
        cheap_bill, other_bill = (bill_of_days(days, np.where(marks, used, 0)) for marks in (is_cheap, ~is_cheap))
        use = CheapUse(cheap_bill.energy_wh, cheap_bill.energy_np, other_bill.energy_wh, other_bill.energy_np)
        own, other = (bill_of_days(each, used).total_np for each in pair)
        standing_np = own - cheap_bill.energy_np - other_bill.energy_np
        share = share_needed(use, own, other)
        tried = _by_trying(
            lambda at, use=use, standing_np=standing_np, other=other: (
                (gap := _moved(use, at) + standing_np - other) > 0
            ) - (gap < 0),
            1,
        )
        assert (share is None) == (tried is None)
        if share is not None and tried is not None:
            found += 1
            assert abs(share - tried) < Fraction(1, 10**9)
    assert found > PAIRS // 10


def test_the_break_even_share_of_a_flat_and_a_two_rate_tariff_is_the_one_that_trying_finds() -> None:
    rng = np.random.default_rng(SEED + 2)
    print("seed", SEED + 2)
    found = 0
    for _ in range(PAIRS):
        price, dear, cheap = rng.integers(3_000_000, 45_000_000, size=3).tolist()
        standings = rng.integers(0, 80_000_000, size=2).tolist()
        yearly_wh = int(rng.integers(500_000, 9_000_000))
        flat, two = Rates(price, price, standings[0]), Rates(dear, cheap, standings[1])
        flat_np = bill_of([priced_line("all", yearly_wh, price)], [standing_of(365, standings[0])]).total_np

        def sign_at(share: Fraction, two=two, yearly_wh=yearly_wh, flat_np=flat_np) -> int:
            cheap_wh = int(share * yearly_wh * 10**6)  # in 1e-6 Wh, so that whole numbers are fine enough
            lines = [
                priced_line("cheap", cheap_wh, two.cheap_up),
                priced_line("dear", yearly_wh * 10**6 - cheap_wh, two.dear_up),
            ]
            standing_np = standing_of(365, two.standing_up_per_day).cost_np * 10**6
            gap = bill_of(lines, []).energy_np + standing_np - flat_np * 10**6
            return (gap > 0) - (gap < 0)

        share = break_even_share(flat, two, yearly_wh=yearly_wh)
        tried = _by_trying(sign_at, 1) if dear > cheap else None
        assert (share is None) == (tried is None)
        if share is not None and tried is not None:
            found += 1
            assert abs(share - tried) < Fraction(1, 10**9)
    assert found > PAIRS // 10


def test_parallel_costs_never_swap() -> None:
    assert house_factor(YearCost(5, 1, 0), YearCost(5, 2, 0)) is None
    assert car_factor(YearCost(5, 1, 0), YearCost(6, 1, 0)) is None
    assert house_factor(YearCost(5, 1, 0), YearCost(6, 2, 0)) is None  # dearer in every part
    assert share_needed(CheapUse(0, 0, 5, 5), 5, 4) is None
