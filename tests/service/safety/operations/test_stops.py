"""A stop acts in the transaction that records it, and a mistaken report is withdrawn, both kept."""

from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.common.errors import Conflict, NotFound, Rejected
from service.households.operations import add_circuit, add_lead, add_outlet, change_outlet, get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.cold_check import QUESTIONS, CheckDetails, GivenAnswer
from service.safety.domain.report_details import IncidentDetails, WithdrawalDetails
from service.safety.models import ClearanceChange, ClearanceStatus, SignReport
from tests.factories.households import (
    NOON,
    WRITING,
    FurnishedHome,
    furnished_home,
    lead_details,
    outlet_details,
)
from tests.factories.safety import document, inspect, make_counting

DAY = timedelta(days=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home with an inspected socket."""
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    session.commit()
    return home


def check_of(home: FurnishedHome, **answers: str) -> CheckDetails:
    given = tuple(GivenAnswer(question, answer) for question, answer in answers.items())
    return CheckDetails(home.outlet_id, home.lead_id, given, "a note")


def standing(session: SchemeSession, home_id: str, *, at: Any = NOON) -> dict[str, str]:
    found = operations.home_clearance(session, home_id, at=at)
    outlets = {outlet.outlet_id: outlet.clearance.value for outlet in found.outlets}
    return outlets | {lead.lead_id: lead.clearance.value for lead in found.leads}


def events(session: SchemeSession, name: str) -> list[Any]:
    session.flush()
    return [event.payload for event in session.scalars(select(Event).where(Event.name == name))]


def test_a_stop_answer_stops_outlet_and_lead_in_its_own_transaction(
    session: SchemeSession, home: FurnishedHome
) -> None:
    before = get_household(session, home.id).change_counter
    check, report_ids = operations.record_check(session, home.id, check_of(home, warmth="warm"), **WRITING)
    session.commit()
    assert standing(session, home.id) == {home.outlet_id: "do_not_use", home.lead_id: "do_not_use"}
    session.expire_all()
    household = get_household(session, home.id)
    assert household.change_counter == household.stopped_at_change == before + 1
    assert household.stopped_at == NOON
    assert session.scalars(select(ClearanceStatus.clearance)).one() == "do_not_use"
    assert events(session, "UseStopped") == [{"household_id": home.id, "report_ids": report_ids}]
    (report,) = session.scalars(select(SignReport))
    assert (report.check_id, report.outlet_ids, report.lead_ids) == (check.id, [home.outlet_id], [home.lead_id])
    assert (check.is_clear, check.answers, check.note) == (False, [["warmth", "warm"]], "a note")


def test_what_is_not_committed_stopped_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    operations.record_check(session, home.id, check_of(home, warmth="warm"), **WRITING)
    session.rollback()
    assert standing(session, home.id)[home.outlet_id] == "fit_to_use"
    assert events(session, "UseStopped") == []


def test_two_stop_answers_are_two_reports_and_one_event(session: SchemeSession, home: FurnishedHome) -> None:
    _, report_ids = operations.record_check(session, home.id, check_of(home, smell="yes", grip="yes"), **WRITING)
    assert sorted(session.scalars(select(SignReport.sign))) == ["burning_smell", "loose"]
    assert events(session, "UseStopped") == [{"household_id": home.id, "report_ids": sorted(report_ids)}]


CLEAR = {question.name: question.answers[0].name for question in QUESTIONS}


def test_a_clear_check_is_evidence_again_once_the_last_one_ran_out(session: SchemeSession, home: FurnishedHome) -> None:
    late = NOON + 40 * DAY
    assert standing(session, home.id, at=late) == {home.outlet_id: "not_known", home.lead_id: "not_known"}
    before = get_household(session, home.id).change_counter
    check, report_ids = operations.record_check(session, home.id, check_of(home, **CLEAR), by=None, at=late)
    session.commit()
    session.expire_all()
    assert (check.is_clear, report_ids) == (True, [])
    assert standing(session, home.id, at=late) == {home.outlet_id: "fit_to_use", home.lead_id: "use_with_limits"}
    assert get_household(session, home.id).change_counter == before + 1
    causes = select(ClearanceChange.item_id, ClearanceChange.becomes).where(ClearanceChange.cause_id == check.id)
    assert dict(session.execute(causes).all()) == {home.outlet_id: "fit_to_use", home.lead_id: "use_with_limits"}
    assert events(session, "UseStopped") == []


def test_a_check_with_something_not_known_is_no_evidence(session: SchemeSession, home: FurnishedHome) -> None:
    late = NOON + 40 * DAY
    unsure = check_of(home, **{**CLEAR, "smell": "not_known"})
    check, report_ids = operations.record_check(session, home.id, unsure, by=None, at=late)
    assert (check.is_clear, report_ids) == (False, [])
    assert set(standing(session, home.id, at=late).values()) == {"not_known"}


def test_a_clear_check_lifts_no_sign(session: SchemeSession, home: FurnishedHome) -> None:
    operations.record_check(session, home.id, check_of(home, warmth="warm"), **WRITING)
    clear = {question.name: question.answers[0].name for question in QUESTIONS}
    operations.record_check(session, home.id, check_of(home, **clear), by=None, at=NOON + DAY)
    assert set(standing(session, home.id, at=NOON + DAY).values()) == {"do_not_use"}


def test_the_log_holds_each_change_with_its_cause_and_working(session: SchemeSession, home: FurnishedHome) -> None:
    report_id = operations.report_incident(
        session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id), **WRITING
    )
    session.flush()
    rows = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_kind == "sign_report")).all()
    assert {(row.item_kind, row.item_id, row.was, row.becomes, row.cause_id) for row in rows} == {
        ("outlet", home.outlet_id, "fit_to_use", "do_not_use", report_id),
        ("lead", home.lead_id, "use_with_limits", "do_not_use", report_id),
    }
    assert all(row.working and row.changed_at == NOON for row in rows)


def test_a_trip_stops_the_outlets_of_its_circuit_and_leaves_another_circuit(
    session: SchemeSession, home: FurnishedHome
) -> None:
    from service.households.domain.equipment_details import CircuitDetails, RunDetails

    ring, radial = (
        add_circuit(session, home.id, CircuitDetails(label, (RunDetails(kind),)), **WRITING).id
        for label, kind in (("ring", "ring"), ("garage", "radial"))
    )
    change_outlet(session, home.id, home.outlet_id, {"circuit_id": ring}, **WRITING)
    porch = add_outlet(session, home.id, outlet_details(label="porch", circuit_id=ring), **WRITING).id
    shed = add_outlet(session, home.id, outlet_details(label="shed", circuit_id=radial), **WRITING).id
    for outlet_id in (porch, shed):
        inspect(session, home.id, outlet_id)
    operations.report_incident(session, home.id, IncidentDetails("tripped", home.outlet_id, home.lead_id), **WRITING)
    found = standing(session, home.id)
    assert (found[home.outlet_id], found[porch], found[shed]) == ("do_not_use", "do_not_use", "fit_to_use")
    # Moved to the other circuit on paper: the sign holds on.
    change_outlet(session, home.id, porch, {"circuit_id": radial}, **WRITING)
    assert standing(session, home.id)[porch] == "do_not_use"


def test_a_new_lead_never_lifts_the_socket_nor_an_inspection_the_lead(
    session: SchemeSession, home: FurnishedHome
) -> None:
    operations.report_incident(session, home.id, IncidentDetails("loose", home.outlet_id, home.lead_id), **WRITING)
    bought = add_lead(session, home.id, lead_details(label="new lead"), **WRITING)
    assert standing(session, home.id) == {
        home.outlet_id: "do_not_use", home.lead_id: "do_not_use", bought.id: "not_known",
    }
    view = operations.record_inspection(
        session, home.id, _inspection(home, on=date(2026, 11, 26)), by=None, at=NOON + DAY
    )
    assert standing(session, home.id, at=NOON + DAY)[home.outlet_id] == "do_not_use", "a claim lifts nothing"
    make_counting(session, view.id)
    found = standing(session, home.id, at=NOON + DAY)
    assert (found[home.outlet_id], found[home.lead_id]) == ("fit_to_use", "do_not_use")


def _inspection(home: FurnishedHome, *, on: date) -> Any:
    from tests.factories.safety import inspection_details

    return inspection_details(home.outlet_id, inspected_on=on, next_due_on=date(2031, 11, 26))


def test_a_past_instant_shows_what_was_known_then(session: SchemeSession, home: FurnishedHome) -> None:
    operations.report_incident(
        session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id, seen_at=NOON - 2 * DAY), **WRITING
    )
    assert standing(session, home.id, at=NOON - DAY)[home.outlet_id] == "fit_to_use"
    assert standing(session, home.id, at=NOON)[home.outlet_id] == "do_not_use"


def test_a_mistaken_report_is_withdrawn_and_kept(session: SchemeSession, home: FurnishedHome) -> None:
    report_id = operations.report_incident(
        session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id), **WRITING
    )
    reason = WithdrawalDetails("the neighbour's socket")
    operations.withdraw_sign(session, home.id, report_id, reason, by=None, at=NOON + DAY)
    assert standing(session, home.id, at=NOON + DAY)[home.outlet_id] == "fit_to_use"
    assert standing(session, home.id, at=NOON)[home.outlet_id] == "do_not_use"
    (report,) = session.scalars(select(SignReport))
    assert (report.sign, report.withdrawal_reason) == ("warm", "the neighbour's socket")
    assert report.withdrawn_at == NOON + DAY
    assert session.scalars(select(ClearanceStatus.clearance)).one() == "fit_to_use"
    operations.withdraw_sign(session, home.id, report_id, reason, by=None, at=NOON + 2 * DAY)
    assert report.withdrawn_at == NOON + DAY
    with pytest.raises(Conflict):
        operations.withdraw_sign(session, home.id, report_id, WithdrawalDetails("another"), by=None, at=NOON + DAY)


def test_a_withdrawal_keeps_its_photo_and_takes_none_of_another_home(
    session: SchemeSession, home: FurnishedHome
) -> None:
    report_id = operations.report_incident(
        session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id), **WRITING
    )
    neighbour = furnished_home(session, reference="H-2")
    for file_id, rule in (
        (document(session, neighbour.id), "not a file kept for this home"),
        ("0" * 32, "not a file kept for this home"),
        (document(session, home.id), "was kept as certificate"),
    ):
        with pytest.raises(Rejected, match=rule):
            operations.withdraw_sign(
                session, home.id, report_id, WithdrawalDetails("a shadow", file_id), by=None, at=NOON
            )
    photo = document(session, home.id)
    session.get_one(StoredFile, (session.scheme_id, photo)).purpose = "photo"
    operations.withdraw_sign(session, home.id, report_id, WithdrawalDetails("a shadow", photo), by=None, at=NOON)
    assert session.scalars(select(SignReport.withdrawal_file_id)).one() == photo


def test_withdrawing_one_of_two_reports_lifts_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    first, _ = (
        operations.report_incident(session, home.id, IncidentDetails(sign, home.outlet_id, home.lead_id), **WRITING)
        for sign in ("warm", "loose")
    )
    operations.withdraw_sign(session, home.id, first, WithdrawalDetails("a mistake"), by=None, at=NOON + DAY)
    assert set(standing(session, home.id, at=NOON + DAY).values()) == {"do_not_use"}


def test_items_of_another_home_and_unknown_reports_are_refused(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    for details, field in (
        (IncidentDetails("warm", other.outlet_id), "outlet_id"),
        (IncidentDetails("warm", home.outlet_id, other.lead_id), "lead_id"),
    ):
        with pytest.raises(Rejected) as refused:
            operations.report_incident(session, home.id, details, **WRITING)
        assert [fault.field for fault in refused.value.faults] == [field]
    report_id = operations.report_incident(session, other.id, IncidentDetails("warm"), **WRITING)
    for home_id, wanted in ((home.id, report_id), (home.id, "0" * 32), ("0" * 32, report_id)):
        with pytest.raises(NotFound):
            operations.withdraw_sign(session, home_id, wanted, WithdrawalDetails("x"), **WRITING)
