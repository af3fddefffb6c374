"""What the house uses in a year: from what is best known, cars taken out, a part of a year made a whole one."""

from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from service.advice.domain.house_use import (
    LEAST_DAYS,
    HouseUse,
    UseSource,
    charged_by_slot,
    days_shape,
    metered_use,
    read_use,
    span_of,
    spread,
    told_use,
    typical_use,
)
from service.common.slots import local_day_slots
from service.figures.domain.book import FigureBook
from service.figures.domain.shipped import shipped_figures

LONDON = ZoneInfo("Europe/London")
FIRST, END = date(2026, 11, 25), date(2027, 11, 25)
SHAPE = days_shape(FIRST, END, LONDON)


def test_whole_watt_hours_are_spread_without_losing_one() -> None:
    parts = spread(1000, np.array([1, 1, 1]))
    assert parts.tolist() == [333, 333, 334]
    assert spread(2_500_001, SHAPE).sum() == 2_500_001
    assert spread(0, SHAPE).sum() == 0


def test_a_year_has_the_half_hours_of_its_clock_changes() -> None:
    assert len(SHAPE) == 365 * 48
    spring = days_shape(date(2027, 3, 28), date(2027, 3, 29), LONDON)
    autumn = days_shape(date(2026, 10, 25), date(2026, 10, 26), LONDON)
    assert (len(spring), len(autumn)) == (46, 50)


def test_what_was_told_is_the_year_and_winter_evenings_take_more_of_it() -> None:
    use = told_use(3100, SHAPE)
    assert (use.yearly_wh, use.source) == (3_100_000, UseSource.TOLD)
    december = local_day_slots(date(2026, 12, 2), LONDON).start - local_day_slots(FIRST, LONDON).start
    july = local_day_slots(date(2027, 7, 7), LONDON).start - local_day_slots(FIRST, LONDON).start
    assert use.half_hours_wh[december + 35] > 1.5 * use.half_hours_wh[july + 35]


def test_a_typical_use_says_that_it_is_not_this_homes() -> None:
    figure = FigureBook(shipped_figures()).at("typical_use", FIRST, "single_rate_medium")
    use = typical_use(figure, SHAPE)
    assert (use.yearly_wh, use.source) == (2_500_000, UseSource.TYPICAL)
    assert "of an average home, not of this one" in use.steps[-1].result
    assert "Ofgem" in use.steps[0].source


def _readings(*rows: tuple[str, str, str]) -> list[tuple[str, date, Decimal]]:
    return [(register, date.fromisoformat(day), Decimal(kwh)) for register, day, kwh in rows]


def test_the_longest_span_in_which_all_registers_were_read_counts_up_to_a_year_and_a_bit() -> None:
    rows = _readings(
        ("day", "2025-01-01", "0"), ("night", "2025-01-01", "0"),
        ("day", "2026-02-01", "100"), ("night", "2026-02-01", "50"),
        ("day", "2026-05-01", "300"), ("day", "2026-11-01", "700"), ("night", "2026-11-01", "350.5"),
    )  # fmt: skip
    span = span_of(rows)
    assert span is not None
    assert (span.first_on, span.end_on, span.energy_wh) == (date(2026, 2, 1), date(2026, 11, 1), 900_500)
    assert span_of(rows[:1]) is None
    assert span_of([]) is None
    assert span_of(_readings(("", "2020-01-01", "1"), ("", "2026-01-01", "2"))) is None


def test_a_year_that_the_meter_counted_comes_back_without_the_cars() -> None:
    span = span_of(_readings(("", "2025-11-25", "1000"), ("", "2026-11-25", "6000")))
    assert span is not None
    use = metered_use(span, 1_800_000, "as recorded, 40 charges", SHAPE, LONDON)
    assert use is not None
    assert use.yearly_wh == pytest.approx(3_200_000, rel=0.002)  # the weekdays of two years differ by a day
    assert use.steps[0].inputs["cars at home"] == "1800 kWh, as recorded, 40 charges"


