"""How sure an answer is that rests on few days."""

import numpy as np
import pytest

from service.advice.domain.lead_sure import how_sure


@pytest.mark.parametrize(
    ("days", "level"),
    [(7, "a first impression"), (13, "a first impression"), (14, "a fair impression"), (27, "a fair impression"),
     (28, "a good picture"), (60, "a good picture")],
)  # fmt: skip
def test_days_give_a_level_in_words(days: int, level: str) -> None:
    assert how_sure(days, 0, np.zeros(40), whole_weeks=0).level == level


@pytest.mark.reference
@pytest.mark.parametrize(("days", "expected"), [(7, 429), (30, 100), (60, 50)])
def test_the_rule_of_three(days, expected, reference) -> None:
    got = how_sure(days, 0, np.zeros(40), whole_weeks=0).could_be_permille
    reference(source="rule of three, common practice, no source: 3 in n", expected=expected, got=got)


def test_where_some_days_lie_beyond_a_night_the_range_speaks_instead() -> None:
    sure = how_sure(14, 2, np.linspace(0.0, 0.4, 41), whole_weeks=2)
    assert (sure.low_permille, sure.high_permille, sure.could_be_permille) == (20, 380, None)
    assert "from 2 to 38 nights short in a hundred" in sure.words
    assert sure.step.inputs["whole weeks drawn from"] == "2"
