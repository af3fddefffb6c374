"""An extension lead in use stops its outlet in the transaction that records it, until it is not used any more."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.common.errors import NotFound, Rejected
from service.households.domain.equipment import YesNo
from service.households.models import Household
from service.households.operations import add_outlet, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.clearance import Clearance
from service.safety.domain.extension_use import ExtensionDetails
from service.safety.domain.inspection_answers import ExtensionNamed, InspectionAnswers
from service.safety.models import ClearanceChange, ClearanceStatus, ExtensionLead, Inspection
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home, outlet_details
from tests.factories.safety import inspect

DAY = timedelta(days=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home with an inspected socket."""
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    session.commit()
    return home


def known(home: FurnishedHome, **changes: Any) -> ExtensionDetails:
    usual = {
        "mark": "7", "size_mm2": Decimal("2.5"), "length_m": Decimal(10), "is_coiled": "no", "is_chained": "no",
        "has_several_sockets": "no", "place": "indoors",
    }  # fmt: skip
    return ExtensionDetails(home.outlet_id, **{**usual, **changes})


def name_it(session: SchemeSession, home: FurnishedHome) -> None:
    """Let the recorded inspection name the lead, with limit and reason."""
    row = session.scalars(select(Inspection).where(Inspection.household_id == home.id)).one()
    named = ExtensionNamed("7", Decimal("2.5"), Decimal(10), YesNo.YES)
    row.answers = replace(InspectionAnswers.from_json(row.answers), extension=named).to_json()
    row.limit_a, row.limit_reason = 8, "short and thick"
    session.flush()


def clearance(session: SchemeSession, home: FurnishedHome, at: Any = NOON) -> tuple[Clearance, int | None]:
    (found,) = operations.household_clearances(session, home.id, at=at)
    return found.clearance, found.limit_a


def stops(session: SchemeSession) -> list[Any]:
    session.flush()
    return [event.payload for event in session.scalars(select(Event).where(Event.name == "ExtensionStopped"))]


def test_recording_one_stops_its_outlet_in_its_transaction_and_is_logged_and_announced(
    session: SchemeSession, home: FurnishedHome
) -> None:
    made = operations.record_extension(session, home.id, known(home), **WRITING)
    session.commit()
    session.expire_all()
    household = session.get(Household, (session.scheme_id, home.id))
    assert household is not None
    assert (household.stopped_at_change, household.stopped_at) == (household.change_counter, NOON)
    assert clearance(session, home) == (Clearance.DO_NOT_USE, None)
    assert session.scalars(select(ClearanceStatus.clearance)).one() == "do_not_use"
    (change,) = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_id == made.row.id))
    assert (change.was, change.becomes, change.cause_kind) == ("fit_to_use", "do_not_use", "extension_lead")
    assert stops(session) == [{"household_id": home.id, "extension_id": made.row.id}]
    assert made.answer is not None
    assert (made.answer.limit_a, made.answer.can_be_lifted) == (None, True)


def test_what_is_not_committed_stopped_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    operations.record_extension(session, home.id, known(home), **WRITING)
    session.rollback()
    assert clearance(session, home)[0] is Clearance.FIT_TO_USE
    assert stops(session) == []


def test_no_plan_uses_the_outlet_from_the_moment_it_is_recorded_even_one_that_started_before(
    session: SchemeSession, home: FurnishedHome
) -> None:
    operations.record_extension(session, home.id, known(home), by=None, at=NOON + DAY)
    homes = load_homes(session, [home.id], from_at=NOON)
    found = operations.load_for_planning(session, homes, at=NOON)[home.id]
    assert [outlet.clearance for outlet in found.outlets] == [Clearance.DO_NOT_USE]


