"""A supervised first charge counts after two feelings at their times, and heat is never too early to say."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from service.common.errors import Rejected
from service.safety.domain.signs import SIGNS
from service.safety.domain.supervised_charge import FeelAnswer, SupervisedCourse, SupervisedStart, SupervisedState
from tests.factories.households import NOON

MINUTE = timedelta(minutes=1)


def course(**changes: Any) -> SupervisedCourse:
    return SupervisedCourse(**{"started_at": NOON, **changes})


def after(minutes: float) -> datetime:
    return NOON + minutes * MINUTE


def test_only_heat_beyond_just_noticeable_is_a_sign_and_the_table_has_it() -> None:
    signs = {answer.value: answer.sign for answer in FeelAnswer}
    assert signs == {"cool": None, "noticeable": None, "warm": "warm", "too_hot": "too_hot"}
    assert {"warm", "too_hot"} <= set(SIGNS)


@pytest.mark.parametrize(
    ("current_a", "outlet_a", "lead_a", "is_allowed"),
    [
        (10, 10, 10, True),
        (10, 32, None, True),
        (6, 10, 6, True),
        (11, 32, 32, False),
        (10, 8, 10, False),
        (10, 10, 8, False),
        (5, 10, 10, False),
    ],
)
def test_the_current_keeps_within_ten_amps_the_outlet_and_the_lead(
    current_a: int, outlet_a: int, lead_a: int | None, is_allowed: bool
) -> None:
    if is_allowed:
        assert SupervisedStart(current_a, outlet_a, lead_a).current_a == current_a
        return
    with pytest.raises(Rejected) as error:
        SupervisedStart(current_a, outlet_a, lead_a)
    assert [(fault.field, fault.value) for fault in error.value.faults] == [("current_a", current_a)]


@pytest.mark.parametrize("answer", [FeelAnswer.COOL, FeelAnswer.NOTICEABLE])
def test_the_first_feeling_counts_from_half_an_hour_on(answer: FeelAnswer) -> None:
    with pytest.raises(Rejected, match="wait another 1 min"):
        course().check_feeling(answer, at=after(29.5))
    course().check_feeling(answer, at=after(30))


@pytest.mark.parametrize(("first_at", "later_from"), [(30, 120), (90, 120), (100, 130), (125, 155)])
def test_the_second_counts_from_two_hours_on_and_half_an_hour_after_the_first(first_at: int, later_from: int) -> None:
    felt = course(first_felt_at=after(first_at))
    assert felt.later_from_at == after(later_from)
    with pytest.raises(Rejected, match="two hours or more"):
        felt.check_feeling(FeelAnswer.COOL, at=after(later_from) - MINUTE)
    felt.check_feeling(FeelAnswer.COOL, at=after(later_from))


def test_after_twelve_hours_it_says_nothing() -> None:
    felt = course(first_felt_at=after(40))
    felt.check_feeling(FeelAnswer.COOL, at=after(720))
    with pytest.raises(Rejected, match="within twelve hours"):
        felt.check_feeling(FeelAnswer.COOL, at=after(721))
    assert felt.state_at(after(720)) is SupervisedState.LATER_TO_COME
    assert felt.state_at(after(721)) is SupervisedState.LAPSED


@pytest.mark.parametrize("answer", [FeelAnswer.WARM, FeelAnswer.TOO_HOT])
@pytest.mark.parametrize("minutes", [0, 1, 60, 800])
def test_heat_is_never_too_early_or_too_late(answer: FeelAnswer, minutes: int) -> None:
    course().check_feeling(answer, at=after(minutes))


def test_its_state_follows_what_was_felt() -> None:
    assert course().state_at(after(5)) is SupervisedState.FIRST_TO_COME
    assert course(first_felt_at=after(31)).state_at(after(40)) is SupervisedState.LATER_TO_COME
    ended = {"first_felt_at": after(31), "later_felt_at": after(121), "ended_at": after(121)}
    assert course(**ended, is_clear=True).state_at(after(900)) is SupervisedState.CLEAR
    assert course(**ended).state_at(after(121)) is SupervisedState.STOPPED
