"""Saving a step records what it says, through the rules that hold for an administrator too."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.common.errors import NotFound, Rejected
from service.households import operations as homes
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.home_details import LargeLoad
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.survey_answers import (
    CircuitAnswers,
    ConsentDetails,
    ConsentsAnswers,
    HomeAnswers,
    LeadAnswers,
    OutletAnswers,
    SupplyAnswers,
)
from service.safety.models.survey import SurveyAnswers
from tests.factories.households import NOON, WRITING, furnished_home, open_home, outlet_details
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases
LATER = {"by": None, "at": NOON + timedelta(hours=1)}


def changes_of(session: SchemeSession, household_id: str, save) -> int:
    """Return by how much a save raised the home's change counter."""
    session.commit()
    before = homes.get_household(session, household_id).change_counter
    save()
    session.commit()
    return homes.get_household(session, household_id).change_counter - before


def test_tenure_is_recorded_and_not_known_leaves_what_an_administrator_recorded(session: SchemeSession) -> None:
    home_id = open_home(session, tenure="social_rented")
    operations.save_step(session, home_id, HomeAnswers(moved_in_on=date(2021, 3, 1)), **WRITING)
    assert homes.get_household(session, home_id).tenure == "social_rented"
    operations.save_step(session, home_id, HomeAnswers("owner"), **LATER)
    assert homes.get_household(session, home_id).tenure == "owner"
    operations.save_step(session, home_id, HomeAnswers(), by=None, at=NOON + timedelta(hours=2))
    assert homes.get_household(session, home_id).tenure == "not_known"


def test_when_they_moved_in_is_recorded_and_never_earlier_than_an_administrator_said(session: SchemeSession) -> None:
    home_id = open_home(session, occupied_since_on=date(2026, 11, 1))
    for said, recorded in ((date(2021, 3, 1), date(2026, 11, 1)), (date(2026, 11, 20), date(2026, 11, 20))):
        operations.save_step(session, home_id, HomeAnswers(moved_in_on=said), **WRITING)
        assert homes.get_household(session, home_id).occupied_since_on == recorded


def test_the_supply_is_recorded_load_by_load_and_a_plan_is_made_anew_where_it_could_change(
    session: SchemeSession,
) -> None:
    home_id = open_home(session)
    said = SupplyAnswers(80, 1, "tn_c_s", "no", (LargeLoad("shower", 8500), LargeLoad("cooker", 0)))
    assert changes_of(session, home_id, lambda: operations.save_step(session, home_id, said, **WRITING)) == 1
    supply = homes.find_supply(session, home_id)
    assert supply and (supply.fuse_a, supply.earthing) == (80, "tn_c_s")
    assert supply.loads == [{"kind": "cooker", "power_w": 0}, {"kind": "shower", "power_w": 8500}]
    same = replace(said, looped="yes")
    assert changes_of(session, home_id, lambda: operations.save_step(session, home_id, same, **LATER)) == 0


def test_the_first_outlet_is_added_with_what_was_said_and_its_circuit_after_it(session: SchemeSession) -> None:
    home_id = open_home(session)
    said = OutletAnswers("socket_13a", "garage socket", place="indoors", car_place="outdoors", nights_a_week=3)
    assert changes_of(session, home_id, lambda: operations.save_step(session, home_id, said, **WRITING)) == 1
    (outlet,) = homes.list_outlets(session, home_id)
    assert (outlet.label, outlet.limit_a, outlet.car_place, outlet.nights_a_week) == (
        "garage socket", 10, "outdoors", 3,
    )  # fmt: skip
    runs = (RunDetails("board", device_kind="mcb_b", device_a=32), RunDetails("ring", length_m=Decimal(40)))
    operations.save_step(session, home_id, CircuitAnswers(runs=runs), outlet.id, **LATER)
    (circuit,) = homes.list_circuits(session, home_id)
    assert homes.read_circuit(circuit) == CircuitDetails("Circuit of garage socket", runs)
    assert homes.get_outlet(session, home_id, outlet.id).circuit_id == circuit.id
    saved = [(step.step.value, step.item_id) for step in operations.get_survey(session, home_id).steps if step.saved_at]
    assert saved == [("outlet", outlet.id), ("circuit", outlet.id)]


