from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.common.calendar import DayKind
from service.common.errors import Rejected
from service.tariffs.domain.rate_bands import (
    Band,
    RateSheet,
    Window,
    check_own_windows,
    check_sheets,
    with_own_windows,
)

WEEKDAYS, WEEKENDS, BANK = (frozenset({kind}) for kind in (DayKind.WEEKDAY, DayKind.WEEKEND, DayKind.BANK_HOLIDAY))
JANUARY = frozenset({1})


def at(starts, ends, days=frozenset(DayKind), months=frozenset(range(1, 13))):
    """A window written as wall times, "22:00"."""
    start_min, end_min = (int(text[:2]) * 60 + int(text[3:]) for text in (starts, ends))
    return Window(start_min, end_min, days, months)


def sheet(*bands, region=None, payment=None, standing_up_per_day=50_000_000):
    return RateSheet(region, payment, standing_up_per_day, tuple(bands))


def rules(*sheets, **settings_):
    """The rules that the sheets break, by field."""
    try:
        check_sheets(sheets, **settings_)
    except Rejected as rejected:
        return {(fault.field, fault.rule) for fault in rejected.faults}
    return set()


FLAT = Band("all day", 25_000_000, is_otherwise=True)


@pytest.mark.parametrize(
    ("window", "field"),
    [
        ({"starts_at_min": -30, "ends_at_min": 60}, "starts_at"),
        ({"starts_at_min": 1440, "ends_at_min": 60}, "starts_at"),
        ({"starts_at_min": 15, "ends_at_min": 60}, "starts_at"),
        ({"starts_at_min": 0, "ends_at_min": 1470}, "ends_at"),
        ({"starts_at_min": 0, "ends_at_min": 45}, "ends_at"),
        ({"starts_at_min": 0, "ends_at_min": 60, "day_kinds": frozenset()}, "day_kinds"),
        ({"starts_at_min": 0, "ends_at_min": 60, "months": frozenset()}, "months"),
        ({"starts_at_min": 0, "ends_at_min": 60, "months": frozenset({0, 1})}, "months"),
        ({"starts_at_min": 0, "ends_at_min": 60, "months": frozenset({13})}, "months"),
    ],
)
def test_a_window_off_the_half_hour_or_without_days_is_refused(window, field):
    with pytest.raises(Rejected) as caught:
        Window(**window)
    assert [fault.field for fault in caught.value.faults] == [field]


@pytest.mark.parametrize(
    ("starts", "ends", "half_hours"),
    [
        ("00:30", "04:30", 8),
        ("22:00", "06:00", 16),
        ("00:00", "24:00", 48),
        ("22:00", "00:00", 4),
        ("22:00", "24:00", 4),
        ("07:00", "07:00", 48),
        ("00:00", "00:00", 48),
        ("23:30", "23:00", 47),
    ],
)
def test_an_end_at_or_before_the_start_means_the_next_day(starts, ends, half_hours):
    window = at(starts, ends)
    assert window.end_half_hour - window.starts_at_min // 30 == half_hours


@pytest.mark.parametrize(
    ("band", "field"),
    [
        ({"name": " ", "price_up": 1, "is_otherwise": True}, "name"),
        ({"name": "n" * 61, "price_up": 1, "is_otherwise": True}, "name"),
        ({"name": "night", "price_up": 100_001_000_000, "is_otherwise": True}, "price"),
        ({"name": "night", "price_up": 1}, "windows"),
        ({"name": "day", "price_up": 1, "windows": (at("00:00", "24:00"),), "is_otherwise": True}, "windows"),
    ],
)
def test_a_band_without_name_windows_or_a_sane_price_is_refused(band, field):
    with pytest.raises(Rejected) as caught:
        Band(**band)
    assert [fault.field for fault in caught.value.faults] == [field]


