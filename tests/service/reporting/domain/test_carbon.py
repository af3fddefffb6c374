"""Energy and miles of the same driving, and the grams they stand for."""

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest

from service.common.errors import Rejected
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures
from service.reporting.domain.carbon import CarMonth, Driven, Period, account, blend, grams, miles_between, settle
from service.reporting.domain.carbon_factors import SIZES, FactorBook

FACTORS = FactorBook(FigureBook(shipped_figures()))
DESNZ = "DESNZ, conversion factors for company reporting 2025; arithmetic"
JULY = date(2025, 7, 1)


def month(**changes) -> CarMonth:
    """Return a month of a car that drives 3 miles on a kWh at the wall."""
    usual = {"vehicle_id": "c", "month_on": JULY, "miles_per_kwh": Decimal("3.75"), "efficiency_permille": 800}
    return CarMonth(**{**usual, **changes})


@pytest.mark.reference
@pytest.mark.parametrize(
    ("what", "expected_g"), [("petrol", 2_618_700), ("electricity", 651_800), ("saved", 1_966_900)]
)
def test_ten_thousand_miles(what, expected_g, reference):
    done = account([(JULY, settle(month(miles=Decimal(10_000))))], FACTORS)
    got = {"petrol": done.petrol_g("average"), "electricity": done.electricity_g, "saved": done.saved_g("average")}
    reference(source=DESNZ, expected=expected_g, got=got[what], tolerance=50)


@pytest.mark.parametrize(
    ("recorded", "driven"),
    [
        # Nothing recorded: an estimate from the miles told.
        ({"miles": Decimal(300)}, Driven(estimated_wh=100_000, told_miles=Decimal(300))),
        ({"miles": Decimal(0)}, Driven()),
        # Recorded, and the miles of each day are known.
        (
            {"metered_wh": 60_000, "away_wh": 40_000, "miles": Decimal(330), "are_miles_whole": True},
            Driven(metered_wh=60_000, away_wh=40_000, told_miles=Decimal(330)),
        ),
        # Recorded without miles, or with a few days of them only: the miles that the energy drives.
        ({"stated_wh": 10_000}, Driven(stated_wh=10_000, estimated_miles=Decimal(30))),
        (
            {"metered_wh": 10_000, "miles": Decimal(7)},
            Driven(metered_wh=10_000, estimated_miles=Decimal(30)),
        ),
        # 75 % of what the miles take is whole enough; less leaves charging out, so the rest is estimated.
        (
            {"metered_wh": 75_000, "miles": Decimal(300), "are_miles_whole": True},
            Driven(metered_wh=75_000, told_miles=Decimal(300)),
        ),
        (
            {"metered_wh": 74_999, "miles": Decimal(300), "are_miles_whole": True},
            Driven(metered_wh=74_999, estimated_wh=25_001, told_miles=Decimal(300)),
        ),
    ],
)
def test_a_month_rests_on_one_thing(recorded, driven):
    assert settle(month(**recorded)) == driven


def test_a_month_of_which_nothing_is_known_is_not_counted():
    assert settle(month()) is None


def test_months_of_several_cars_add_up_and_the_sums_are_of_the_months():
    parts = [
        (JULY, Driven(metered_wh=1_001, told_miles=Decimal("3.1"))),
        (date(2025, 6, 1), Driven(stated_wh=2_003, estimated_miles=Decimal("6.7"))),
        (JULY, Driven(away_wh=999, estimated_wh=7, told_miles=Decimal("0.9"))),
    ]
    done = account(parts, FACTORS)
    assert [each.month_on.month for each in done.months] == [6, 7]
    assert done.driven.energy_wh == 4_010
    assert done.driven.miles == Decimal("10.7")
    assert done.electricity_g == sum(each.electricity_g for each in done.months)
    assert done.months[1].electricity_g == grams(Decimal("2.007"), Decimal("0.19553"))
    for size in SIZES:
        assert done.petrol_g(size) == sum(each.petrol_g[size] for each in done.months)
    assert done.saved_g("small") < done.saved_g("average") < done.saved_g("large")


def test_electricity_that_emits_more_than_petrol_is_said_so():
    done = account([(JULY, Driven(metered_wh=100_000, told_miles=Decimal(10)))], FACTORS)
    assert done.saved_g("large") < 0


def test_what_the_book_does_not_know_is_not_known_in_the_sum_either():
    asked = FactorBook(FigureBook(shipped_figures()), 2023)
    done = account([(JULY, Driven(metered_wh=1_000, told_miles=Decimal(3)))], asked)
    assert (done.petrol_g("average"), done.saved_g("average")) == (None, None)
    assert done.electricity_g == 225  # 1 kWh x 0.22499
    unknown = account([(JULY, Driven(metered_wh=1_000))], FactorBook(FigureBook([])))
    assert unknown.electricity_g is None


