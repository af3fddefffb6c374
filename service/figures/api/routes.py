"""The blueprint that the modules of this package hang their operations on."""

from __future__ import annotations

from service.infrastructure.http.bodies import ApiBlueprint

blueprint = ApiBlueprint("figures", __name__, description="Figures with a date and their sources.")
