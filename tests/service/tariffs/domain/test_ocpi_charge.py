"""A charge under a tariff of OCPI 2.2.1 costs what the standard's own worked examples say."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from service.tariffs.domain.ocpi_charge import ChargeCost, ChargePeriod, price_charge
from service.tariffs.domain.ocpi_tariff import read_ocpi_tariff

LONDON = ZoneInfo("Europe/London")
EIGHT = datetime(2026, 6, 1, 8, tzinfo=UTC)
EXAMPLES = "OCPI 2.2.1, tariffs module, worked examples"
D = Decimal


def part(kind: str, price: Any, vat: Any = None, step_size: int = 1) -> dict[str, Any]:
    """Return a price component."""
    return {"type": kind, "price": price, "step_size": step_size} | ({} if vat is None else {"vat": vat})


def element(*components: dict[str, Any], **restrictions: Any) -> dict[str, Any]:
    """Return an element."""
    return {"price_components": list(components)} | ({"restrictions": restrictions} if restrictions else {})


def tariff_object(*elements: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return a whole tariff object."""
    return {
        "country_code": "GB", "party_id": "EXA", "id": "16", "currency": "EUR", "elements": list(elements),
        "last_updated": "2026-01-01T00:00:00Z", **more,
    }  # fmt: skip


def cost(tariff: dict[str, Any], *periods: ChargePeriod) -> ChargeCost:
    """Return what a charge costs in London."""
    return price_charge(read_ocpi_tariff(tariff), periods, LONDON)


def energy(kwh: str, **more: Any) -> ChargePeriod:
    """Return a period of energy from eight o'clock."""
    return ChargePeriod(EIGHT, energy_kwh=D(kwh), **more)


START_AND_ENERGY = element(part("FLAT", 0.50, 20), part("ENERGY", 0.25, 10))
FREE_FIRST = tariff_object(
    element(part("ENERGY", 0), max_kwh=1), element(part("PARKING_TIME", 0), max_duration=3600),
    element(part("ENERGY", 0.20), part("PARKING_TIME", 2.00)),
)  # fmt: skip
BY_POWER = tariff_object(
    element(part("ENERGY", 0.20), max_power=16), element(part("ENERGY", 0.35), max_power=32),
    element(part("ENERGY", 0.50)),
)  # fmt: skip
BY_DURATION = tariff_object(
    element(part("ENERGY", 0), max_duration=1800), element(part("ENERGY", 0.25), max_duration=3600),
    element(part("ENERGY", 0.40)),
)  # fmt: skip
MAXIMUM = {"max_price": {"excl_vat": 10.00, "incl_vat": 11.00}}
WORKED = [
    ("0.25 a kWh", tariff_object(element(part("ENERGY", 0.25, 10))), (energy("20"),), "5.00", "5.50"),
    ("with a start", tariff_object(START_AND_ENERGY), (energy("20"),), "5.50", "6.10"),
    (
        "a minimum", tariff_object(element(part("ENERGY", 0.25, 10)), min_price={"excl_vat": 0.50, "incl_vat": 0.55}),
        (energy("1.5"),), "0.50", "0.55",
    ),
    (
        "parking in quarters",
        tariff_object(element(part("FLAT", 0.50, 20), part("ENERGY", 0.25, 10), part("PARKING_TIME", 2.00, 20, 900))),
        (energy("20"), ChargePeriod(EIGHT, parking_h=D(2) / 3)), "7.00", "7.90",
    ),
    ("a maximum reached", tariff_object(START_AND_ENERGY, **MAXIMUM), (energy("50"),), "10.00", "11.00"),
    ("a maximum not reached", tariff_object(START_AND_ENERGY, **MAXIMUM), (energy("30"),), "8.00", "8.85"),
    (
        "blocks of 100 Wh", tariff_object(element(part("ENERGY", 0.22, 10, 100))), (energy("20.45"),), "4.51", "4.96",
    ),
    ("the first free", FREE_FIRST, (energy("20"), ChargePeriod(EIGHT, parking_h=D("2.75"))), "7.30", None),
    (
        "by power", BY_POWER,
        (energy("1", power_kw=D(6)), energy("40", power_kw=D(48)), energy("0.5", power_kw=D(4))), "20.30", None,
    ),
    (
        "by duration", BY_DURATION,
        (energy("5", time_h=D("0.5")), ChargePeriod(EIGHT + timedelta(minutes=30), D("1.2"), D("0.5"))), "0.30", None,
    ),
    ("step of 1 Wh", tariff_object(element(part("ENERGY", 0.25, None, 1))), (energy("0.1152"),), "0.029", None),
    ("step of 25 Wh", tariff_object(element(part("ENERGY", 0.25, None, 25))), (energy("0.1152"),), "0.031", None),
    ("step of 500 Wh", tariff_object(element(part("ENERGY", 0.25, None, 500))), (energy("0.1152"),), "0.125", None),
]  # fmt: skip