def test_an_empty_account_is_nought():
    done = account([], FACTORS)
    assert (done.electricity_g, done.driven, done.months) == (0, Driven(), ())


READINGS = [(date(2025, 1, 1), Decimal(1000)), (date(2025, 1, 11), Decimal(1100)), (date(2025, 3, 1), Decimal(1590))]


@pytest.mark.parametrize(
    ("start", "end", "miles"),
    [
        ((1, 1), (1, 11), 100), ((1, 1), (1, 2), 10), ((1, 6), (1, 11), 50), ((1, 1), (3, 1), 590),
        ((1, 11), (2, 1), 210), ((2, 1), (3, 1), 280), ((1, 1), (1, 1), 0),
    ],
)
def test_miles_between_readings_are_driven_evenly(start, end, miles):
    assert miles_between(READINGS, date(2025, *start), date(2025, *end)) == miles


def test_months_of_an_odometer_add_up_to_its_readings():
    days = [date(2025, 1, 1), date(2025, 1, 7), date(2025, 1, 20), date(2025, 2, 3), date(2025, 3, 1)]
    parts = [miles_between(READINGS, start, end) for start, end in pairwise(days)]
    assert sum(parts) == 590


@pytest.mark.parametrize(
    ("readings", "start", "end"),
    [
        (READINGS, date(2024, 12, 31), date(2025, 2, 1)), (READINGS, date(2025, 2, 1), date(2025, 3, 2)),
        ([], date(2025, 2, 1), date(2025, 3, 1)), (READINGS[:1], date(2025, 1, 1), date(2025, 1, 2)),
        ([(date(2025, 1, 1), Decimal(9)), (date(2025, 2, 1), Decimal(5))], date(2025, 1, 1), date(2025, 2, 1)),
    ],
)
def test_days_beyond_the_readings_are_not_known(readings, start, end):
    assert miles_between(readings, start, end) is None


def test_a_period_is_told_in_calendar_months_that_are_over():
    period = Period(date(2025, 11, 20), date(2026, 3, 10))
    assert period.months(before=date(2026, 2, 5)) == (
        (date(2025, 11, 20), date(2025, 12, 1)), (date(2025, 12, 1), date(2026, 1, 1)),
        (date(2026, 1, 1), date(2026, 2, 1)), (date(2026, 2, 1), date(2026, 2, 5)),
    )
    assert Period(date(2027, 1, 1), date(2028, 1, 1)).months(before=date(2026, 11, 25)) == ()


@pytest.mark.parametrize(
    ("from_on", "to_on", "fields"),
    [
        ("2017-12-31", "2018-05-01", ["from_on"]), ("2025-01-01", "2025-01-01", ["to_on"]),
        ("2025-01-02", "2025-01-01", ["to_on"]), ("2022-01-01", "2026-01-01", ["to_on"]),
        ("1999-01-01", "2026-01-01", ["from_on", "to_on"]),
    ],
)
def test_a_period_that_is_none_is_refused(from_on, to_on, fields):
    with pytest.raises(Rejected) as caught:
        Period(date.fromisoformat(from_on), date.fromisoformat(to_on))
    assert [fault.field for fault in caught.value.faults] == fields


def test_whole_months_begin_and_end_on_a_first():
    Period(date(2025, 1, 1), date(2026, 1, 1)).check_whole_months()
    with pytest.raises(Rejected) as caught:
        Period(date(2025, 1, 2), date(2025, 12, 31)).check_whole_months()
    assert [fault.field for fault in caught.value.faults] == ["from_on", "to_on"]


def test_homes_are_blended_so_that_no_kind_is_told_by_fewer_than_enough() -> None:
    metered, stated, away = Driven(metered_wh=10), Driven(stated_wh=7), Driven(away_wh=5, told_miles=Decimal(3))
    assert blend([metered] * 5, 5) == (Driven(metered_wh=50), False)
    # Two stated and five away: the two are counted with the next kind, which is no surer.
    assert blend([metered] * 5 + [stated] * 2 + [away] * 5, 5)[0].away_wh == 39
    assert blend([metered] * 5 + [Driven(estimated_wh=1)], 5) == (Driven(estimated_wh=51), True)
    assert blend([metered] * 3 + [stated] * 2, 5) == (Driven(stated_wh=44), True)
    assert blend([away] * 5, 5) == (Driven(away_wh=25, told_miles=Decimal(15)), False)
    assert blend([], 5) == (Driven(), False)
