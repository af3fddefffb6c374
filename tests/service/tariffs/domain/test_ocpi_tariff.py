"""A tariff object of OCPI 2.2.1 is read exactly, and every fault of it is named by its place."""

from decimal import Decimal

import pytest

from service.common.errors import Rejected
from service.tariffs.domain.ocpi_tariff import Dimension, components_of, read_ocpi_tariff

COMPONENT = {"type": "ENERGY", "price": 0.1, "step_size": 1}
OBJECT = {
    "country_code": "GB", "party_id": "EXA", "id": "16", "currency": "GBP",
    "elements": [{"price_components": [COMPONENT]}], "last_updated": "2026-01-01T00:00:00Z",
}  # fmt: skip


def _faults(**changes: object) -> list[str]:
    with pytest.raises(Rejected) as refused:
        read_ocpi_tariff({**OBJECT, **changes})
    return [fault.field for fault in refused.value.faults]


def test_numbers_are_read_as_they_were_written() -> None:
    found = read_ocpi_tariff({**OBJECT, "min_price": {"excl_vat": 0.5}})
    ((place, component),) = components_of(found)
    assert (place, component.dimension, component.price, component.vat) == (
        "elements.0.price_components.0", Dimension.ENERGY, Decimal("0.1"), None,
    )  # fmt: skip
    assert found.min_price is not None
    assert found.min_price.incl_vat is None


def test_every_fault_is_named_at_once() -> None:
    bad = {
        "price_components": [{"type": "MILES", "price": "cheap", "step_size": 1.5}],
        "restrictions": {"start_time": "25:00", "day_of_week": ["FUNDAY"], "moon": "full", "max_kwh": True},
    }
    assert _faults(currency="POUND", elements=[bad], start_date_time="soon") == [
        "currency",
        "elements.0.price_components.0.type",
        "elements.0.price_components.0.price",
        "elements.0.price_components.0.step_size",
        "elements.0.restrictions.moon",
        "elements.0.restrictions.start_time",
        "elements.0.restrictions.max_kwh",
        "elements.0.restrictions.day_of_week",
        "start_date_time",
    ]


@pytest.mark.parametrize("elements", [None, [], {}, ["x"], [{}] * 201])
def test_a_tariff_has_elements(elements: object) -> None:
    assert _faults(elements=elements)[0] == "elements"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 10**12, None, [1]])
def test_a_price_is_a_finite_number(value: object) -> None:
    faults = _faults(elements=[{"price_components": [{**COMPONENT, "price": value}]}])
    assert faults == ["elements.0.price_components.0.price"]


def test_what_is_no_object_is_refused_where_one_belongs() -> None:
    assert _faults(elements=[{"price_components": [COMPONENT], "restrictions": "none"}], max_price=5) == [
        "elements.0.restrictions", "max_price",
    ]  # fmt: skip
