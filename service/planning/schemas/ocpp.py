"""What is asked for when a plan is to be given to a charging point."""

from __future__ import annotations

from service.infrastructure.http.fields import Choice, Id, StrictSchema
from service.planning.domain.outlet_schedule import PROFILE_VERSIONS


class ChargingProfileQuery(StrictSchema):
    """Whose plan, and in which version of the protocol."""

    vehicle_id = Id(required=True)
    version = Choice(PROFILE_VERSIONS, required=True, metadata={"description": "Of OCPP"})
