from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from zoneinfo import ZoneInfo

import holidays
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.common.calendar import DayKind, Nation
from service.common.slots import local_day_slots, local_of, slot_index, slot_start
from service.tariffs.domain.prices import price_slots
from service.tariffs.domain.rate_bands import Band, RateSheet, Window, check_sheets
from service.tariffs.domain.terms import Contract, Series, TariffClock, TariffKind, Version

LONDON = ZoneInfo("Europe/London")
EVERY_DAY, EVERY_MONTH = frozenset(DayKind), frozenset(range(1, 13))
CHEAP, DEAR = 7_000_000, 25_000_000
JULY, SPRING, AUTUMN = date(2026, 7, 1), date(2026, 3, 29), date(2026, 10, 25)


def two_rates(starts_min, ends_min):
    bands = (Band("night", CHEAP, (Window(starts_min, ends_min),)), Band("day", DEAR, is_otherwise=True))
    return RateSheet(None, None, 50_000_000, bands)


def version(*sheets, on=date(2020, 1, 1), vat_percent="5", vat_included=True):
    return Version(on, sheets, vat_included, Decimal(vat_percent))


def prices_of(versions, slots, **changes):
    arguments = {
        "kind": TariffKind.BANDED,
        "clock": TariffClock.LOCAL,
        "versions": versions,
        "series": None,
        "contract": Contract(date(2020, 1, 1)),
        "first_slot": slots[0],
        "count": len(slots),
        "zone": LONDON,
        "nation": Nation.ENGLAND,
    }
    return price_slots(**(arguments | changes))


def cheap_slots(slots, starts_min, ends_min, clock):
    found = prices_of([version(two_rates(starts_min, ends_min))], slots, clock=clock)
    assert found.is_known.all()
    return [slot for slot, price_up in zip(slots, found.price_up, strict=True) if price_up == CHEAP]


def span(slots, zone):
    """A run of slots as a span of wall times."""
    assert list(slots) == list(range(slots[0], slots[-1] + 1))
    return f"{local_of(slots[0], zone):%H:%M}-{local_of(slots[-1] + 1, zone):%H:%M}"


TWO_CLOCKS = "supplier help pages and a consumer body: most two-rate meters stay on GMT all year"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("starts_min", "ends_min", "clock", "shown_in", "expected", "source"),
    [
        (30, 270, "gmt", "Europe/London", "01:30-05:30", "derived: a UTC-fixed 00:30-04:30 on 1 July"),
        (30, 270, "local", "UTC", "23:30-03:30", "derived: a local 00:30-04:30 on 1 July"),
        (0, 420, "gmt", "Europe/London", "01:00-08:00", TWO_CLOCKS),
        (30, 450, "gmt", "Europe/London", "01:30-08:30", TWO_CLOCKS),
    ],
)
def test_a_summer_window_reads_one_hour_apart_on_the_two_clocks(
    starts_min, ends_min, clock, shown_in, expected, source, reference
):
    slots = cheap_slots(local_day_slots(JULY, LONDON), starts_min, ends_min, TariffClock(clock))
    reference(source=source, expected=expected, got=span(slots, ZoneInfo(shown_in)))


@pytest.mark.reference
@pytest.mark.parametrize(
    ("day", "clock", "hours"),
    [
        (SPRING, "local", 4),
        (AUTUMN, "local", 6),
        (JULY, "local", 5),
        (date(2026, 1, 14), "local", 5),
        (SPRING, "gmt", 5),
        (AUTUMN, "gmt", 5),
    ],
)
def test_how_long_a_night_window_from_0030_to_0530_lasts(day, clock, hours, reference):
    slots = cheap_slots(local_day_slots(day, LONDON), 30, 330, TariffClock(clock))
    reference(source="derived from the clock change: wall hours against real hours", expected=hours, got=len(slots) / 2)


