"""What reimbursement announces."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ClaimQueried:
    """Somebody asked the member about a claim; ``message_id`` names the question, so it is told once."""

    claim_id: str
    message_id: str


@dataclass(frozen=True)
class ClaimDecided:
    """A claim was approved or refused."""

    claim_id: str
    is_approved: bool
    decided_ms: int
