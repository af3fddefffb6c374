"""The worst of several answers."""

import itertools

import pytest

from service.safety.domain.arithmetic.answers import Answer, answer_of, worst_answer


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ([], Answer.NOT_KNOWN),
        ([Answer.PASSES], Answer.PASSES),
        ([Answer.PASSES, Answer.NOT_KNOWN], Answer.NOT_KNOWN),
        ([Answer.NOT_KNOWN, Answer.FAILS], Answer.FAILS),
        ([Answer.PASSES, Answer.FAILS], Answer.FAILS),
    ],
)
def test_the_worst_answer_wins_and_none_is_not_known(answers, expected):
    assert worst_answer(answers) is expected


def test_only_passes_pass():
    for answers in itertools.product(Answer, repeat=3):
        assert (worst_answer(answers) is Answer.PASSES) == (set(answers) == {Answer.PASSES})
    assert (answer_of(True), answer_of(False)) == (Answer.PASSES, Answer.FAILS)