@pytest.mark.reference
@pytest.mark.parametrize(("use", "expected_p"), [("flat load", 19.75), ("all in the band", 7.0)])
def test_blended_price_of_seven_cheap_hours(use, expected_p, reference):
    found = prices_of([version(two_rates(0, 420))], local_day_slots(JULY, LONDON)).price_up
    got = found.mean() if use == "flat load" else found[found == CHEAP].mean()
    reference(source="derived: 7 h at 7 p and 17 h at 25 p", expected=expected_p, got=float(got) / 1e6)


CAP = "price cap Oct-Dec 2025, 26.35 p incl. 5 % VAT: 25.0952 p without"
OCPI = "OCPI 2.2.1, tariffs module, worked example: 20 kWh at 0.25 and 10 % VAT cost 5.00 and 5.50"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("stored_up", "percent", "expected_up", "source"),
    [(25_095_238, "5", 26_350_000, CAP), (25_000_000, "10", 27_500_000, OCPI)],
)
def test_vat_is_added_to_a_price_stored_without_it(stored_up, percent, expected_up, source, reference):
    sheet = RateSheet(None, None, stored_up, (Band("all day", stored_up, is_otherwise=True),))
    found = prices_of([version(sheet, vat_percent=percent, vat_included=False)], local_day_slots(JULY, LONDON)[:1])
    reference(source=source, expected=[expected_up] * 2, got=[*found.price_up.tolist(), found.standing_up_per_day])


# ---- an independent, slow reading of the same terms: one slot, one band, one datetime at a time ----


@cache
def kind_of(day, nation):
    part = {"england": "ENG", "wales": "WLS", "scotland": "SCT", "northern_ireland": "NIR"}[nation]
    if day.isoweekday() > 5:
        return DayKind.WEEKEND
    return DayKind.BANK_HOLIDAY if day in holidays.UK(subdiv=part, years=day.year) else DayKind.WEEKDAY


@dataclass(frozen=True)
class Terms:
    kind: TariffKind
    clock: TariffClock
    versions: tuple
    series: dict
    contract: Contract
    zone: ZoneInfo
    nation: Nation

    def version_at(self, slot):
        is_gmt = (self.contract.clock or self.clock) is TariffClock.GMT
        on = slot_start(slot).astimezone(UTC if is_gmt else self.zone)
        begun = [one for one in self.versions if one.valid_from_on <= on.date()]
        return max(begun, key=lambda one: one.valid_from_on, default=None), on

    def sheet_at(self, slot):
        one, _ = self.version_at(slot)
        fits = [
            sheet
            for sheet in (one.sheets if one else ())
            if sheet.region in (None, self.contract.region) and sheet.payment in (None, self.contract.payment)
        ]
        return max(fits, key=lambda sheet: (sheet.region is not None, sheet.payment is not None), default=None)

    def has_contract_at(self, slot):
        today = slot_start(slot).astimezone(self.zone).date()
        return self.contract.starts_on <= today and (self.contract.ends_on is None or today < self.contract.ends_on)

    def with_vat(self, slot, price_up):
        one, _ = self.version_at(slot)
        one = one or min(self.versions, key=lambda other: other.valid_from_on, default=None)
        if one is None or one.vat_included:
            return price_up
        exact = Decimal(price_up) * (100 + one.vat_percent) / 100
        return int(exact.to_integral_value(ROUND_HALF_UP))

    def price_at(self, slot):
        """The price, or None where it is not known."""
        one, on = self.version_at(slot)
        if one is None or not self.has_contract_at(slot):
            return None
        if self.kind is TariffKind.HALF_HOURLY:
            return self.with_vat(slot, self.series[slot]) if slot in self.series else None
        sheet = self.sheet_at(slot)
        if sheet is None or not self.own_windows_fit(sheet):
            return None
        holding = [band for band in sheet.bands if self.is_open(band, on)]
        if not holding:
            holding = [band for band in sheet.bands if band.is_otherwise]
        return self.with_vat(slot, holding[0].price_up) if len(holding) == 1 else None

    def own_windows_fit(self, sheet):
        return set(self.contract.windows) <= {band.name for band in sheet.bands if not band.is_otherwise}

    def is_open(self, band, on):
        minute = on.hour * 60 + on.minute
        for window in self.contract.windows.get(band.name, band.windows):
            crosses = window.ends_at_min <= window.starts_at_min
            for day, at in ((on.date(), minute), (on.date() - timedelta(days=1), minute + 1440)):
                fits = day.month in window.months and kind_of(day, self.nation) in window.day_kinds
                if fits and window.starts_at_min <= at < window.ends_at_min + (1440 if crosses else 0):
                    return True
        return False

    def stand_in_at(self, slot, known):
        alike = [
            price_up
            for other, price_up in self.series.items()
            if local_of(other, self.zone).time() == local_of(slot, self.zone).time()
        ]
        if self.kind is TariffKind.HALF_HOURLY and alike:
            mean = Fraction(sum(alike), len(alike))
            size = (abs(mean) + Fraction(1, 2)).__floor__()
            return self.with_vat(slot, size if mean >= 0 else -size)
        return max(known, default=0)

    def standing_at(self, slot):
        sheet = self.sheet_at(slot)
        if sheet is None or not self.has_contract_at(slot):
            return None
        if self.kind is TariffKind.BANDED and not self.own_windows_fit(sheet):
            return None
        return self.with_vat(slot, sheet.standing_up_per_day)


