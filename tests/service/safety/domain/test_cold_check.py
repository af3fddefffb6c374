"""The member's check: what its answers report, and what it must answer."""

from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.cold_check import QUESTIONS, CheckDetails, GivenAnswer

CLEAR = {question.name: question.answers[0].name for question in QUESTIONS}


def check(**answers: str) -> CheckDetails:
    given = tuple(GivenAnswer(question, answer) for question, answer in answers.items())
    return CheckDetails("o" * 32, "l" * 32, given)


def fields(refused: Any) -> list[str]:
    return [fault.field for fault in refused.value.faults]


def test_every_question_has_a_clear_answer_and_not_known() -> None:
    for question in QUESTIONS:
        assert question.answers[0].sign is None
        assert [answer.name for answer in question.answers if answer.sign is None][1:] == ["not_known"]


def test_nothing_is_touched_before_what_can_be_seen_smelt_and_heard() -> None:
    order = [question.is_touching for question in QUESTIONS]
    assert order == sorted(order)
    assert QUESTIONS[0].name == "tingle"


def test_a_clear_check_reports_nothing() -> None:
    assert (check(**CLEAR).is_clear, check(**CLEAR).signs) == (True, ())


def test_not_known_is_an_answer_and_not_a_pass() -> None:
    found = check(**{**CLEAR, "smell": "not_known"})
    assert (found.is_clear, found.signs) == (False, ())


@pytest.mark.parametrize("question", QUESTIONS, ids=[question.name for question in QUESTIONS])
def test_each_stop_answer_reports_its_sign_and_may_end_the_check(question: Any) -> None:
    for answer in question.answers:
        if answer.sign:
            found = check(**{question.name: answer.name})
            assert ([sign.name for sign in found.signs], found.is_clear) == ([answer.sign], False)


def test_several_signs_come_in_the_order_of_the_questions() -> None:
    found = check(warmth="too_hot", tingle="yes", grip="yes")
    assert [sign.name for sign in found.signs] == ["tingle", "loose", "too_hot"]


def test_without_a_stop_answer_no_question_is_left_out() -> None:
    with pytest.raises(Rejected) as refused:
        check(tingle="no", scorch="no")
    assert fields(refused) == ["answers"]
    assert "warmth" in refused.value.faults[0].rule


def test_unknown_questions_and_answers_and_repeats_are_refused_by_name() -> None:
    for question, answer, field in (("colour", "no", "question"), ("smell", "cool", "answer")):
        with pytest.raises(Rejected) as refused:
            GivenAnswer(question, answer)
        assert fields(refused) == [field]
    twice = (GivenAnswer("smell", "yes"), GivenAnswer("smell", "no"))
    with pytest.raises(Rejected) as refused:
        CheckDetails("o" * 32, None, twice)
    assert fields(refused)[0] == "answers.1.question"