@pytest.mark.reference
@pytest.mark.parametrize(("name", "tariff", "periods", "excl", "incl"), WORKED, ids=[row[0] for row in WORKED])
def test_the_standards_worked_examples_come_out(
    reference: Callable[..., None], name: str, tariff: Any, periods: Any, excl: str, incl: str | None
) -> None:
    found = cost(tariff, *periods)
    # As printed: to the places that the example has.
    got = round(found.excl_vat, -D(excl).as_tuple().exponent)
    expected = (D(excl), None if incl is None else D(incl))
    reference(
        source=f"{EXAMPLES}: {name}", expected=expected,
        got=(got, None if incl is None or found.incl_vat is None else round(found.incl_vat, 2)),
    )  # fmt: skip


def test_vat_that_is_not_stated_is_not_known() -> None:
    assert cost(tariff_object(element(part("ENERGY", 0.25))), energy("4")).incl_vat is None
    assert cost(tariff_object(element(part("ENERGY", 0.25, 0))), energy("4")).incl_vat == D(1)


NIGHT = element(part("ENERGY", 0.10), start_time="23:00", end_time="06:00")
WEEKEND = element(part("ENERGY", 0.20), day_of_week=["SATURDAY", "SUNDAY"])


def test_a_period_is_cut_where_the_local_time_of_a_price_begins_even_in_summer() -> None:
    # 21:00 to 23:00 UTC is 22:00 to 24:00 on the wall in June: an hour of day, an hour of night
    period = ChargePeriod(datetime(2026, 6, 1, 21, tzinfo=UTC), D(10), D(2))
    assert cost(tariff_object(NIGHT, element(part("ENERGY", 0.30))), period).excl_vat == D("2.0")


def test_a_day_of_the_week_ends_at_local_midnight() -> None:
    # Friday 22:00 to Saturday 02:00 UTC in winter
    period = ChargePeriod(datetime(2026, 12, 4, 22, tzinfo=UTC), D(8), D(4))
    assert cost(tariff_object(WEEKEND, element(part("ENERGY", 0.40))), period).excl_vat == D("2.4")


def test_a_threshold_of_energy_cuts_a_period_where_it_is_crossed() -> None:
    tariff = tariff_object(element(part("ENERGY", 0.50), min_kwh=10), element(part("ENERGY", 0.20)))
    assert cost(tariff, energy("15", time_h=D(3))).excl_vat == D("4.5")


def test_what_no_element_prices_is_free_and_a_power_nobody_knows_meets_no_bound() -> None:
    assert cost(tariff_object(NIGHT), energy("10")).excl_vat == 0
    bounded = tariff_object(element(part("ENERGY", 0.20), max_power=16), element(part("ENERGY", 0.50)))
    assert cost(bounded, energy("10")).excl_vat == D(5)


def test_the_first_element_that_prices_a_dimension_holds_for_it() -> None:
    tariff = tariff_object(element(part("ENERGY", 0.10)), element(part("ENERGY", 0.90), part("TIME", 1)))
    assert cost(tariff, energy("10", time_h=D(2))).excl_vat == D(3)


def test_a_reservation_price_is_never_charged_for_energy() -> None:
    tariff = tariff_object(element(part("ENERGY", 9), reservation="RESERVATION"), element(part("ENERGY", 0.1)))
    assert cost(tariff, energy("10")).excl_vat == D(1)