HALF_HOURS = st.integers(0, 47).map(lambda half_hour: half_hour * 30)
KIND_SETS = st.one_of(st.just(EVERY_DAY), st.sets(st.sampled_from(list(DayKind)), min_size=1).map(frozenset))
MONTH_SETS = st.one_of(st.just(EVERY_MONTH), st.sets(st.integers(1, 12), min_size=1).map(frozenset))
WINDOWS = st.builds(Window, HALF_HOURS, st.integers(0, 48).map(lambda end: end * 30), KIND_SETS, MONTH_SETS)
PRICES = st.integers(-5_000_000, 60_000_000)
NAMES = ["night", "peak", "noon"]


@st.composite
def any_sheets(draw, region, payment):
    """Bands as they come: gaps and overlaps too, which must then come out as not known."""
    names = draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=3))
    bands = [Band(name, draw(PRICES), tuple(draw(st.lists(WINDOWS, min_size=1, max_size=2)))) for name in names]
    if draw(st.booleans()) or not bands:
        bands.append(Band("otherwise", draw(PRICES), is_otherwise=True))
    return RateSheet(region, payment, draw(st.integers(0, 99_999_999)), tuple(bands))


@st.composite
def complete_sheets(draw, region, payment):
    """The day cut round at some half-hours, one band to each piece, the last across midnight."""
    cuts = sorted(draw(st.lists(HALF_HOURS, unique=True, min_size=2, max_size=3)))
    pairs = zip(cuts, [*cuts[1:], cuts[0]], strict=True)
    bands = [Band(name, draw(PRICES), (Window(start, end),)) for name, (start, end) in zip(NAMES, pairs, strict=False)]
    sheet = RateSheet(region, payment, draw(st.integers(0, 99_999_999)), tuple(bands))
    check_sheets([sheet])
    return sheet


@st.composite
def one_band_and_the_rest(draw, region, payment):
    """Windows of a single band, meeting and crossing as they like: every time has exactly one price."""
    band = Band("night", draw(PRICES), tuple(draw(st.lists(WINDOWS, min_size=1, max_size=3))))
    standing_up_per_day = draw(st.integers(0, 99_999_999))
    return RateSheet(region, payment, standing_up_per_day, (band, Band("day", draw(PRICES), is_otherwise=True)))


