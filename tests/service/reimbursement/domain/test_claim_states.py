"""Where a claim may go, and that nobody decides about their own."""

import pytest

from service.common.errors import Forbidden
from service.reimbursement.domain.claim_states import NotInThisState, Step, check_other_person, next_state
from service.reimbursement.domain.kinds import ClaimState

ALLOWED = {
    ("draft", "send"): "sent",
    ("sent", "withdraw"): "draft",
    ("queried", "withdraw"): "draft",
    ("sent", "query"): "queried",
    ("queried", "answer"): "sent",
    ("sent", "approve"): "approved",
    ("sent", "refuse"): "refused",
    ("queried", "refuse"): "refused",
    ("approved", "state"): "stated",
}


@pytest.mark.parametrize("state", list(ClaimState))
@pytest.mark.parametrize("step", list(Step))
def test_each_step_is_allowed_from_its_states_alone(state: ClaimState, step: Step) -> None:
    expected = ALLOWED.get((state.value, step.value))
    if expected:
        assert next_state(state.value, step) == expected
    else:
        with pytest.raises(NotInThisState):
            next_state(state.value, step)


def test_nobody_decides_about_their_own_claim() -> None:
    check_other_person("a", "b")
    with pytest.raises(Forbidden):
        check_other_person("a", "a")
