"""The supervised first charge: who may start it, what each feeling does, and that heat stops at once."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.common.errors import Conflict, NotFound, Rejected
from service.households.operations import add_outlet, change_lead, get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.report_details import IncidentDetails
from service.safety.domain.supervised_charge import FeelAnswer, SupervisedState
from service.safety.models import ClearanceChange, SignReport, SupervisedCharge
from service.safety.operations import SupervisedView
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home, outlet_details
from tests.factories.safety import claim, inspect

pytestmark = pytest.mark.both_databases

MINUTE = timedelta(minutes=1)
COOL, NOTICEABLE, WARM = FeelAnswer.COOL, FeelAnswer.NOTICEABLE, FeelAnswer.WARM


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home whose socket has an accepted inspection and clear checks, and no supervised charge yet."""
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    forget_supervised(session)
    return home


def forget_supervised(session: SchemeSession) -> None:
    for charge in session.scalars(select(SupervisedCharge)):
        session.delete(charge)
    session.commit()


def start(session: SchemeSession, home: FurnishedHome, *, at: datetime = NOON, **changes: Any) -> SupervisedView:
    values = {"outlet_id": home.outlet_id, "lead_id": home.lead_id, "current_a": 10, **changes}
    return operations.start_supervised(session, home.id, **values, by=None, at=at)


def feel(
    session: SchemeSession, home: FurnishedHome, charge_id: str, answer: FeelAnswer, minutes: float
) -> tuple[SupervisedView, list[str]]:
    return operations.record_feeling(session, home.id, charge_id, answer, by=None, at=NOON + minutes * MINUTE)


def outlet_at(session: SchemeSession, home: FurnishedHome, minutes: float) -> str:
    found = operations.home_clearance(session, home.id, at=NOON + minutes * MINUTE)
    return next(each.clearance.value for each in found.outlets if each.outlet_id == home.outlet_id)


def test_two_feelings_without_heat_let_the_socket_be_used(session: SchemeSession, home: FurnishedHome) -> None:
    assert outlet_at(session, home, 0) == "not_known"
    view = start(session, home)
    assert view.state is SupervisedState.FIRST_TO_COME
    first, _ = feel(session, home, view.charge.id, COOL, 30)
    assert first.state is SupervisedState.LATER_TO_COME
    assert outlet_at(session, home, 30) == "not_known", "the first feeling alone clears nothing"
    before = get_household(session, home.id).change_counter
    session.commit()
    later, reports = feel(session, home, view.charge.id, NOTICEABLE, 121)
    session.commit()
    session.expire_all()
    assert (later.state, later.charge.is_clear, reports) == (SupervisedState.CLEAR, True, [])
    assert outlet_at(session, home, 121) == "fit_to_use"
    assert outlet_at(session, home, 120) == "not_known", "as at a minute before"
    assert get_household(session, home.id).change_counter == before + 1
    change = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_id == view.charge.id)).one()
    assert (change.cause_kind, change.was, change.becomes) == ("supervised_charge", "not_known", "fit_to_use")


def test_a_feeling_that_comes_too_early_is_refused_and_not_kept(session: SchemeSession, home: FurnishedHome) -> None:
    charge_id = start(session, home).charge.id
    session.commit()
    with pytest.raises(Rejected, match="half an hour or more"):
        feel(session, home, charge_id, COOL, 29)
    session.rollback()
    feel(session, home, charge_id, COOL, 31)
    session.commit()
    with pytest.raises(Rejected, match="two hours or more"):
        feel(session, home, charge_id, COOL, 119)
    session.rollback()
    row = session.scalars(select(SupervisedCharge)).one()
    assert (row.first_felt_at, row.later_felt_at, row.ended_at) == (NOON + 31 * MINUTE, None, None)


@pytest.mark.parametrize(("answer", "minutes"), [(WARM, 1), (FeelAnswer.TOO_HOT, 45), (WARM, 900)])
def test_heat_stops_outlet_and_lead_at_once_whenever_it_is_felt(
    session: SchemeSession, home: FurnishedHome, answer: FeelAnswer, minutes: int
) -> None:
    charge_id = start(session, home).charge.id
    session.commit()
    view, report_ids = feel(session, home, charge_id, answer, minutes)
    session.commit()
    session.expire_all()
    found = operations.home_clearance(session, home.id, at=NOON + minutes * MINUTE)
    assert {each.clearance.value for each in (*found.outlets, *found.leads)} == {"do_not_use"}
    assert view.state is SupervisedState.STOPPED
    (report,) = session.scalars(select(SignReport))
    assert (report.id, report.sign, report.outlet_id, report.lead_id) == (
        report_ids[0], answer.value, home.outlet_id, home.lead_id,
    )
    household = get_household(session, home.id)
    assert household.stopped_at_change == household.change_counter
    stops = session.scalars(select(Event.payload).where(Event.name == "UseStopped")).all()
    assert stops == [{"household_id": home.id, "report_ids": report_ids}]


