"""The survey as it stands: what was saved, what is recorded, what is left for the electrician, and how it stood."""

from datetime import timedelta

import pytest

from service.common.errors import NotFound
from service.households import operations as homes
from service.households.domain.home_details import SupplyDetails
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.survey_answers import LeadAnswers, OutletAnswers, SupplyAnswers
from service.safety.domain.survey_steps import SurveyStep
from tests.factories.households import NOON, WRITING, furnished_home, open_home, outlet_details

pytestmark = pytest.mark.both_databases
LATER = {"by": None, "at": NOON + timedelta(hours=1)}


def keys(survey):
    return [(step.step.value, step.item_id is not None) for step in survey.steps]


def test_a_home_with_nothing_recorded_is_asked_about_one_outlet_and_one_lead(session: SchemeSession) -> None:
    survey = operations.get_survey(session, open_home(session))
    assert keys(survey) == [
        ("home", False), ("supply", False), ("outlet", False), ("lead", False), ("consents", False),
    ]  # fmt: skip
    assert survey.electrician_questions == ()


def test_each_outlet_and_its_circuit_are_asked_about_and_each_lead(session: SchemeSession) -> None:
    home = furnished_home(session)
    homes.add_outlet(session, home.id, outlet_details(label="drive"), **WRITING)
    survey = operations.get_survey(session, home.id)
    assert [(step.step.value, step.label) for step in survey.steps] == [
        ("home", ""), ("supply", ""), ("outlet", "garage socket"), ("outlet", "drive"),
        ("circuit", "garage socket"), ("circuit", "drive"), ("lead", "portable lead"), ("consents", ""),
    ]  # fmt: skip


def test_the_newest_answers_count_and_the_older_are_kept(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.save_step(session, home_id, SupplyAnswers(fuse_a=60), **WRITING)
    operations.save_step(session, home_id, SupplyAnswers(fuse_a=80), **LATER)
    now, then = operations.get_survey(session, home_id), operations.get_survey(session, home_id, until=NOON)
    assert [survey.steps[1].answers.fuse_a for survey in (now, then)] == [80, 60]
    assert (now.steps[1].saved_at, now.version) == (LATER["at"], 2)
    before = operations.get_survey(session, home_id, until=NOON - timedelta(seconds=1))
    assert not any(step.is_complete for step in before.steps)


def test_a_question_goes_once_somebody_has_recorded_the_answer(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.save_step(session, home_id, SupplyAnswers(phases=1), **WRITING)
    asked = operations.electrician_questions(session, home_id)
    assert asked == operations.get_survey(session, home_id).electrician_questions
    assert any("service cut-out" in text for text in asked)
    homes.put_supply(session, home_id, SupplyDetails(fuse_a=100), **LATER)
    assert not any("service cut-out" in text for text in operations.electrician_questions(session, home_id))


def test_steps_that_nobody_answered_ask_nothing_of_the_electrician(session: SchemeSession) -> None:
    home = furnished_home(session)
    operations.save_step(session, home.id, OutletAnswers(), home.outlet_id, **WRITING)
    asked = operations.electrician_questions(session, home.id)
    assert asked and all(text.startswith("garage socket:") for text in asked)


def test_a_home_without_a_lead_says_so_and_is_complete_in_that(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.save_step(session, home_id, LeadAnswers(kind="none"), **WRITING)
    (lead,) = [step for step in operations.get_survey(session, home_id).steps if step.step is SurveyStep.LEAD]
    assert (lead.is_complete, lead.answers.kind) == (True, "none")
    assert operations.electrician_questions(session, home_id) == ()


def test_an_unknown_home_has_no_survey(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        operations.get_survey(session, "0" * 32)
