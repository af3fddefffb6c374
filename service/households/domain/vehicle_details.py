"""What people say of a car, checked as it is put together; and which lead goes with which outlet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from service.common.errors import Fault
from service.households.domain.equipment import LeadKind, OutletKind, PortPosition
from service.households.domain.equipment_details import CURRENT_MAX_A, CURRENT_MIN_A
from service.households.domain.ranges import (
    LABEL_LENGTH_MAX,
    in_range,
    known_word,
    of_decimals,
    of_phases,
    refuse,
    text_within,
)

# Own bounds: wide enough for every car on the road, narrow enough to catch a slip of the unit.
BATTERY_MIN_WH, BATTERY_MAX_WH = 1_000, 250_000
OTHER_OUTLETS_MAX = 4
STANDBY_MAX_W = 500


@dataclass(frozen=True)
class VehicleDetails:
    """A car: usable battery [Wh], miles per battery kWh, on-board charger [A per phase], limits of charge [%].

    Everyday charging stops at ``ceiling_percent``; ``reserve_percent`` is what a journey should leave. It could be fed
    from ``other_outlet_ids`` besides its usual outlet; from ``taper_from_percent`` on it draws less, None: not known.
    Standing, it takes ``standby_w`` from its battery, on average. ``port`` is where its charging port is, as seen
    from the driver's seat.
    """

    label: str
    battery_wh: int
    miles_per_kwh: Decimal
    onboard_limit_a: int
    onboard_phases: int = 1
    ceiling_percent: int = 80
    reserve_percent: int = 20
    outlet_id: str | None = None
    lead_id: str | None = None
    other_outlet_ids: tuple[str, ...] = ()
    taper_from_percent: int | None = None
    port: str = PortPosition.NOT_KNOWN
    standby_w: int = 0

    def __post_init__(self) -> None:
        object.__setattr__(self, "other_outlet_ids", tuple(self.other_outlet_ids))
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            _battery_faults(self.battery_wh),
            in_range("miles_per_kwh", self.miles_per_kwh, 1, 10, "miles per kWh"),
            of_decimals("miles_per_kwh", self.miles_per_kwh, 2),
            in_range("onboard_limit_a", self.onboard_limit_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            of_phases("onboard_phases", self.onboard_phases),
            in_range("ceiling_percent", self.ceiling_percent, 50, 100, "%"),
            in_range("reserve_percent", self.reserve_percent, 0, 60, "%"),
            _reserve_faults(self),
            _other_outlet_faults(self),
            _taper_faults(self.taper_from_percent),
            known_word("port", self.port, PortPosition),
            in_range("standby_w", self.standby_w, 0, STANDBY_MAX_W, "W"),
        )


def check_charge(percent: int) -> None:
    """Refuse a state of charge that no battery has; raises ``Rejected``."""
    refuse(in_range("percent", percent, 0, 100, "%"))


def check_lead_fits(outlet_kind: str | None, is_tethered: bool | None, lead_kind: str | None) -> None:
    """Refuse a lead that cannot join the car to its outlet; None is no outlet, or no lead, and passes.

    Raises
    ------
    Rejected
        Naming ``lead_id``.
    """
    refuse(_fit_faults(outlet_kind, is_tethered, lead_kind))


def lead_fits(outlet_kind: str, lead_kind: str) -> bool:
    """Tell whether a lead of a kind joins a car to an outlet of a kind that has no cable of its own."""
    return not any(_fit_faults(outlet_kind, False, lead_kind))


def _fit_faults(outlet_kind: str | None, is_tethered: bool | None, lead_kind: str | None) -> Iterator[Fault]:
    if outlet_kind is None or lead_kind is None:
        return
    if outlet_kind == OutletKind.SOCKET_13A and lead_kind != LeadKind.MODE_2:
        yield Fault("lead_id", lead_kind, "a 13 A socket feeds a car through a mode 2 lead")
    if outlet_kind == OutletKind.CHARGING_POINT and lead_kind != LeadKind.MODE_3_CABLE:
        yield Fault("lead_id", lead_kind, "a charging point feeds a car through a mode 3 cable")
    if outlet_kind == OutletKind.CHARGING_POINT and is_tethered:
        yield Fault("lead_id", lead_kind, "a tethered charging point has a cable of its own: take the lead away")


def _battery_faults(battery_wh: int) -> Iterator[Fault]:
    if not BATTERY_MIN_WH <= battery_wh <= BATTERY_MAX_WH:
        rule = f"must lie between {BATTERY_MIN_WH // 1000} and {BATTERY_MAX_WH // 1000} kWh"
        yield Fault("battery_kwh", battery_wh / 1000, rule)


def _reserve_faults(vehicle: VehicleDetails) -> Iterator[Fault]:
    if vehicle.reserve_percent >= vehicle.ceiling_percent:
        rule = f"must be below the everyday ceiling, {vehicle.ceiling_percent} %"
        yield Fault("reserve_percent", vehicle.reserve_percent, rule)


def _other_outlet_faults(vehicle: VehicleDetails) -> Iterator[Fault]:
    if len(vehicle.other_outlet_ids) > OTHER_OUTLETS_MAX:
        yield Fault("other_outlet_ids", len(vehicle.other_outlet_ids), f"must be at most {OTHER_OUTLETS_MAX}")
    for position, outlet_id in enumerate(vehicle.other_outlet_ids):
        if outlet_id == vehicle.outlet_id or outlet_id in vehicle.other_outlet_ids[:position]:
            yield Fault(f"other_outlet_ids.{position}", outlet_id, "is named already")


def _taper_faults(percent: int | None) -> Iterator[Fault]:
    if percent is not None:
        yield from in_range("taper_from_percent", percent, 50, 100, "%")