def test_a_recorded_circuit_is_changed_in_place(session: SchemeSession) -> None:
    home = furnished_home(session)
    circuit = homes.add_circuit(session, home.id, CircuitDetails("garage", (RunDetails("board"),)), **WRITING)
    run_id = circuit.runs[0].id
    homes.change_outlet(session, home.id, home.outlet_id, {"circuit_id": circuit.id}, **WRITING)
    said = CircuitAnswers(runs=(RunDetails("board", rcd_type="a"), RunDetails("spur")))
    operations.save_step(session, home.id, said, home.outlet_id, **WRITING)
    after = homes.get_circuit(session, home.id, circuit.id)
    assert [(run.kind, run.rcd_type) for run in after.runs] == [("board", "a"), ("spur", "not_known")]
    assert after.runs[0].id == run_id, "rechecks of its device name this row"


def test_a_home_with_an_outlet_gets_no_second_one_from_a_member(session: SchemeSession) -> None:
    home = furnished_home(session)
    with pytest.raises(Rejected) as refused:
        operations.save_step(session, home.id, OutletAnswers("socket_13a"), **WRITING)
    assert refused.value.faults[0].field == "item_id"
    with pytest.raises(Rejected):
        operations.save_step(session, home.id, LeadAnswers("mode_2", rated_a=10), **WRITING)


def test_a_lead_is_added_once_its_rating_is_known(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.save_step(session, home_id, LeadAnswers("mode_2"), **WRITING)
    assert homes.list_leads(session, home_id) == []
    said = LeadAnswers("mode_2", rated_a=10, set_a=8, settings_a=(6, 8, 10), has_plug_sensor="yes")
    operations.save_step(session, home_id, said, **LATER)
    (lead,) = homes.list_leads(session, home_id)
    assert (lead.rated_a, lead.set_a, lead.settings_a, lead.has_plug_sensor) == (10, 8, [6, 8, 10], "yes")


def test_a_lead_set_to_another_current_changes_plans_and_the_same_answers_change_none(session: SchemeSession) -> None:
    home = furnished_home(session)
    said = LeadAnswers("mode_2", rated_a=10, set_a=6)

    def save() -> None:
        operations.save_step(session, home.id, said, home.lead_id, **WRITING)

    assert [changes_of(session, home.id, save), changes_of(session, home.id, save)] == [1, 0]
    assert homes.get_lead(session, home.id, home.lead_id).set_a == 6


def test_a_yes_to_an_extension_lead_stops_the_socket_at_once_and_the_answer_follows_what_is_in_use(
    session: SchemeSession,
) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)

    def said() -> str:
        steps = operations.get_survey(session, home.id).steps
        return next(str(step.answers.uses_extension) for step in steps if isinstance(step.answers, LeadAnswers))

    def clearance(at: datetime) -> str:
        return operations.household_clearances(session, home.id, at=at)[0].clearance.value

    operations.save_step(session, home.id, LeadAnswers(uses_extension="no"), home.lead_id, **WRITING)
    assert (said(), clearance(NOON)) == ("no", "fit_to_use")
    yes = LeadAnswers(uses_extension="yes")
    for _ in range(2):
        operations.save_step(session, home.id, yes, home.lead_id, **LATER)
    (view,), total = operations.list_extensions(session, home.id, at=LATER["at"], first=0, limit=9)
    assert (said(), clearance(LATER["at"]), view.row.outlet_id, total) == ("yes", "do_not_use", home.outlet_id, 1)
    assert any("“Extension lead”" in question for question in operations.electrician_questions(session, home.id))
    operations.end_extension(session, home.id, view.row.id, **LATER)
    assert (said(), clearance(LATER["at"])) == ("no", "fit_to_use")