# Weeks around both clock changes, Christmas, Easter, the Northern Irish and Scottish holidays, year and month ends.
WEEKS = [
    date(2026, 3, 26),
    date(2026, 10, 22),
    date(2027, 3, 25),
    date(2026, 12, 24),
    date(2026, 4, 1),
    date(2026, 7, 9),
    date(2026, 11, 27),
    date(2027, 12, 30),
]
ZONES = [LONDON, LONDON, LONDON, *map(ZoneInfo, ["America/St_Johns", "Asia/Kolkata", "America/Santiago"])]


@st.composite
def views(draw):
    """Terms in any mixture, and a view of up to a week near a day on which something changes."""
    near = draw(st.sampled_from(WEEKS))
    day = st.integers(-2, 9).map(lambda days: near + timedelta(days=days))
    sheets = st.one_of(one_band_and_the_rest(None, None), complete_sheets(None, None), any_sheets(None, None))
    keys = st.sampled_from([("north", None), ("north", "card"), (None, "card")])
    particular = st.lists(keys, unique=True, max_size=2)
    starts = st.one_of(day, st.just(date(2020, 1, 1)))
    versions = [
        Version(
            on,
            (draw(sheets), *(draw(complete_sheets(*one)) for one in draw(particular))),
            draw(st.booleans()),
            draw(st.sampled_from([Decimal(0), Decimal(5), Decimal("17.55"), Decimal(20)])),
        )
        for on in dict.fromkeys([*draw(st.lists(starts, max_size=1)), *draw(st.lists(day, max_size=2))])
    ]
    starts_on = draw(st.one_of(st.just(date(2020, 1, 1)), st.just(date(2020, 1, 1)), day))
    ends_on = draw(st.one_of(st.none(), st.none(), day.filter(lambda on: on > starts_on)))
    own_windows = st.dictionaries(st.sampled_from(NAMES), st.tuples(WINDOWS), max_size=1)
    contract = Contract(
        starts_on,
        ends_on,
        draw(st.sampled_from([None, None, *TariffClock])),
        draw(st.one_of(st.just({}), own_windows)),
        draw(st.sampled_from([None, "north"])),
        draw(st.sampled_from([None, "card"])),
    )
    first = slot_index(datetime(near.year, near.month, near.day, draw(st.integers(0, 23)), tzinfo=UTC))
    count = draw(st.one_of(st.just(200), st.integers(0, 336)))
    series = draw(st.dictionaries(st.integers(first - 60, first + 200), PRICES, max_size=80))
    kind = draw(st.sampled_from([TariffKind.BANDED, TariffKind.BANDED, TariffKind.HALF_HOURLY]))
    clock = draw(st.sampled_from(list(TariffClock)))
    nation = draw(st.sampled_from(list(Nation)))
    return Terms(kind, clock, tuple(versions), series, contract, draw(st.sampled_from(ZONES)), nation), first, count


@settings(max_examples=150, deadline=None)
@given(views(), st.booleans())
def test_prices_equal_a_slow_reading_of_the_same_terms(view, as_series):
    terms, first, count = view
    found = price_slots(
        kind=terms.kind,
        clock=terms.clock,
        versions=terms.versions,
        series=Series(terms.series) if as_series else terms.series,
        contract=terms.contract,
        first_slot=first,
        count=count,
        zone=terms.zone,
        nation=terms.nation,
    )
    expected = [terms.price_at(slot) for slot in range(first, first + count)]
    known = [price_up for price_up in expected if price_up is not None]
    assert found.is_known.tolist() == [price_up is not None for price_up in expected]
    assert found.price_up.dtype == np.int64
    assert found.price_up.tolist() == [
        terms.stand_in_at(slot, known) if price_up is None else price_up
        for slot, price_up in zip(range(first, first + count), expected, strict=True)
    ]
    assert found.standing_up_per_day == (terms.standing_at(first) if count else None)
    assert bool(found.missing) == (len(known) < count)


# ---- what is missing, in words ----

FLAT = RateSheet(None, None, 50_000_000, (Band("all day", CHEAP, is_otherwise=True),))
APRIL = local_day_slots(date(2026, 4, 2), LONDON)


