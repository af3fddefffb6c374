import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.common.working import Step, Working

STEP = Step(
    "need at the wall", {"battery": "10 kWh", "efficiency": "0.84"}, "battery / efficiency", "own", "11.905 kWh"
)
STEPS = st.builds(Step, st.text(), st.dictionaries(st.text(), st.text()), st.text(), st.text(), st.text())


@given(st.lists(STEPS))
def test_a_working_survives_json(steps):
    working = Working(tuple(steps))
    assert Working.from_json(json.loads(json.dumps(working.to_json()))) == working


def test_steps_are_added_at_the_end_and_the_first_working_is_untouched():
    start = Working((STEP,))
    longer = start.plus(STEP, STEP)
    assert (len(start.steps), len(longer.steps)) == (1, 3)


def test_inputs_that_are_no_mapping_are_refused():
    with pytest.raises(TypeError, match="inputs"):
        Working.from_json([{**STEP.to_json(), "inputs": "10 kWh"}])