def test_a_yes_to_an_extension_lead_that_could_stop_nothing_is_refused_and_not_lost(session: SchemeSession) -> None:
    home_id = open_home(session)
    yes = LeadAnswers(kind="mode_2", label="portable", rated_a=10, set_a=10, uses_extension="yes")
    with pytest.raises(Rejected) as refusal:
        operations.save_step(session, home_id, yes, None, **WRITING)
    (fault,) = refusal.value.faults
    assert (fault.field, "record the outlet first" in fault.rule) == ("uses_extension", True)


def test_consents_are_appended_where_they_differ(session: SchemeSession) -> None:
    home_id = open_home(session)
    yes = ConsentDetails("landlord", "yes", date(2026, 11, 1))
    operations.save_step(session, home_id, ConsentsAnswers(landlord=yes), **WRITING)
    operations.save_step(session, home_id, ConsentsAnswers(landlord=yes), **LATER)
    survey = operations.get_survey(session, home_id)
    assert (survey.consents[0].answer, survey.consents[0].recorded_at) == ("yes", NOON)
    assert survey.version == 3  # two saves of the step, one consent


def test_who_saw_an_older_survey_saves_nothing(session: SchemeSession) -> None:
    home_id = open_home(session)
    operations.save_step(session, home_id, HomeAnswers("owner"), of_version=0, **WRITING)
    with pytest.raises(StaleDataError):
        operations.save_step(session, home_id, HomeAnswers("private_rented"), of_version=0, **LATER)
    assert homes.get_household(session, home_id).tenure == "owner"


def test_what_is_refused_is_neither_kept_nor_recorded(session: SchemeSession) -> None:
    home = furnished_home(session)
    session.commit()
    with pytest.raises(Rejected):
        operations.save_step(
            session, home.id, OutletAnswers("charging_point", "Drive"), home.outlet_id, **WRITING
        )
    session.rollback()
    assert homes.get_outlet(session, home.id, home.outlet_id).label == "garage socket"
    assert session.scalars(select(SurveyAnswers)).all() == []


def test_another_homes_things_are_not_found(session: SchemeSession) -> None:
    home, elsewhere = furnished_home(session), open_home(session, reference="H-2")
    homes.add_outlet(session, elsewhere, outlet_details(), **WRITING)
    for answers, item_id in ((OutletAnswers(), home.outlet_id), (CircuitAnswers(), home.outlet_id)):
        with pytest.raises(NotFound):
            operations.save_step(session, elsewhere, answers, item_id, **WRITING)
    with pytest.raises(NotFound):
        operations.save_step(session, elsewhere, LeadAnswers(), home.lead_id, **WRITING)


def test_what_a_member_says_lets_an_inspected_circuit_carry_no_more(session: SchemeSession) -> None:
    home = furnished_home(session)
    runs = (RunDetails("radial", device_a=6),)
    circuit = homes.add_circuit(session, home.id, CircuitDetails("garage", runs), **WRITING)
    homes.change_outlet(session, home.id, home.outlet_id, {"circuit_id": circuit.id}, **WRITING)

    def said(*runs: RunDetails, at: datetime = NOON) -> None:
        operations.save_step(session, home.id, CircuitAnswers(runs=runs), home.outlet_id, by=None, at=at)

    said(RunDetails("radial", device_a=8), at=NOON - timedelta(days=200))  # nobody has inspected it yet
    inspect(session, home.id, home.outlet_id)
    for more in (RunDetails("radial", device_a=32), RunDetails("sub_main")):
        with pytest.raises(Rejected, match="more current"):
            said(more)
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    assert outlet.limit_a == 8
    said(RunDetails("radial", device_a=6))
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    assert outlet.limit_a == 6