@pytest.mark.parametrize(
    ("contract", "versions", "words"),
    [
        (
            Contract(date(2026, 1, 1), date(2026, 4, 2)),
            [version(FLAT)],
            "2 April 2026 00:00 to 3 April 2026 00:00: the contract ended on 2 April 2026",
        ),
        (
            Contract(date(2026, 4, 3)),
            [version(FLAT)],
            "2 April 2026 00:00 to 3 April 2026 00:00: the contract starts on 3 April 2026",
        ),
        (
            Contract(date(2026, 1, 1)),
            [],
            "2 April 2026 00:00 to 3 April 2026 00:00: no version of the tariff is in force",
        ),
        (
            Contract(date(2026, 1, 1), region="north"),
            [version(RateSheet("south", None, 0, FLAT.bands))],
            "2 April 2026 00:00 to 3 April 2026 00:00: "
            "the tariff has no prices for region north and any payment method",
        ),
        (
            Contract(date(2026, 1, 1)),
            [version(RateSheet(None, None, 0, (Band("night", CHEAP, (Window(60, 0),)),)))],
            "2 April 2026 00:00 to 2 April 2026 01:00: no rate band covers this time",
        ),
        (
            Contract(date(2026, 1, 1), windows={"peak": (Window(0, 60),)}),
            [version(FLAT)],
            "2 April 2026 00:00 to 3 April 2026 00:00: the meter's own windows do not fit the tariff: "
            "'peak' is not a band with windows in this tariff",
        ),
    ],
)
def test_each_period_without_a_price_is_named_with_its_reason(contract, versions, words):
    assert prices_of(versions, APRIL, contract=contract).missing == (words,)


def test_half_hours_not_received_are_named_by_run_and_get_the_mean_of_their_time_of_day():
    slots = local_day_slots(AUTUMN, LONDON)
    eve = local_day_slots(AUTUMN - timedelta(days=1), LONDON)
    known = {eve[2]: 10, eve[3]: 30} | {slot: 50 for slot in slots if slot not in slots[2:6]}
    found = prices_of([version()], slots, kind=TariffKind.HALF_HOURLY, series=known)
    assert found.missing == ("25 October 2026 01:00 to 25 October 2026 02:00: half-hour price not received",)
    assert found.price_up[1:7].tolist() == [50, 10, 30, 10, 30, 50]
    assert found.is_known[1:7].tolist() == [True, False, False, False, False, True]


def test_the_second_of_a_repeated_hour_is_told_apart_in_words():
    slots = local_day_slots(AUTUMN, LONDON)
    series = {slot: 50 for slot in slots if slot != slots[4]}
    found = prices_of([version()], slots, kind=TariffKind.HALF_HOURLY, series=series)
    when = "25 October 2026 01:00 (second time that day) to 25 October 2026 01:30 (second time that day)"
    assert found.missing == (f"{when}: half-hour price not received",)


def test_without_any_price_in_view_the_stand_in_is_nothing():
    found = prices_of([], APRIL)
    assert (found.price_up == 0).all()
    assert not found.is_known.any()
    assert found.standing_up_per_day is None


def test_after_a_contract_ends_the_stand_in_is_the_dearest_known_price():
    slots = range(APRIL[0], APRIL[-1] + 49)
    found = prices_of([version(two_rates(30, 330))], slots, contract=Contract(date(2026, 1, 1), date(2026, 4, 3)))
    assert (found.price_up[48:] == DEAR).all()
    assert found.is_known.tolist() == [True] * 48 + [False] * 48