def test_heat_after_the_end_is_reported_all_the_same_and_a_cool_plug_is_not(
    session: SchemeSession, home: FurnishedHome
) -> None:
    charge_id = start(session, home).charge.id
    feel(session, home, charge_id, COOL, 30)
    feel(session, home, charge_id, COOL, 125)
    with pytest.raises(Conflict):
        feel(session, home, charge_id, COOL, 160)
    view, report_ids = feel(session, home, charge_id, WARM, 170)
    assert (len(report_ids), view.charge.is_clear) == (1, True), "what was recorded stays as it was"
    assert outlet_at(session, home, 170) == "do_not_use"


def test_a_sign_reported_meanwhile_keeps_the_charge_from_being_clear(
    session: SchemeSession, home: FurnishedHome
) -> None:
    charge_id = start(session, home).charge.id
    feel(session, home, charge_id, COOL, 30)
    operations.report_incident(
        session, home.id, IncidentDetails("buzzing", home.outlet_id, home.lead_id), by=None, at=NOON + 60 * MINUTE
    )
    view, _ = feel(session, home, charge_id, COOL, 125)
    assert (view.state, view.charge.is_clear) == (SupervisedState.STOPPED, False)
    assert outlet_at(session, home, 125) == "do_not_use"


def test_it_needs_an_accepted_inspection_of_that_outlet(session: SchemeSession, home: FurnishedHome) -> None:
    shed = add_outlet(session, home.id, outlet_details(label="shed socket"), **WRITING)
    with pytest.raises(Conflict, match="No accepted inspection"):
        start(session, home, outlet_id=shed.id)
    claim(session, home.id, shed.id)
    with pytest.raises(Conflict, match="No accepted inspection"):
        start(session, home, outlet_id=shed.id)
    with pytest.raises(Conflict, match="No accepted inspection"):
        start(session, home, at=datetime(2031, 6, 1, 12, tzinfo=NOON.tzinfo))


@pytest.mark.parametrize("sign", ["warm", "charge_drops_out", "lead_knocked"])
def test_it_never_starts_while_a_sign_is_open_on_outlet_or_lead(
    session: SchemeSession, home: FurnishedHome, sign: str
) -> None:
    outlet_id = None if sign == "lead_knocked" else home.outlet_id
    operations.report_incident(session, home.id, IncidentDetails(sign, outlet_id, home.lead_id), **WRITING)
    with pytest.raises(Conflict, match="must not be used"):
        start(session, home)


def test_the_current_keeps_within_what_lead_and_outlet_may_carry(session: SchemeSession, home: FurnishedHome) -> None:
    with pytest.raises(Rejected, match="at most 10 A"):
        start(session, home, current_a=13)
    change_lead(session, home.id, home.lead_id, {"set_a": 8}, **WRITING)
    with pytest.raises(Rejected, match="the lead may carry 8 A"):
        start(session, home, current_a=10)
    assert start(session, home, current_a=8).charge.current_a == 8


def test_items_of_another_home_and_a_missing_lead_are_named(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    for changes, field in (
        ({"outlet_id": other.outlet_id}, "outlet_id"),
        ({"lead_id": other.lead_id}, "lead_id"),
        ({"lead_id": None}, "lead_id"),
    ):
        with pytest.raises(Rejected) as error:
            start(session, home, **changes)
        assert [fault.field for fault in error.value.faults] == [field]
    with pytest.raises(NotFound):
        feel(session, other, start(session, home).charge.id, COOL, 40)


def test_another_start_ends_the_one_that_is_open_without_a_result(session: SchemeSession, home: FurnishedHome) -> None:
    first = start(session, home).charge
    second = start(session, home, at=NOON + MINUTE).charge
    listed, total = operations.list_supervised(session, home.id, at=NOON + MINUTE, first=0, limit=10)
    assert ([view.charge.id for view in listed], total) == ([second.id, first.id], 2)
    assert [view.state for view in listed] == [SupervisedState.FIRST_TO_COME, SupervisedState.STOPPED]
