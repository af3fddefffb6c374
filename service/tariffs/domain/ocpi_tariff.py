"""A tariff object of OCPI 2.2.1 as checked values, exact in Decimals: elements, components, restrictions, bounds.

Prices are without VAT, per kWh (ENERGY), hour (TIME, PARKING_TIME) or session (FLAT). VAT may be absent: that is not
known, not 0. Of the elements that apply, the first one that prices a dimension holds for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, TypeVar

from service.common.errors import Fault, Rejected

SOURCE = "OCPI 2.2.1, tariffs module"
ELEMENTS_MAX, COMPONENTS_MAX = 200, 20
"""Own bounds: they keep a hostile object short."""
DAYS = ("MONDAY", "TUESDAY", "WEDNESDAY", "THURSDAY", "FRIDAY", "SATURDAY", "SUNDAY")
TEXTS = {"country_code": 2, "party_id": 3, "id": 36, "currency": 3, "last_updated": 40}
"""Required texts of a tariff object and their longest length."""

Read = TypeVar("Read")


class Dimension(StrEnum):
    """What a price component prices."""

    ENERGY = "ENERGY"
    FLAT = "FLAT"
    TIME = "TIME"
    PARKING_TIME = "PARKING_TIME"


@dataclass(frozen=True, slots=True)
class Component:
    """A price without VAT and the block it is billed in: Wh of energy, seconds of time, nothing of a flat price."""

    dimension: Dimension
    price: Decimal
    vat: Decimal | None
    step_size: int


@dataclass(frozen=True, slots=True)
class Restrictions:
    """When an element applies; None: whatever it is. Times are minutes after local midnight, the end not in it.

    Energy is kWh since the start of the session, power kW, current A, duration seconds since the start.
    """

    start_min: int | None = None
    end_min: int | None = None
    start_date: date | None = None
    end_date: date | None = None
    min_kwh: Decimal | None = None
    max_kwh: Decimal | None = None
    min_current: Decimal | None = None
    max_current: Decimal | None = None
    min_power: Decimal | None = None
    max_power: Decimal | None = None
    min_duration: int | None = None
    max_duration: int | None = None
    days_of_week: frozenset[int] | None = None
    is_reservation: bool = False


@dataclass(frozen=True, slots=True)
class Element:
    """Prices that apply together under restrictions."""

    components: tuple[Component, ...]
    restrictions: Restrictions = Restrictions()


@dataclass(frozen=True, slots=True)
class Price:
    """A bound on a session: without VAT, and with it where that is stated."""

    excl_vat: Decimal
    incl_vat: Decimal | None


@dataclass(frozen=True, slots=True)
class OcpiTariff:
    """A tariff object."""

    currency: str
    elements: tuple[Element, ...]
    min_price: Price | None = None
    max_price: Price | None = None
    starts_at: datetime | None = None
    ends_at: datetime | None = None


def read_ocpi_tariff(value: Mapping[str, Any]) -> OcpiTariff:
    """Return a tariff object of parsed JSON as checked values; numbers may be int, float, Decimal.

    Raises
    ------
    Rejected
        With every fault, named by its place in the object.
    """
    reader = _Reader()
    for name, longest in TEXTS.items():
        text = value.get(name)
        if not isinstance(text, str) or not 0 < len(text) <= longest:
            reader.faults.append(Fault(name, _shown(text), f"must be a text of 1 to {longest} characters"))
    elements = tuple(
        _element(reader, f"elements.{position}", each)
        for position, each in enumerate(reader.items("elements", value.get("elements"), ELEMENTS_MAX))
    )
    found = OcpiTariff(
        currency=str(value.get("currency")),
        elements=elements,
        min_price=reader.optional("min_price", value.get("min_price"), lambda field, each: _price(reader, field, each)),
        max_price=reader.optional("max_price", value.get("max_price"), lambda field, each: _price(reader, field, each)),
        starts_at=reader.optional("start_date_time", value.get("start_date_time"), reader.instant),
        ends_at=reader.optional("end_date_time", value.get("end_date_time"), reader.instant),
    )
    if reader.faults:
        raise Rejected(*reader.faults)
    return found


class _Reader:
    """Reads single values and keeps the faults; what is faulty reads as something harmless."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def optional(self, field: str, value: Any, read: Callable[[str, Any], Read]) -> Read | None:
        return None if value is None else read(field, value)

    def items(self, field: str, value: Any, most: int) -> list[Mapping[str, Any]]:
        if isinstance(value, list) and 0 < len(value) <= most and all(isinstance(each, Mapping) for each in value):
            return value
        self.faults.append(Fault(field, _shown(value), f"must be a list of 1 to {most} objects"))
        return []

    def number(self, field: str, value: Any) -> Decimal:
        if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
            try:
                number = Decimal(str(value))
            except InvalidOperation:
                number = Decimal("NaN")
            if number.is_finite() and abs(number) < Decimal(10) ** 9:
                return number
        self.faults.append(Fault(field, _shown(value), "must be a number"))
        return Decimal(0)

    def whole(self, field: str, value: Any) -> int:
        number = self.number(field, value)
        if number < 0 or number != int(number):
            self.faults.append(Fault(field, _shown(value), "must be a whole number, 0 or more"))
        return int(number)

    def minutes(self, field: str, value: Any) -> int:
        hours, _, minutes = value.partition(":") if isinstance(value, str) else ("", "", "")
        is_time = len(hours) == len(minutes) == 2 and (hours + minutes).isascii() and (hours + minutes).isdigit()
        if is_time and int(minutes) < 60 and int(hours) * 60 + int(minutes) <= 24 * 60:
            return int(hours) * 60 + int(minutes)
        self.faults.append(Fault(field, _shown(value), "must be a time HH:MM"))
        return 0

    def day(self, field: str, value: Any) -> date:
        try:
            return date.fromisoformat(value)
        except (TypeError, ValueError):
            self.faults.append(Fault(field, _shown(value), "must be a date YYYY-MM-DD"))
            return date(2000, 1, 1)

    def instant(self, field: str, value: Any) -> datetime:
        try:
            found = datetime.fromisoformat(value)
        except (TypeError, ValueError):
            self.faults.append(Fault(field, _shown(value), "must be a date and time in UTC"))
            return datetime(2000, 1, 1)  # noqa: DTZ001 refused anyway
        return found

    def days(self, field: str, value: Any) -> frozenset[int]:
        if isinstance(value, list) and value and all(each in DAYS for each in value):
            return frozenset(DAYS.index(each) for each in value)
        self.faults.append(Fault(field, _shown(value), "must name days of the week, MONDAY to SUNDAY"))
        return frozenset()


