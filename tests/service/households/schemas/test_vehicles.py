"""Cars in JSON."""

from decimal import Decimal

from service.households.schemas.vehicles import VehicleEntrySchema, VehicleSchema


def test_a_cars_battery_is_kwh_outside_and_wh_inside() -> None:
    body = {"label": "x", "battery_kwh": 52.5, "miles_per_kwh": 3.6, "onboard_limit_a": 32}
    values = VehicleEntrySchema().load(body)
    assert (values["battery_wh"], values["miles_per_kwh"]) == (52_500, Decimal("3.6"))
    assert VehicleSchema().dump({**values, "id": "v", "ordinal": 1})["battery_kwh"] == 52.5