NIGHT = Band("night", 8_000_000, (at("00:30", "05:30"),))
PEAK = Band("peak", 40_000_000, (at("16:00", "19:00", WEEKDAYS),))
COMPLETE = {
    "flat": [sheet(FLAT)],
    "night and the rest": [sheet(NIGHT, Band("day", 30_000_000, is_otherwise=True))],
    "three bands": [sheet(NIGHT, PEAK, Band("day", 30_000_000, is_otherwise=True))],
    "night across midnight, no otherwise": [
        sheet(Band("night", 1, (at("22:00", "06:00"),)), Band("day", 2, (at("06:00", "22:00"),)))
    ],
    "a whole day from 07:00": [sheet(Band("one", 1, (at("07:00", "07:00"),)))],
    "weekends apart": [
        sheet(
            Band("week", 1, (at("00:00", "24:00", WEEKDAYS | BANK),)), Band("end", 2, (at("00:00", "24:00", WEEKENDS),))
        )
    ],
    "seasons": [
        sheet(
            Band("winter", 1, (at("00:00", "24:00", months=frozenset({10, 11, 12, 1, 2, 3})),)),
            Band("summer", 2, (at("00:00", "24:00", months=frozenset(range(4, 10))),)),
        )
    ],
    "two windows of one band that meet": [sheet(Band("one", 1, (at("00:00", "13:00"), at("12:00", "24:00"))))],
    "a negative price": [sheet(Band("one", -1, is_otherwise=True))],
    "regions and payments": [
        sheet(FLAT, region=region, payment=payment)
        for region, payment in product([None, "north", "south"], [None, "card"])
    ],
}


@pytest.mark.parametrize("name", COMPLETE)
def test_complete_sheets_are_accepted(name):
    assert rules(*COMPLETE[name]) == set()


@pytest.mark.parametrize(
    ("bands", "field", "rule"),
    [
        (
            [NIGHT, Band("peak", 1, (at("00:30", "01:00", WEEKDAYS, JANUARY),)), FLAT],
            "sheets.0.bands.1.windows",
            "night and peak both cover 00:30-01:00 on weekdays in January",
        ),
        (
            [NIGHT, Band("late", 1, (at("22:00", "02:00"),)), FLAT],
            "sheets.0.bands.1.windows",
            "night and late both cover 00:30-02:00 every day",
        ),
        (  # Friday's tail falls on Saturday
            [
                Band("week", 1, (at("22:00", "07:00", WEEKDAYS),)),
                Band("end", 2, (at("00:00", "24:00", WEEKENDS),)),
                FLAT,
            ],
            "sheets.0.bands.1.windows",
            "week and end both cover 00:00-07:00 on weekends",
        ),
        (  # the last tail of January falls on 1 February
            [Band("a", 1, (at("22:00", "02:00", months=JANUARY),)), Band("b", 2, (at("01:00", "03:00"),)), FLAT],
            "sheets.0.bands.1.windows",
            "a and b both cover 01:00-02:00 every day in January to February",
        ),
        (
            [Band("a", 1, (at("22:00", "02:00"),)), Band("b", 2, (at("23:00", "01:00", WEEKENDS),)), FLAT],
            "sheets.0.bands.1.windows",
            "a and b both cover 00:00-01:00 every day",
        ),
        ([NIGHT], "sheets.0.bands", "no band covers 05:30-24:00 every day"),
        (
            [Band("week", 1, (at("00:00", "24:00", WEEKDAYS | WEEKENDS),))],
            "sheets.0.bands",
            "no band covers 00:00-24:00 on bank holidays",
        ),
        (  # only a weekday's evening reaches into the next day, and any day can follow a weekend or bank holiday
            [
                Band("a", 1, (at("22:00", "07:00", WEEKDAYS),)),
                Band("b", 2, (at("07:00", "22:00"),)),
                Band("c", 3, (at("22:00", "24:00", WEEKENDS | BANK),)),
            ],
            "sheets.0.bands",
            "no band covers 00:00-07:00 every day",
        ),
        (  # a weekend evening has no window, nor has the day after it
            [Band("a", 1, (at("22:00", "22:00", WEEKDAYS | BANK),)), Band("b", 2, (at("00:00", "22:00", WEEKENDS),))],
            "sheets.0.bands",
            "no band covers 22:00-24:00 on weekends",
        ),
        (
            [FLAT, Band("rest", 1, is_otherwise=True)],
            "sheets.0.bands.1.is_otherwise",
            "all day and rest are both the otherwise band",
        ),
        ([NIGHT, Band("Night ", 1, is_otherwise=True)], "sheets.0.bands.1.name", "two bands are named Night "),
        ([], "sheets.0.bands", "must hold at least one rate band"),
    ],
)
def test_overlaps_and_gaps_are_refused_by_name(bands, field, rule):
    assert (field, rule) in rules(sheet(*bands))


