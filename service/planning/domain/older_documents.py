"""Documents of plans that were made before plans said as much: what they do not say is filled in as not known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_WHY = {
    "binding": "need",
    "serves_leaves_at": None,
    "lowest_price_pence": None,
    "highest_price_pence": None,
    "next_best_pence": None,
}


def completed(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a stored document in today's shape; one that has it already stays as it is."""
    if "turns" in document:
        return dict(document)
    vehicles = [_vehicle(vehicle) for vehicle in document["vehicles"]]
    return {**document, "turns": [], "sharing_gap_pence": None, "vehicles": vehicles}


def _vehicle(vehicle: Mapping[str, Any]) -> dict[str, Any]:
    place = {"outlet_id": vehicle.get("outlet_id"), "outlet_label": vehicle.get("outlet_label")}
    stays = [
        {**stay, "blocks": [{**block, **place, "why": {**_WHY}} for block in stay["blocks"]]}
        for stay in vehicle["stays"]
    ]
    return {**vehicle, "how_set": "any half-hours", "charge_doubt_percent": None, "other_ways": [], "stays": stays}
