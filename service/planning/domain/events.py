"""What planning announces."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PlanChanged:
    """A household's charging times moved; ``occasion`` names the one cause, so it is told once."""

    household_id: str
    plan_id: str
    reason: str
    occasion: str
