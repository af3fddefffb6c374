"""The order of a batch: a sum of stated weights; worse facts never come later."""

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.safety.domain.risk_order import SOURCE, RiskFacts, risk_of

CALM = RiskFacts(False, False, False, False, 0, False, 0)


@pytest.mark.parametrize(
    ("facts", "weight"),
    [
        ({}, 0),
        ({"is_stopped": True}, 40),
        ({"was_never_inspected": True}, 25),
        ({"is_overdue": True}, 15),
        ({"may_lose_pen_outdoors": True}, 15),
        ({"has_socket": True}, 10),
        ({"has_socket": True, "nights_a_week": 4}, 22),
        ({"has_socket": True, "nights_a_week": None}, 31),  # not known is taken as every night
        ({"nights_a_week": 7}, 0),  # of a charging point they do not count
        ({"days_waiting": 20}, 2),
        ({"days_waiting": 700}, 10),
    ],
)
def test_each_fact_has_its_weight(facts: dict[str, object], weight: int) -> None:
    assert risk_of(replace(CALM, **facts))[0] == weight  # type: ignore[arg-type]


FACTS = st.builds(
    RiskFacts,
    is_stopped=st.booleans(),
    was_never_inspected=st.booleans(),
    is_overdue=st.booleans(),
    has_socket=st.booleans(),
    nights_a_week=st.none() | st.integers(0, 7),
    may_lose_pen_outdoors=st.booleans(),
    days_waiting=st.integers(0, 1_000),
)


@given(FACTS)
def test_the_working_adds_up_and_says_where_it_comes_from(facts: RiskFacts) -> None:
    total, working = risk_of(facts)
    assert total == sum(int(step.result) for step in working.steps)
    assert {step.source for step in working.steps} <= {SOURCE}


@given(FACTS, st.sampled_from([field.name for field in fields(RiskFacts)]))
def test_a_worse_fact_never_lowers_the_risk(facts: RiskFacts, name: str) -> None:
    worse = {"nights_a_week": None, "days_waiting": facts.days_waiting + 7}.get(name, True)
    assert risk_of(replace(facts, **{name: worse}))[0] >= risk_of(facts)[0]  # type: ignore[arg-type]
