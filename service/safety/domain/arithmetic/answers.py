"""The answers that a check gives; what is not known is never a pass."""

from collections.abc import Iterable
from enum import StrEnum


class Answer(StrEnum):
    """Whether a condition holds."""

    PASSES = "passes"
    FAILS = "fails"
    NOT_KNOWN = "not_known"


def answer_of(condition: bool) -> Answer:
    """Return the answer of a condition that could be worked out."""
    return Answer.PASSES if condition else Answer.FAILS


def worst_answer(answers: Iterable[Answer]) -> Answer:
    """Return the worst: fails, not known, passes; "not known" where there is none."""
    found = set(answers)
    if Answer.FAILS in found:
        return Answer.FAILS
    return Answer.PASSES if found == {Answer.PASSES} else Answer.NOT_KNOWN