def test_every_fault_of_every_sheet_is_named_at_once():
    broken = rules(sheet(FLAT, standing_up_per_day=-1), sheet(NIGHT, region="north"), sheet(FLAT))
    assert broken == {
        ("sheets.0.standing_per_day", "must not be negative"),
        ("sheets.1.bands", "no band covers 00:00-00:30 every day"),
        ("sheets.1.bands", "no band covers 05:30-24:00 every day"),
        ("sheets.2.region", "sheets 1 and 3 are both for any region and any payment method"),
    }


def test_a_version_without_sheets_is_refused():
    assert rules() == {("sheets", "must hold at least one rate sheet")}


def test_a_half_hourly_sheet_has_a_standing_charge_and_no_bands():
    assert rules(sheet(), has_bands=False) == set()
    assert rules(sheet(FLAT), has_bands=False) == {("sheets.0.bands", "a half-hourly tariff has no rate bands")}


def test_a_meters_own_windows_replace_those_of_the_band_they_name():
    theirs = with_own_windows(sheet(NIGHT, FLAT), {"night": (at("23:30", "04:30"),)})
    assert theirs.bands == (Band("night", NIGHT.price_up, (at("23:30", "04:30"),)), FLAT)
    check_own_windows(sheet(NIGHT, FLAT), {"night": (at("23:30", "04:30"),)})


@pytest.mark.parametrize(
    ("windows", "rule"),
    [
        ({"nihgt": (at("23:30", "04:30"),)}, "'nihgt' is not a band with windows in this tariff"),
        ({"all day": (at("23:30", "04:30"),)}, "'all day' is not a band with windows in this tariff"),
        ({"night": (at("16:30", "17:00"),)}, "night and peak both cover 16:30-17:00 on weekdays"),
    ],
)
def test_own_windows_that_do_not_fit_the_sheet_are_refused(windows, rule):
    with pytest.raises(Rejected) as caught:
        check_own_windows(sheet(NIGHT, PEAK, FLAT), windows)
    assert rule in {fault.rule for fault in caught.value.faults}


# A slow reading of the same rules: every pair of days that can follow each other, half-hour by half-hour.
COARSE_TIMES = st.sampled_from([0, 30, 420, 690, 1410])
WINDOWS = st.builds(
    Window,
    COARSE_TIMES,
    st.sampled_from([0, 30, 420, 690, 1410, 1440]),
    st.sets(st.sampled_from(list(DayKind)), min_size=1).map(frozenset),
    st.sampled_from([frozenset(range(1, 13)), JANUARY, frozenset(range(2, 13)), frozenset({1, 2, 12})]),
)
BANDS = st.lists(st.lists(WINDOWS, min_size=1, max_size=3), min_size=1, max_size=3)


def bands_on(bands, minute, month, kind):
    """Bands with a window open at a minute of the two days that start on a day of that month and kind."""
    return {
        name
        for name, windows in enumerate(bands)
        for window in windows
        if month in window.months
        and kind in window.day_kinds
        and window.starts_at_min
        <= minute
        < window.ends_at_min + (1440 if window.ends_at_min <= window.starts_at_min else 0)
    }


def found_by_pairs_of_days(bands):
    """(overlaps, gaps): each a set of (month, kind, half-hour)."""
    overlaps, gaps = set(), set()
    for month, kind, eve_kind, is_new_month in product(range(1, 13), DayKind, DayKind, [False, True]):
        eve_month = (month - 2) % 12 + 1 if is_new_month else month
        for half_hour in range(48):
            eve = bands_on(bands, half_hour * 30 + 1440, eve_month, eve_kind)
            count = len(bands_on(bands, half_hour * 30, month, kind) | eve)
            if count != 1:
                (overlaps if count else gaps).add((month, kind, half_hour))
    return overlaps, gaps


@settings(max_examples=60, deadline=None)
@given(BANDS, st.booleans())
def test_sheets_are_refused_exactly_when_some_pair_of_days_has_an_overlap_or_a_gap(bands, has_otherwise):
    named = [Band(f"band {name}", name, tuple(windows)) for name, windows in enumerate(bands)]
    overlaps, gaps = found_by_pairs_of_days(bands)
    found = {rule for _, rule in rules(sheet(*named, *([FLAT] if has_otherwise else [])))}
    assert any("both cover" in rule for rule in found) == bool(overlaps)
    assert any("no band covers" in rule for rule in found) == (bool(gaps) and not has_otherwise)
