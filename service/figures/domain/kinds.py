"""The names that figures go by: what each is about, in which unit, and between which bounds.

A name that is not here is read by nothing, so it is refused as a slip.  Bounds are own choice: they catch a value in
pounds for pence or a missing point, they say nothing about what is right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

PENCE_PER_MILE: Final = "pence per mile"
PERCENT: Final = "percent"
KWH_A_YEAR: Final = "kWh a year"
KG_PER_KWH: Final = "kg CO2e per kWh"
KG_PER_MILE: Final = "kg CO2e per mile"

_APPLIANCES: Final = ("dishwasher", "washing_machine", "tumble_dryer", "immersion_heater")
_USES: Final = tuple(f"{rate}_{size}" for rate in ("single_rate", "two_rate") for size in ("low", "medium", "high"))


@dataclass(frozen=True, slots=True)
class FigureKind:
    """What a name stands for: its subject, its words, its unit, its keys ("" where it has none) and its bounds."""

    name: str
    subject: str
    words: str
    unit: str
    keys: tuple[str, ...] = ("",)
    least: Decimal = Decimal(0)
    most: Decimal = Decimal(1000)


def _kind(name: str, subject: str, words: str, unit: str, most: int, *keys: str) -> FigureKind:
    return FigureKind(name, subject, words, unit, keys or ("",), most=Decimal(most))


_OWN_CAR, _COMPANY_CAR = "Own car: approved mileage allowance", "Company car: advisory rates"
_TAX, _USE, _PRICES, _CARBON = "VAT", "Typical use of a home", "Prices and interest", "Carbon"
_RUNS, _WORK = "Runs of appliances", "Work at home"

KINDS: Final = {
    kind.name: kind
    for kind in (
        _kind("mileage_allowance_first", _OWN_CAR, "up to the threshold of miles", PENCE_PER_MILE, 200),
        _kind("mileage_allowance_above", _OWN_CAR, "above the threshold of miles", PENCE_PER_MILE, 200),
        _kind("mileage_allowance_threshold", _OWN_CAR, "business miles in a tax year", "miles", 100_000),
        _kind("passenger_rate", _OWN_CAR, "for each passenger", PENCE_PER_MILE, 200),
        _kind("advisory_electric_home", _COMPANY_CAR, "electric, charged at home", PENCE_PER_MILE, 200),
        _kind("advisory_electric_public", _COMPANY_CAR, "electric, charged in public", PENCE_PER_MILE, 200),
        _kind(
            "advisory_petrol", _COMPANY_CAR, "petrol", PENCE_PER_MILE, 200, "up_to_1400", "1401_to_2000", "above_2000"
        ),
        _kind("vat_domestic_electricity", _TAX, "electricity to a home", PERCENT, 100),
        _kind("vat_public_charging", _TAX, "charging in public", PERCENT, 100),
        _kind("typical_use", _USE, "typical use", KWH_A_YEAR, 100_000, *_USES),
        _kind("public_charging_price", _PRICES, "charging in public", "pence per kWh", 1000),
        _kind("discount_rate", _PRICES, "rate that later money is discounted at", "percent a year", 100),
        _kind("carbon_electricity_generated", _CARBON, "electricity generated", KG_PER_KWH, 5),
        _kind("carbon_electricity_distribution", _CARBON, "electricity lost on its way", KG_PER_KWH, 5),
        _kind("carbon_petrol_car", _CARBON, "petrol car", KG_PER_MILE, 5, "average", "small", "medium", "large"),
        _kind("appliance_run_kwh", _RUNS, "energy", "kWh per run", 100, *_APPLIANCES),
        _kind("appliance_power_w", _RUNS, "power", "W", 20_000, *_APPLIANCES),
        _kind(
            "work_cost", _WORK, "cost", "pence", 10_000_000, "electrician_check", "ev_marked_socket",
            "dedicated_circuit", "charging_point_7kw",
        ),
        _kind("charging_point_life", _WORK, "years that a charging point serves", "years", 100),
    )
}
"""Every name, in the order that a reader looks for it."""


SUBJECTS: Final = tuple(dict.fromkeys(kind.subject for kind in KINDS.values()))
"""Every subject, in the same order."""

KEY_WORDS: Final = {
    "up_to_1400": "up to 1,400 cc",
    "1401_to_2000": "1,401 to 2,000 cc",
    "above_2000": "above 2,000 cc",
    "electrician_check": "an electrician's check",
    "ev_marked_socket": "a socket-outlet marked for electric vehicles",
    "dedicated_circuit": "a circuit of its own",
    "charging_point_7kw": "a 7 kW charging point",
    **{use: use.replace("single_rate", "single-rate meter").replace("two_rate", "two-rate meter") for use in _USES},
}
"""Keys as a person reads them, where they are more than their own words."""


def names_and_keys() -> Iterator[tuple[FigureKind, str]]:
    """Return each kind with each of its keys, in order."""
    for kind in KINDS.values():
        for key in kind.keys:
            yield kind, key


def label_of(name: str, key: str) -> str:
    """Return a figure's name as a person reads it.

    >>> label_of("advisory_petrol", "up_to_1400"), label_of("passenger_rate", "")
    ('petrol, up to 1,400 cc', 'for each passenger')
    """
    kind = KINDS.get(name)
    words = kind.words if kind else name.replace("_", " ")
    return f"{words}, {KEY_WORDS.get(key, key).replace('_', ' ')}" if key else words
