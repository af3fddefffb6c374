"""The bill: published totals come out, clock-change days count as they are, VAT is a part, rounded once."""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.advice.domain.bill import (
    YEAR_DAYS,
    annualised_np,
    bill_of,
    bill_of_days,
    energy_lines,
    in_pence,
    merged,
    priced_line,
    standing_of,
    times,
)
from service.common.calendar import Nation
from service.common.money import parse_pence
from service.tariffs.domain.priced_days import price_days
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms, Version

LONDON = ZoneInfo("Europe/London")
CAP = "Ofgem, default tariff cap, national average, direct debit, VAT included"
OLD, NEW, OLDER = (2700, 11500), (2500, 9500), (2900, 12000)
# quarter, kWh of electricity and gas, p per kWh and p a day of each, the published total in pounds
CAPS = [
    ("Oct-Dec 2023", OLDER, "27.35", "53.37", "6.89", "29.62", 1923),
    ("Oct-Dec 2023", OLD, "27.35", "53.37", "6.89", "29.62", 1834),
    ("Jan-Mar 2024", OLD, "28.62", "53.35", "7.42", "29.60", 1928),
    ("Apr-Jun 2024", OLD, "24.50", "60.10", "6.04", "31.43", 1690),
    ("Jul-Sep 2024", OLD, "22.36", "60.12", "5.48", "31.41", 1568),
    ("Oct-Dec 2024", OLD, "24.50", "60.99", "6.24", "31.66", 1717),
    ("Jan-Mar 2025", OLD, "24.86", "60.97", "6.34", "31.65", 1738),
    ("Apr-Jun 2025", OLD, "27.03", "53.80", "6.99", "32.67", 1849),
    ("Jul-Sep 2025", OLD, "25.73", "51.37", "6.33", "29.82", 1720),
    ("Oct-Dec 2025", OLD, "26.35", "53.68", "6.29", "34.03", 1755),
    ("Jan-Mar 2026", OLD, "27.69", "54.75", "5.93", "35.09", 1758),
    ("Apr-Jun 2026", OLD, "24.67", "57.21", "5.74", "29.09", 1641),
    ("Jul-Sep 2026", NEW, "26.11", "57.19", "7.33", "29.04", 1663),
    ("Jul-Sep 2026", OLD, "26.11", "57.19", "7.33", "29.04", 1862),
]  # fmt: skip
# the electricity part of the same bills, by arithmetic from the published rates, in pounds
ELECTRICITY = [
    ("Jan-Mar 2024", "967.47"), ("Apr-Jun 2024", "880.87"), ("Jul-Sep 2024", "823.16"), ("Oct-Dec 2024", "884.11"),
    ("Jan-Mar 2025", "893.76"), ("Apr-Jun 2025", "926.18"), ("Jul-Sep 2025", "882.21"), ("Oct-Dec 2025", "907.38"),
    ("Jan-Mar 2026", "947.47"), ("Apr-Jun 2026", "874.91"), ("Jul-Sep 2026", "913.71"),
]  # fmt: skip


def _fuel(kwh: int, rate: str, standing: str, days: int = YEAR_DAYS):
    lines = [priced_line("all day", kwh * 1000, parse_pence(rate), vat=500)]
    return bill_of(lines, [standing_of(days, parse_pence(standing), vat=500)])


@pytest.mark.reference
@pytest.mark.parametrize(("quarter", "kwh", "rate", "standing", "gas_rate", "gas_standing", "published"), CAPS)
def test_the_published_annual_totals_of_both_fuels_come_out(
    reference: Callable[..., None], quarter, kwh, rate, standing, gas_rate, gas_standing, published
) -> None:
    total_np = _fuel(kwh[0], rate, standing).total_np + _fuel(kwh[1], gas_rate, gas_standing).total_np
    reference(
        source=f"{CAP}, {quarter}, {kwh[0]}/{kwh[1]} kWh", expected=Decimal(published),
        got=Decimal(in_pence(total_np)) / 100, tolerance=Decimal("1.00"),
    )  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("quarter", "pounds"), ELECTRICITY)
