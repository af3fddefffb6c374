"""Tariffs are ranked by the whole year, told apart from the present one, and held against the cheapest flat one."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.advice.domain.house_use import HouseUse, UseSource
from service.advice.domain.tariff_comparison import Candidate, LeftOut, rank
from service.advice.domain.tariff_eligibility import LeavingCost
from service.advice.domain.tariff_firmness import Firmness
from service.advice.domain.tariff_years import CarWeekUse, tariff_year
from service.common.calendar import Nation
from service.common.errors import Rejected
from service.tariffs.domain.priced_days import PricedDays, price_days
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms, Version

FIRST, END = date(2026, 11, 25), date(2027, 11, 25)
NOBODY = LeavingCost(None, "not known")
USE = HouseUse(np.full(365 * 48, 200, dtype=np.int64), UseSource.TOLD, ())
WEEK = CarWeekUse(np.arange(2, 8), np.full(6, 1100, dtype=np.int64), Fraction(20))


def _days(*bands: Band, standing: int = 40_000_000, on: date = date(2020, 1, 1)) -> PricedDays:
    version = Version(on, (RateSheet(None, None, standing, bands),), vat_included=True, vat_percent=Decimal(5))
    terms = TariffTerms("t", "T", TariffKind.BANDED, TariffClock.LOCAL, (version,), {})
    return price_days(terms, Contract(FIRST), FIRST, END, zone=ZoneInfo("Europe/London"), nation=Nation.ENGLAND)


def _flat(price: int, **more: int) -> PricedDays:
    return _days(Band("all day", price, is_otherwise=True), **more)


def _night(night: int, day: int) -> PricedDays:
    return _days(Band("night", night, (Window(30, 330),)), Band("day", day, is_otherwise=True))


def _candidate(name: str, days: PricedDays, **more) -> Candidate:
    return Candidate(name * 32, name, tariff_year(days, USE, WEEK, name=name), **more)


def test_the_year_is_the_house_and_fifty_two_car_weeks_and_every_day() -> None:
    year = tariff_year(_flat(25_000_000), USE, WEEK, name="A")
    assert year.whole.total_np == (200 * 17_520 + 52 * 6600) * 25_000_000 + 365 * 40_000_000 * 1000
    assert (year.car_wh, year.miles) == (52 * 6600, 52 * 20)
    assert year.up_per_mile == 6600 * 25_000_000 // 1000 // 20
    assert year.cheap is None
    assert year.steps[-1].result.startswith(f"{year.whole.total_pence} p, of which VAT")


def test_the_cheap_hours_hold_what_falls_in_them() -> None:
    year = tariff_year(_night(8_000_000, 30_000_000), USE, WEEK, name="B")
    assert year.cheap_band == "night"
    assert year.cheap is not None
    # Ten half-hours a day, eight on the day the clock leaps, twelve on the day it falls back; the car lies in six
    # half-hours from 01:00 on.
    assert year.cheap.cheap_wh == 200 * (363 * 10 + 8 + 12) + 52 * 6600
    assert year.cheap.cheap_wh + year.cheap.other_wh == year.whole.energy_wh
    assert year.cheap.cheap_np + year.cheap.other_np == year.whole.energy_np


def test_a_price_that_is_not_known_makes_no_year() -> None:
    late = _days(Band("all day", 1, is_otherwise=True), on=date(2027, 1, 1))
    with pytest.raises(Rejected, match="no version of the tariff is in force"):
        tariff_year(late, USE, WEEK, name="C")


def test_the_cheapest_comes_first_and_equal_ones_by_name() -> None:
    one, same = _candidate("b", _flat(25_000_000)), _candidate("a", _flat(25_000_000))
    dear = _candidate("c", _flat(35_000_000), is_present=True)
    left_out = [LeftOut("z", "z", ("closed",)), LeftOut("y", "y", ("closed",))]
    found = rank([dear, one, same], left_out, USE, LeavingCost(500, "a fee"))
    assert [(place.rank, place.candidate.name) for place in found.places] == [(1, "a"), (2, "b"), (3, "c")]
    assert [each.name for each in found.left_out] == ["y", "z"]
    assert [place.year_one_pence for place in found.places] == [
        one.year.whole.total_pence + 500, one.year.whole.total_pence + 500, dear.year.whole.total_pence,
    ]  # fmt: skip
    difference = one.year.whole.total_pence - dear.year.whole.total_pence
    assert [place.difference_pence for place in found.places] == [difference, difference, 0]
    assert found.verdict.firmness is Firmness.CLOSE  # the first two cost the same


def test_a_reason_says_which_part_makes_the_difference() -> None:
    now = _candidate("now", _flat(30_000_000), is_present=True)
    less = _candidate("less", _flat(30_000_000, standing=30_000_000))
    found = rank([now, less], [], USE, NOBODY)
    assert found.places[0].reasons == ("Against the present tariff, a year: the standing charge £36.50 less.",)
    assert found.places[0].year_one_pence is None


def test_the_break_even_share_is_held_against_the_cheapest_flat_tariff() -> None:
    night, flat = _candidate("night", _night(7_900_000, 30_700_000)), _candidate("flat", _flat(26_250_000))
    found = rank([night, flat, _candidate("dear", _flat(50_000_000))], [], USE, NOBODY)
    told = next(place.break_even for place in found.places if place.candidate is night)
    assert told is not None
    assert told.against == "flat"
    assert told.share is not None
    assert round(float(told.share) * 100, 2) == 19.52  # whatever the use: standing charges are alike
    assert all(place.break_even is None for place in found.places if place.candidate is not night)


def test_one_tariff_or_none_has_nothing_to_be_firm_against() -> None:
    assert rank([_candidate("a", _flat(1))], [], USE, NOBODY).verdict.firmness is Firmness.ONLY_ONE
    assert rank([], [], USE, NOBODY).verdict.firmness is Firmness.NONE
