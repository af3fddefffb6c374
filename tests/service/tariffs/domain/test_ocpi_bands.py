"""A tariff object becomes rate bands only where they say all of it; what they cannot say is refused by name."""

from datetime import date
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.common.calendar import Nation
from service.common.errors import Rejected
from service.common.slots import slot_start
from service.tariffs.domain.ocpi_bands import ImportedPrices, as_bands
from service.tariffs.domain.ocpi_charge import ChargePeriod, price_charge
from service.tariffs.domain.ocpi_tariff import read_ocpi_tariff
from service.tariffs.domain.priced_days import price_days
from service.tariffs.domain.rate_bands import check_sheets
from service.tariffs.domain.terms import Contract, TariffClock, TariffKind, TariffTerms, Version

LONDON = ZoneInfo("Europe/London")


def _part(price: float = 0.25, kind: str = "ENERGY", **more: Any) -> dict[str, Any]:
    return {"type": kind, "price": price, "vat": 5, "step_size": 1, **more}


def _element(part: dict[str, Any], **restrictions: Any) -> dict[str, Any]:
    return {"price_components": [part]} | ({"restrictions": restrictions} if restrictions else {})


def _object(*elements: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "country_code": "GB", "party_id": "EXA", "id": "1", "currency": "GBP", "elements": list(elements),
        "last_updated": "2026-01-01T00:00:00Z", **more,
    }  # fmt: skip


def _import(*elements: dict[str, Any], **more: Any) -> ImportedPrices:
    return as_bands(read_ocpi_tariff(_object(*elements, **more)), standing_up_per_day=40_000_000)


NIGHT = _element(_part(0.07), start_time="23:30", end_time="05:30")
WEEKEND = _element(_part(0.18), day_of_week=["SATURDAY", "SUNDAY"])
EVENING = _element(
    _part(0.4), start_time="16:00", end_time="19:00",
    day_of_week=["MONDAY", "TUESDAY", "WEDNESDAY", "THURSDAY", "FRIDAY"],
)  # fmt: skip
REST = _element(_part(0.25))


def test_the_bands_price_every_half_hour_of_a_month_as_the_object_does() -> None:
    elements = (NIGHT, EVENING, WEEKEND, REST)
    imported = _import(*elements)
    check_sheets([imported.sheet])
    version = Version(date(2020, 1, 1), (imported.sheet,), False, imported.vat_percent)
    terms = TariffTerms("t", "T", TariffKind.BANDED, TariffClock.LOCAL, (version,), {})
    # October: the clock goes back; and 26 December 2026 is no week day
    for first, end in ((date(2026, 10, 19), date(2026, 11, 2)), (date(2026, 12, 21), date(2027, 1, 4))):
        days = price_days(terms, Contract(date(2019, 1, 1)), first, end, zone=LONDON, nation=Nation.ENGLAND)
        tariff = read_ocpi_tariff(_object(*elements))
        for position, price_up in enumerate(days.price_up.tolist()):
            period = ChargePeriod(slot_start(days.first_slot + position), Decimal(1), Decimal("0.5"))
            charged = price_charge(tariff, [period], LONDON)
            assert charged.incl_vat == Decimal(price_up) / 10**8, slot_start(days.first_slot + position)


def test_one_price_is_one_band_all_day() -> None:
    imported = _import(REST)
    assert [(band.name, band.price_up) for band in imported.sheet.bands] == [("all day", 25_000_000)]
    assert (imported.vat_percent, imported.sheet.standing_up_per_day) == (5, 40_000_000)


def _faults(*elements: dict[str, Any], **more: Any) -> dict[str, str]:
    with pytest.raises(Rejected) as refused:
        _import(*elements, **more)
    return {fault.field: fault.rule for fault in refused.value.faults}


@pytest.mark.parametrize(
    ("elements", "field"),
    [
        ((_element(_part(kind="FLAT")), REST), "elements.0.price_components.0.type"),
        ((_element(_part(kind="TIME")), REST), "elements.0.price_components.0.type"),
        ((_element(_part(kind="PARKING_TIME")), REST), "elements.0.price_components.0.type"),
        ((_element(_part(step_size=100)),), "elements.0.price_components.0.step_size"),
        ((_element(_part(vat=None)),), "elements.0.price_components.0.vat"),
        ((_element(_part(0.123456789)),), "elements.0.price_components.0.price"),
        ((_element(_part(), max_power=7), REST), "elements.0.restrictions.max_power"),
        ((_element(_part(), min_kwh=7), REST), "elements.0.restrictions.min_kwh"),
        ((_element(_part(), min_duration=7), REST), "elements.0.restrictions.min_duration"),
        ((_element(_part(), start_date="2026-01-01"), REST), "elements.0.restrictions.start_date"),
        ((_element(_part(), reservation="RESERVATION"), REST), "elements.0.restrictions.reservation"),
        ((_element(_part(), start_time="10:15"), REST), "elements.0.restrictions.start_time"),
        ((_element(_part(), day_of_week=["MONDAY"]), REST), "elements.0.restrictions.day_of_week"),
        ((NIGHT,), "elements"),
        ((_element(_part(vat=5)), _element(_part(vat=20))), "elements"),
    ],
)
def test_what_bands_cannot_say_is_refused_with_its_place(elements: Any, field: str) -> None:
    assert field in _faults(*elements)


def test_bounds_and_other_money_are_refused() -> None:
    found = _faults(REST, currency="EUR", min_price={"excl_vat": 1}, max_price={"excl_vat": 2})
    assert set(found) == {"currency", "min_price", "max_price"}


def test_a_gap_is_named_by_its_time_because_the_standard_reads_it_as_free() -> None:
    with pytest.raises(Rejected) as refused:
        _import(NIGHT)
    rules = [fault.rule for fault in refused.value.faults]
    assert rules == [
        f"none prices 05:30-23:30 {days}, which the standard reads as free: add an element for it"
        for days in ("Monday to Friday", "at weekends")
    ]
