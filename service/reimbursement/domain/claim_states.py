"""Where a claim may go from where it stands, and who may decide about it."""

from __future__ import annotations

from enum import StrEnum

from service.common.errors import Conflict, Forbidden
from service.reimbursement.domain.kinds import ClaimState


class Step(StrEnum):
    """What can be done with a claim."""

    SEND = "send"
    WITHDRAW = "withdraw"
    QUERY = "query"
    ANSWER = "answer"
    APPROVE = "approve"
    REFUSE = "refuse"
    STATE = "state"


WAYS: dict[Step, tuple[frozenset[ClaimState], ClaimState]] = {
    Step.SEND: (frozenset({ClaimState.DRAFT}), ClaimState.SENT),
    Step.WITHDRAW: (frozenset({ClaimState.SENT, ClaimState.QUERIED}), ClaimState.DRAFT),
    Step.QUERY: (frozenset({ClaimState.SENT}), ClaimState.QUERIED),
    Step.ANSWER: (frozenset({ClaimState.QUERIED}), ClaimState.SENT),
    Step.APPROVE: (frozenset({ClaimState.SENT}), ClaimState.APPROVED),
    Step.REFUSE: (frozenset({ClaimState.SENT, ClaimState.QUERIED}), ClaimState.REFUSED),
    Step.STATE: (frozenset({ClaimState.APPROVED}), ClaimState.STATED),
}
COUNTS = frozenset({ClaimState.SENT, ClaimState.QUERIED, ClaimState.APPROVED, ClaimState.STATED})
"""Claims whose miles count towards the tax year, and whose money towards the month."""


class NotInThisState(Conflict):
    """The claim does not stand where this can be done."""

    title = "The claim is in another state"


def next_state(state: str, step: Step) -> ClaimState:
    """Return where a claim goes; raises ``NotInThisState``."""
    sources, target = WAYS[step]
    if state not in sources:
        wanted = " or ".join(sorted(each.value for each in sources))
        raise NotInThisState(f"The claim is {state}; to {step.value} it, it must be {wanted}.")
    return target


def check_other_person(claimant_id: str, decider_id: str) -> None:
    """Refuse that somebody decides about their own claim, whatever roles they hold; raises ``Forbidden``."""
    if claimant_id == decider_id:
        raise Forbidden("Nobody decides about their own claim: somebody else who may decide must do it.")