def test_the_electricity_of_the_same_bills_comes_out_to_the_penny(
    reference: Callable[..., None], quarter, pounds
) -> None:
    _, kwh, rate, standing, *_ = next(row for row in CAPS if row[0] == quarter and row[1] == OLD)
    got = Decimal(_fuel(kwh[0], rate, standing).total_pence) / 100
    reference(source=f"{CAP}, {quarter}, electricity alone", expected=Decimal(pounds), got=got)


@pytest.mark.reference
def test_two_rates_in_the_published_split_cost_their_blend(reference: Callable[..., None]) -> None:
    lines = [priced_line("day", 580, 30_000_000), priced_line("night", 420, 15_000_000)]
    reference(
        source="Ofgem, average split of two-rate use 58/42 %; the blend by arithmetic", expected=Decimal("23.7"),
        got=Decimal(bill_of(lines, []).energy_np) / 10**9,
    )  # fmt: skip
    year = [priced_line("day", 2_262_000, 30_000_000), priced_line("night", 1_638_000, 15_000_000)]
    assert bill_of(year, []).total_pence == 92_430


def _terms(*versions: Version) -> TariffTerms:
    return TariffTerms("t", "T", TariffKind.BANDED, TariffClock.LOCAL, versions, {})


def _night_and_day(night_up: int, day_up: int, *, from_on: date = date(2020, 1, 1), standing_up: int = 0) -> Version:
    bands = (
        Band("night", night_up, (Window(30, 330),)),
        Band("day", day_up, is_otherwise=True),
    )
    return Version(from_on, (RateSheet(None, None, standing_up, bands),), vat_included=True, vat_percent=Decimal(5))


def _priced(terms: TariffTerms, first_on: date, end_on: date):
    return price_days(terms, Contract(date(2019, 1, 1)), first_on, end_on, zone=LONDON, nation=Nation.ENGLAND)


@pytest.mark.reference
def test_seven_hours_of_even_use_in_a_cheap_band_blend_as_published(reference: Callable[..., None]) -> None:
    bands = (Band("night", 7_000_000, (Window(0, 420),)), Band("day", 25_000_000, is_otherwise=True))
    version = Version(date(2020, 1, 1), (RateSheet(None, None, 0, bands),), vat_included=True, vat_percent=Decimal(5))
    days = _priced(_terms(version), date(2026, 6, 1), date(2026, 6, 2))
    even = bill_of_days(days, np.full(48, 500, dtype=np.int64))
    got = Fraction(even.energy_np, even.energy_wh * 10**6)
    reference(source="own arithmetic: 7 h at 7 p, 17 h at 25 p, even use", expected=19.75, got=float(got))
    in_band = np.where(days.band == days.band_names.index("night"), 500, 0)
    assert bill_of_days(days, in_band).energy_np == 7000 * 7_000_000


@pytest.mark.parametrize(
    ("day", "night_kwh", "day_kwh"),
    [(date(2026, 6, 1), 10, 38), (date(2026, 3, 29), 8, 38), (date(2026, 10, 25), 12, 38)],
)
def test_a_day_of_a_clock_change_has_the_half_hours_it_has_and_one_standing_charge(
    day: date, night_kwh: int, day_kwh: int
) -> None:
    version = _night_and_day(7_000_000, 30_000_000, standing_up=50_000_000)
    days = _priced(_terms(version), day, day + timedelta(days=1))
    bill = bill_of_days(days, np.full(days.count, 1000, dtype=np.int64))
    assert {line.band: line.energy_wh for line in bill.lines} == {"night": night_kwh * 1000, "day": day_kwh * 1000}
    assert bill.standing_np == 50 * 10**9
    assert bill.total_pence == night_kwh * 7 + day_kwh * 30 + 50