def test_a_winter_quarter_is_more_than_a_quarter_of_a_year() -> None:
    span = span_of(_readings(("", "2025-12-01", "0"), ("", "2026-03-01", "900")))
    assert span is not None
    use = metered_use(span, 0, "none", SHAPE, LONDON)
    assert use is not None
    assert use.yearly_wh < 900_000 * 365 / span.days
    short = span_of(_readings(("", "2026-03-01", "0"), ("", "2026-03-20", "200")))
    assert short is not None
    assert metered_use(short, 0, "none", SHAPE, LONDON) is None
    assert short.days < LEAST_DAYS


def test_more_charged_than_counted_leaves_nothing_and_not_less() -> None:
    span = span_of(_readings(("", "2025-11-25", "0"), ("", "2026-11-25", "100")))
    assert span is not None
    use = metered_use(span, 500_000, "as planned", SHAPE, LONDON)
    assert use is not None
    assert use.yearly_wh == 0


def _read(first: date, days: int, wh: int) -> dict[int, int]:
    slots = range(local_day_slots(first, LONDON).start, local_day_slots(first + timedelta(days=days), LONDON).start)
    return dict.fromkeys(slots, wh)


def test_half_hours_stand_for_themselves_fifty_two_weeks_later() -> None:
    readings = _read(date(2025, 11, 26), 364, 300)
    first = min(readings)
    readings[first] = 1234
    use = read_use(readings, {}, FIRST, END, LONDON)
    assert isinstance(use, HouseUse)
    assert use.source is UseSource.HALF_HOURS
    # 26 Nov 2025 was a Wednesday, as is 25 Nov 2026
    assert use.half_hours_wh[0] == 1234
    assert set(use.half_hours_wh[1 : 364 * 48].tolist()) == {300}
    assert use.yearly_wh == pytest.approx(300 * 17_520, rel=0.01)


def test_what_cars_took_is_out_of_each_half_hour_and_a_gap_has_the_profiles_shape() -> None:
    readings = _read(date(2026, 9, 1), 60, 200)
    charged = dict.fromkeys(list(readings)[:48], 150) | {list(readings)[50]: 900}
    use = read_use(readings, charged, FIRST, END, LONDON)
    assert use is not None
    at = local_day_slots(date(2027, 8, 31), LONDON).start - local_day_slots(FIRST, LONDON).start
    assert use.half_hours_wh[at : at + 51].tolist() == [50] * 48 + [200, 200, 0]
    assert "2880 of 17520 were read 52 weeks before" in use.steps[0].inputs["of the coming year"]
    assert 0 < use.half_hours_wh[0] < 500


def test_where_no_charge_is_recorded_what_is_planned_is_taken_out_so_that_no_car_counts_twice() -> None:
    # 60 days of 9.6 kWh, of which 5 kWh a day went into a car that nobody recorded.
    readings = _read(date(2026, 8, 1), 60, 200)
    use = read_use(readings, {}, FIRST, END, LONDON, planned_week_wh=35_000)
    house = read_use(_read(date(2026, 8, 1), 60, 100), {}, FIRST, END, LONDON)
    assert use is not None and house is not None
    assert use.yearly_wh == pytest.approx(house.yearly_wh * 4.6 / 4.8, rel=0.01)
    assert use.steps[0].inputs["cars at home"] == "300 kWh, as planned for the coming week: no charge is recorded"
    assert "were read 52 weeks before" not in str(use.steps[0])
    recorded = read_use(readings, {min(readings): 1}, FIRST, END, LONDON, planned_week_wh=35_000)
    assert recorded is not None and "2880, without what cars took" in str(recorded.steps[0])
    unknown = read_use(readings, {}, FIRST, END, LONDON)
    assert unknown is not None and "2880, no charge of a car is recorded in them" in str(unknown.steps[0])


def test_too_few_half_hours_tell_of_no_year() -> None:
    assert read_use(_read(date(2026, 11, 1), LEAST_DAYS - 1, 200), {}, FIRST, END, LONDON) is None
    assert read_use({}, {}, FIRST, END, LONDON) is None


def test_a_charge_lies_where_its_meter_says_or_evenly_over_its_time() -> None:
    found = charged_by_slot([(10, 13, 1000, ()), (12, 20, 700, [(12, 600), (13, 100)])])
    assert found == {10: 333, 11: 333, 12: 334 + 600, 13: 100}
    assert sum(charged_by_slot([(5, 5, 40, ())]).values()) == 40
