"""The blueprint that the modules of this package hang their operations on."""

from __future__ import annotations

from service.infrastructure.http.bodies import ApiBlueprint

blueprint = ApiBlueprint(
    "reporting", __name__, description="The scheme's homes, their safety, and the mail that was sent."
)
