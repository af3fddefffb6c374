"""A visit moves only as visits can; an impossible move is refused with what is possible."""

from itertools import product

import pytest

from service.common.errors import Rejected
from service.safety.domain.visit_states import AWAITED, ENDED, MOVES, VisitState, check_move

POSSIBLE = {
    ("asked", "date_agreed"), ("asked", "cancelled"),
    ("date_agreed", "date_agreed"), ("date_agreed", "asked"), ("date_agreed", "no_access"), ("date_agreed", "done"),
    ("date_agreed", "cancelled"),
    ("no_access", "asked"), ("no_access", "date_agreed"), ("no_access", "done"), ("no_access", "cancelled"),
    ("done", "asked"), ("done", "recorded"),
    ("recorded", "asked"), ("recorded", "accepted"),
}  # fmt: skip


@pytest.mark.parametrize(("was", "becomes"), list(product(VisitState, VisitState)))
def test_each_of_the_49_moves_is_possible_or_refused_with_the_rule(was: VisitState, becomes: VisitState) -> None:
    if (was.value, becomes.value) in POSSIBLE:
        check_move(was, becomes)
        return
    with pytest.raises(Rejected) as refused:
        check_move(was, becomes)
    (fault,) = refused.value.faults
    assert (fault.field, fault.value) == ("state", becomes.value)
    for state in MOVES[was]:
        assert state.value in fault.rule
    assert fault.rule.endswith("ends") == (was in ENDED)


def test_only_a_visit_that_is_still_to_come_can_be_called_off() -> None:
    assert {state for state in VisitState if VisitState.CANCELLED in MOVES[state]} == AWAITED