@pytest.mark.parametrize(
    ("region", "payment", "price_up"),
    [("north", "card", 1), ("north", None, 2), ("south", "card", 3), ("south", None, 4), (None, None, 4)],
)
def test_the_most_particular_sheet_holds_region_before_payment_method(region, payment, price_up):
    sheets = [
        RateSheet(*key, 0, (Band("all day", price, is_otherwise=True),))
        for price, key in [(4, (None, None)), (3, (None, "card")), (2, ("north", None)), (1, ("north", "card"))]
    ]
    found = prices_of([version(*sheets)], APRIL, contract=Contract(date(2020, 1, 1), region=region, payment=payment))
    assert set(found.price_up.tolist()) == {price_up}
    without_the_first = [version(*(sheet for sheet in sheets if (sheet.region, sheet.payment) != ("north", "card")))]
    found = prices_of(without_the_first, APRIL, contract=Contract(date(2020, 1, 1), region=region, payment=payment))
    assert set(found.price_up.tolist()) == {max(price_up, 2)}


@pytest.mark.parametrize(
    ("day", "window", "cheap"),
    [
        (date(2026, 4, 4), Window(1320, 360, frozenset({DayKind.WEEKDAY})), ""),  # Good Friday's tail is none
        (date(2026, 4, 4), Window(1320, 360, frozenset({DayKind.BANK_HOLIDAY})), "00:00-06:00"),
        (date(2026, 4, 6), Window(1320, 360, frozenset({DayKind.WEEKEND})), "00:00-06:00"),  # Easter Monday
        (date(2026, 4, 1), Window(1320, 360, EVERY_DAY, frozenset({3})), "00:00-06:00"),
        (date(2026, 3, 1), Window(1320, 360, EVERY_DAY, frozenset({3})), "22:00-00:00"),
        (
            SPRING,
            Window(1320, 90, EVERY_DAY, EVERY_MONTH - {4}),
            "00:00-02:00 and 22:00-00:00",
        ),  # 01:00-01:30 is missing
    ],
)
def test_a_window_across_midnight_belongs_to_the_day_it_starts_on(day, window, cheap):
    slots = local_day_slots(day, LONDON)
    sheet = RateSheet(None, None, 0, (Band("night", CHEAP, (window,)), Band("day", DEAR, is_otherwise=True)))
    found = prices_of([version(sheet)], slots).price_up
    edges = np.flatnonzero(np.diff(np.concatenate(([False], found == CHEAP, [False])).astype(np.int8)))
    runs = [range(slots[0] + start, slots[0] + end) for start, end in edges.reshape(-1, 2)]
    assert " and ".join(span(run, LONDON) for run in runs) == cheap


def test_a_version_changes_at_midnight_of_the_tariffs_clock_and_the_contract_at_local_midnight():
    slots = range(local_day_slots(JULY, LONDON)[0] - 4, local_day_slots(JULY, LONDON)[0] + 4)
    versions = [version(FLAT), version(RateSheet(None, None, 0, (Band("b", DEAR, is_otherwise=True),)), on=JULY)]
    local = prices_of(versions, slots).price_up.tolist()
    gmt = prices_of(versions, slots, clock=TariffClock.GMT, contract=Contract(JULY))
    assert local == [CHEAP] * 4 + [DEAR] * 4
    assert gmt.is_known.tolist() == [False] * 4 + [True] * 4
    assert gmt.price_up[4:].tolist() == [CHEAP] * 2 + [DEAR] * 2


def test_dates_that_mean_always_and_never_are_understood():
    found = prices_of([version(FLAT, on=date.min)], APRIL, contract=Contract(date.min, date.max))
    assert found.is_known.all()


def test_households_on_the_same_terms_share_one_result_that_none_of_them_can_change():
    series = Series(dict.fromkeys(APRIL, CHEAP))
    first, other = (
        prices_of([version(FLAT)], APRIL, kind=kind, series=series, contract=Contract(starts_on))
        for kind, starts_on in [(TariffKind.HALF_HOURLY, date(2024, 5, 1)), (TariffKind.HALF_HOURLY, date(2025, 6, 2))]
    )
    assert first is other
    with pytest.raises(ValueError, match="read-only"):
        first.price_up[0] = 0