def _element(reader: _Reader, field: str, value: Mapping[str, Any]) -> Element:
    given = reader.items(f"{field}.price_components", value.get("price_components"), COMPONENTS_MAX)
    components = tuple(
        _component(reader, f"{field}.price_components.{position}", each) for position, each in enumerate(given)
    )
    restrictions = value.get("restrictions")
    if restrictions is not None and not isinstance(restrictions, Mapping):
        reader.faults.append(Fault(f"{field}.restrictions", _shown(restrictions), "must be an object"))
        restrictions = None
    return Element(components, _restrictions(reader, f"{field}.restrictions", restrictions or {}))


def _component(reader: _Reader, field: str, value: Mapping[str, Any]) -> Component:
    kind = value.get("type")
    if kind not in [dimension.value for dimension in Dimension]:
        reader.faults.append(Fault(f"{field}.type", _shown(kind), "must be ENERGY, FLAT, TIME or PARKING_TIME"))
        kind = Dimension.ENERGY
    return Component(
        Dimension(kind),
        reader.number(f"{field}.price", value.get("price")),
        reader.optional(f"{field}.vat", value.get("vat"), reader.number),
        reader.whole(f"{field}.step_size", value.get("step_size")),
    )


def _restrictions(reader: _Reader, under: str, value: Mapping[str, Any]) -> Restrictions:
    read: dict[str, tuple[str, Callable[[str, Any], Any]]] = {
        "start_time": ("start_min", reader.minutes),
        "end_time": ("end_min", reader.minutes),
        "start_date": ("start_date", reader.day),
        "end_date": ("end_date", reader.day),
        **{f"{end}_{of}": (f"{end}_{of}", reader.number) for end in ("min", "max") for of in _MEASURED},
        "min_duration": ("min_duration", reader.whole),
        "max_duration": ("max_duration", reader.whole),
        "day_of_week": ("days_of_week", reader.days),
    }
    unknown = [name for name in value if name not in read and name != "reservation"]
    reader.faults.extend(Fault(f"{under}.{name}", None, "is no restriction of the standard") for name in unknown)
    found = {
        field: reader.optional(f"{under}.{name}", value.get(name), each) for name, (field, each) in read.items()
    }
    return Restrictions(**found, is_reservation=value.get("reservation") is not None)


def _price(reader: _Reader, field: str, value: Any) -> Price:
    if not isinstance(value, Mapping):
        reader.faults.append(Fault(field, _shown(value), "must be an object"))
        return Price(Decimal(0), None)
    return Price(
        reader.number(f"{field}.excl_vat", value.get("excl_vat")),
        reader.optional(f"{field}.incl_vat", value.get("incl_vat"), reader.number),
    )


def components_of(tariff: OcpiTariff) -> Iterator[tuple[str, Component]]:
    """Yield every component with its place in the object."""
    for position, element in enumerate(tariff.elements):
        for place, component in enumerate(element.components):
            yield f"elements.{position}.price_components.{place}", component


_MEASURED = ("kwh", "current", "power")


def _shown(value: Any) -> object:
    return value if isinstance(value, str | int | float | bool) or value is None else str(value)[:80]
