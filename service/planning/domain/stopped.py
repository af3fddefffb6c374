"""What is left of a plan once charging was stopped and no newer plan is there yet: no charging at all."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from service.common.working import Step


def without_charging(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a plan's document without a block: no energy, no costs, no level that charging would have reached.

    Levels on arrival and shortfalls stay as the plan had them and are too hopeful by what is not charged now;
    the next plan works them out afresh.
    """
    vehicles = [_vehicle(vehicle) for vehicle in document["vehicles"]]
    costs = {"cost_pence": None, "on_arrival_cost_pence": None}
    return {**document, "vehicles": vehicles, "turns": [], "energy_kwh": 0.0, **costs}


def stopped_step(stopped_at: datetime) -> Step:
    """Return the one step that stands for the working of a plan that is not shown any more."""
    return Step(
        "Charging was stopped",
        {"stopped at": stopped_at.isoformat()},
        "a plan made before a bad sign was reported is not shown; the next one leaves out what was stopped",
        "rule of this service",
        "no charging",
    )


def _vehicle(vehicle: Mapping[str, Any]) -> dict[str, Any]:
    stays = [
        {**stay, "blocks": [], "energy_kwh": 0.0, "cost_pence": None, "reached_percent": stay["before_percent"]}
        for stay in vehicle["stays"]
    ]
    costs = {"cost_pence": None, "on_arrival_cost_pence": None}
    return {**vehicle, "stays": stays, "other_ways": [], "energy_kwh": 0.0, "unpriced_kwh": 0.0, **costs}
