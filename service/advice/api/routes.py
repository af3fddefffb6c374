"""The blueprint that the modules of this package hang their operations on."""

from __future__ import annotations

from service.infrastructure.http.bodies import ApiBlueprint

blueprint = ApiBlueprint(
    "advice", __name__, description="Verdicts for a home: lead, tariffs, appliances, upgrades, where the outlet goes."
)