def test_a_version_that_takes_over_brings_its_prices_its_standing_charge_and_its_vat() -> None:
    old = _night_and_day(7_000_000, 30_000_000, standing_up=50_000_000)
    new_bands = (Band("night", 8_000_000, (Window(30, 330),)), Band("day", 31_000_000, is_otherwise=True))
    new = Version(date(2026, 6, 3), (RateSheet(None, None, 60_000_000, new_bands),), False, Decimal(20))
    days = _priced(_terms(old, new), date(2026, 6, 1), date(2026, 6, 5))
    bill = bill_of_days(days, np.full(days.count, 1000, dtype=np.int64))
    assert bill.standing_np == (2 * 50 + 2 * 72) * 10**9
    first, second = 2 * (10 * 7 + 38 * 30), 2 * (10 * 96 + 38 * 372) // 10
    assert bill.energy_np == 2 * (10 * 7 + 38 * 30) * 10**9 + 2 * (10 * 96 + 38 * 372) * 10**8
    assert bill.vat_np == pytest.approx((first + 100) * 10**9 * 5 / 105 + (second + 144) * 10**9 * 20 / 120, abs=10**9)
    assert [line.vat for line in bill.lines] == [500, 2000, 500, 2000]


def test_vat_is_the_part_of_the_price_that_it_is() -> None:
    # 26.35 p with 5 % VAT has 1.2548 p of it
    bill = bill_of([priced_line("all day", 1000, 26_350_000, vat=500)], [])
    assert bill.vat_np == 1_254_761_905
    assert bill_of([priced_line("all day", 1000, 26_350_000)], []).vat_np == 0


def test_energy_without_a_price_stands_beside_the_bill() -> None:
    version = _night_and_day(7_000_000, 30_000_000, from_on=date(2026, 6, 2))
    days = _priced(_terms(version), date(2026, 6, 1), date(2026, 6, 3))
    bill = bill_of_days(days, np.full(days.count, 1000, dtype=np.int64))
    assert (bill.unpriced_wh, bill.unpriced_days, bill.is_whole) == (48_000, 1, False)
    assert bill.total_pence == 10 * 7 + 38 * 30


def test_nothing_is_rounded_before_the_end() -> None:
    third_of_a_penny = priced_line("all day", 1, 333_333_333)
    assert bill_of([third_of_a_penny] * 3, []).total_pence == 1
    assert sum(bill_of([third_of_a_penny], []).total_pence for _ in range(3)) == 0


def test_a_period_of_any_length_makes_a_year_of_365_days_and_keeps_its_own() -> None:
    leap = _fuel(2700, "24.50", "60.10", days=366)
    assert leap.days == 366
    assert annualised_np(leap) == pytest.approx(leap.total_np * 365 / 366, abs=1)
    with pytest.raises(ValueError, match="without a day"):
        annualised_np(bill_of([], []))


def test_sums_beyond_64_bits_are_exact() -> None:
    dear = _night_and_day(100_000_000_000, 100_000_000_000)
    days = _priced(_terms(dear), date(2026, 1, 1), date(2027, 1, 1))
    bill = bill_of_days(days, np.full(days.count, 40_000, dtype=np.int64))
    assert bill.energy_np == days.count * 40_000 * 100_000_000_000


def test_further_energy_joins_the_lines_of_its_bands() -> None:
    days = _priced(_terms(_night_and_day(7_000_000, 30_000_000)), date(2026, 6, 1), date(2026, 6, 2))
    bill = bill_of_days(days, np.full(48, 1000, dtype=np.int64))
    week = energy_lines(days, np.array([2, 3, 20]), np.array([500, 500, 100]))
    both = merged(bill, times(week, 52))
    assert {line.band: line.energy_wh for line in both.lines} == {"night": 10_000 + 52_000, "day": 38_000 + 5_200}
    assert both.total_np == bill.total_np + 52 * (1000 * 7_000_000 + 100 * 30_000_000)
    with pytest.raises(ValueError, match="one energy"):
        energy_lines(days, np.array([1]), np.array([1, 2]))
