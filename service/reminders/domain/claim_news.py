"""What a message about a claim tells: that somebody asked, or decided; the words of it stay in the app."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ClaimTurn(StrEnum):
    """What happened to a claim."""

    QUERIED = "queried"
    APPROVED = "approved"
    REFUSED = "refused"


@dataclass(frozen=True)
class ClaimNews:
    """What happened to which claim: its month in words and its money; nothing of its trips."""

    claim_id: str
    turn: ClaimTurn
    month: str
    total_pence: int
