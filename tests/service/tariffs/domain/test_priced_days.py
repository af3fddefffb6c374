"""Whole local days with their prices, bands, VAT and standing charges, clock changes and versions to come in them."""

from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from service.common.calendar import Nation
from service.tariffs.domain.priced_days import EVERY_HALF_HOUR, price_days
from service.tariffs.domain.rate_bands import Band, RateSheet, Window
from service.tariffs.domain.terms import Contract, Series, TariffClock, TariffKind, TariffTerms, Version

LONDON = ZoneInfo("Europe/London")
BANDS = (Band("night", 7_000_000, (Window(30, 330),)), Band("day", 30_000_000, is_otherwise=True))


def _version(on: date, standing: int, *, region: str | None = None, **more) -> Version:
    usual = {"vat_included": True, "vat_percent": Decimal(5)}
    return Version(on, (RateSheet(region, None, standing, BANDS),), **{**usual, **more})


def _days(*versions: Version, first: date, end: date, clock=TariffClock.LOCAL, contract=None):
    terms = TariffTerms("t", "T", TariffKind.BANDED, clock, versions, {})
    return price_days(terms, contract or Contract(date(2019, 1, 1)), first, end, zone=LONDON, nation=Nation.ENGLAND)


def test_days_have_the_half_hours_they_have() -> None:
    days = _days(_version(date(2020, 1, 1), 1), first=date(2026, 3, 28), end=date(2026, 3, 31))
    assert days.day_at.tolist() == [0, 48, 94]
    assert days.count == 142
    assert [days.band_names[band] for band in days.band[[0, 1, 10, 11]].tolist()] == ["day", "night", "night", "day"]


def test_a_version_to_come_takes_over_on_its_day_and_keeps_the_names_of_bands() -> None:
    later = _version(date(2026, 6, 2), 60_000_000, vat_included=False, vat_percent=Decimal(20))
    days = _days(_version(date(2020, 1, 1), 50_000_000), later, first=date(2026, 6, 1), end=date(2026, 6, 3))
    assert days.standing_up.tolist() == [50_000_000, 72_000_000]
    assert (days.vat[0], days.vat[48]) == (500, 2000)
    assert days.band_names == ("night", "day")
    assert days.price_up[[1, 49]].tolist() == [7_000_000, 8_400_000]


def test_on_a_gmt_clock_a_summers_day_begins_under_the_version_of_the_day_before() -> None:
    days = _days(
        _version(date(2020, 1, 1), 50), _version(date(2026, 6, 2), 60), first=date(2026, 6, 2), end=date(2026, 6, 4),
        clock=TariffClock.GMT,
    )  # fmt: skip
    assert days.standing_up.tolist() == [50, 60]


def test_what_is_not_known_is_marked_and_named() -> None:
    days = _days(_version(date(2020, 1, 1), 50, region="north"), first=date(2026, 6, 1), end=date(2026, 6, 2))
    assert not days.is_known.any()
    assert not days.is_standing_known.any()
    assert set(days.band.tolist()) == {-1}
    assert "the tariff has no prices for any region" in days.missing[0]
    north = _days(
        _version(date(2020, 1, 1), 50, region="north"), first=date(2026, 6, 1), end=date(2026, 6, 2),
        contract=Contract(date(2019, 1, 1), region="north"),
    )  # fmt: skip
    assert north.is_known.all()


def test_half_hourly_prices_are_one_band_and_those_not_received_are_not_known() -> None:
    version = Version(date(2020, 1, 1), (RateSheet(None, None, 40, ()),), True, Decimal(5))
    first_slot = 1_000_000 // 48 * 48
    terms = TariffTerms("t", "T", TariffKind.HALF_HOURLY, TariffClock.LOCAL, (version,), {"": Series({first_slot: 5})})
    day = date(1970, 1, 1).fromordinal(date(1970, 1, 1).toordinal() + first_slot // 48)
    zone = ZoneInfo("UTC")
    end = date.fromordinal(day.toordinal() + 1)
    days = price_days(terms, Contract(date(2019, 1, 1)), day, end, zone=zone, nation=Nation.ENGLAND)
    assert days.band_names == (EVERY_HALF_HOUR,)
    assert (int(days.is_known.sum()), days.price_up[0]) == (1, 5)


@pytest.mark.parametrize("end", [date(2026, 6, 1), date(2026, 5, 1)])
def test_no_days_have_nothing(end: date) -> None:
    days = _days(_version(date(2020, 1, 1), 1), first=date(2026, 6, 1), end=end)
    assert (days.count, len(days.day_at)) == (0, 0)