def test_one_that_the_inspection_names_is_no_stop_and_lowers_the_current(
    session: SchemeSession, home: FurnishedHome
) -> None:
    name_it(session, home)
    made = operations.record_extension(session, home.id, known(home), **WRITING)
    assert made.answer is not None
    assert (made.answer.limit_a, made.answer.reasons) == (8, ())
    assert clearance(session, home) == (Clearance.USE_WITH_LIMITS, 8)
    assert stops(session) == []
    coiled = operations.record_extension(session, home.id, known(home, is_coiled="yes"), **WRITING)
    assert coiled.answer is not None
    assert not coiled.answer.can_be_lifted
    assert clearance(session, home) == (Clearance.DO_NOT_USE, None)
    assert len(stops(session)) == 1


def test_its_end_lets_the_other_evidence_speak_and_who_and_when_are_kept(
    session: SchemeSession, home: FurnishedHome
) -> None:
    made = operations.record_extension(session, home.id, known(home), **WRITING)
    for later in (DAY, 2 * DAY):
        ended = operations.end_extension(session, home.id, made.row.id, by="a" * 32, at=NOON + later)
        assert ended.answer is None
    row = session.scalars(select(ExtensionLead)).one()
    assert (row.recorded_at, row.ended_at, row.ended_by) == (NOON, NOON + DAY, "a" * 32)
    found = [clearance(session, home, NOON + step)[0] for step in (-DAY, 0 * DAY, DAY)]
    assert found == [Clearance.FIT_TO_USE, Clearance.DO_NOT_USE, Clearance.FIT_TO_USE]
    actions = select(AuditEntry.action).where(AuditEntry.subject_id == row.id).order_by(AuditEntry.happened_at)
    assert list(session.scalars(actions)) == ["record", "end_use"]


def test_after_its_end_the_socket_still_needs_its_own_check(session: SchemeSession, home: FurnishedHome) -> None:
    made = operations.record_extension(session, home.id, known(home), **WRITING)
    late = NOON + 40 * DAY  # the last check of the socket is older than a month by then
    operations.end_extension(session, home.id, made.row.id, by=None, at=late)
    assert clearance(session, home, late)[0] is Clearance.NOT_KNOWN


def test_those_in_use_are_listed_first_with_what_may_be_done_with_them(
    session: SchemeSession, home: FurnishedHome
) -> None:
    old = operations.record_extension(session, home.id, known(home, label="old"), **WRITING)
    operations.record_extension(session, home.id, known(home, label="new"), by=None, at=NOON + DAY)
    operations.end_extension(session, home.id, old.row.id, by=None, at=NOON + 2 * DAY)
    views, total = operations.list_extensions(session, home.id, at=NOON + 2 * DAY, first=0, limit=10)
    assert [(view.row.label, view.outlet_label, view.answer is None) for view in views] == [
        ("new", "garage socket", False), ("old", "garage socket", True),
    ]  # fmt: skip
    assert total == 2


def test_another_homes_outlet_and_extension_are_not_found(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    with pytest.raises(Rejected) as refused:
        operations.record_extension(session, home.id, known(other), **WRITING)
    assert [fault.field for fault in refused.value.faults] == ["outlet_id"]
    made = operations.record_extension(session, home.id, known(home), **WRITING)
    with pytest.raises(NotFound):
        operations.end_extension(session, other.id, made.row.id, **WRITING)
    with pytest.raises(NotFound):
        operations.list_extensions(session, "0" * 32, at=NOON, first=0, limit=1)


def test_a_use_that_was_only_stated_stops_every_socket_of_the_lead_once(
    session: SchemeSession, home: FurnishedHome
) -> None:
    porch = add_outlet(session, home.id, outlet_details(label="porch"), **WRITING)
    for _ in range(2):
        operations.record_stated_use(session, home.id, home.lead_id, **WRITING)
    rows = session.scalars(select(ExtensionLead)).all()
    assert [(row.outlet_id, row.mark, row.size_mm2, row.is_coiled) for row in rows] == [
        (home.outlet_id, "", None, "not_known")
    ]
    operations.record_stated_use(session, home.id, None, **WRITING)  # of a lead that no car is known to use
    assert sorted(row.outlet_id for row in session.scalars(select(ExtensionLead))) == sorted([home.outlet_id, porch.id])
