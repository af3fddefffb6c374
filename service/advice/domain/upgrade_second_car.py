"""A second car that a member thinks of: driven alike on working days, charged at the same outlet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from service.advice.domain.upgrade_works import Target
from service.common.errors import Fault, Rejected
from service.households.domain.diary import WeeklyDeparture
from service.households.domain.ranges import refuse
from service.households.domain.vehicle_details import VehicleDetails
from service.planning.domain.what_if import SecondCar

LABEL: Final = "the second car"
WORKING_DAYS: Final = range(5)


@dataclass(frozen=True, slots=True)
class OneMoreCar:
    """A car as asked about: ``miles`` there and back on each working day, times in minutes after local midnight.

    Raises ``Rejected`` with every fault, each named ``second_`` and the field.
    """

    miles: Decimal
    leaves_min: int
    returns_min: int
    battery_wh: int
    miles_per_kwh: Decimal
    onboard_limit_a: int

    def __post_init__(self) -> None:
        refuse(_faults(lambda: self._details()), _faults(lambda: self._departure(0)))

    def at(self, target: Target) -> SecondCar:
        """Return the car at an outlet, with the lead that is used there."""
        lead = next((car.lead for car in target.cars if car.lead is not None), None)
        details = self._details(outlet_id=target.outlet.id, lead_id=None if lead is None else lead.id)
        return SecondCar(details, tuple(self._departure(weekday) for weekday in WORKING_DAYS))

    def _details(self, *, outlet_id: str | None = None, lead_id: str | None = None) -> VehicleDetails:
        return VehicleDetails(
            LABEL, self.battery_wh, self.miles_per_kwh, self.onboard_limit_a, outlet_id=outlet_id, lead_id=lead_id
        )

    def _departure(self, weekday: int) -> WeeklyDeparture:
        return WeeklyDeparture(weekday, self.leaves_min, self.returns_min, 0, self.miles)


def _faults(build: Callable[[], object]) -> Iterator[Fault]:
    try:
        build()
    except Rejected as error:
        yield from (Fault(f"second_{fault.field}", fault.value, fault.rule) for fault in error.faults)
