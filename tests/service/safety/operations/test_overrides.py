"""A safety officer's decisions on a stored home."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.common.errors import Conflict, NotFound, Rejected
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.clearance import Clearance
from service.safety.domain.overrides import OverrideDetails
from service.safety.domain.visit_details import VisitMove
from service.safety.models import ClearanceChange, Override, Recheck, Visit
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect, look_after

DUE = date(2026, 12, 10)
DAY = timedelta(days=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id, next_due_on=DUE)
    return home


def stricter(home: FurnishedHome, clearance: str = "do_not_use", **changes: Any) -> OverrideDetails:
    usual = {"kind": "stricter", "item_kind": "outlet", "item_id": home.outlet_id, "clearance": clearance}
    return OverrideDetails(**{**usual, "reason": "worn shutters", **changes})


def extension(home: FurnishedHome, visit_id: str, **changes: Any) -> OverrideDetails:
    usual = {"kind": "extension", "item_kind": "outlet", "item_id": home.outlet_id, "reason": "booked"}
    return OverrideDetails(**{**usual, "due_on": DUE, "new_due_on": DUE + 10 * DAY, "visit_id": visit_id, **changes})


def visit(session: SchemeSession, home: FurnishedHome, **changes: Any) -> str:
    usual = {"household_id": home.id, "outlet_ids": [home.outlet_id], "state": "date_agreed", "asked_at": NOON}
    row = Visit(**{**usual, "agreed_on": DUE + 5 * DAY, **changes})
    session.add(row)
    session.flush()
    return row.id


def clearance(session: SchemeSession, home: FurnishedHome, at: datetime = NOON) -> Clearance:
    (found,) = operations.household_clearances(session, home.id, at=at)
    return found.clearance


def events(session: SchemeSession) -> list[str]:
    return [event.name for event in session.scalars(select(Event))]


def test_a_stricter_decision_stops_in_its_transaction_is_logged_and_told(
    session: SchemeSession, home: FurnishedHome
) -> None:
    made = operations.make_override(session, home.id, stricter(home), **WRITING)
    household = session.get(Household, (session.scheme_id, home.id))
    assert household is not None
    assert household.stopped_at_change == household.change_counter
    assert clearance(session, home) is Clearance.DO_NOT_USE
    (change,) = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_id == made.id))
    assert (change.was, change.becomes, change.cause_kind) == ("fit_to_use", "do_not_use", "override")
    assert "MadeStricter" in events(session)


def test_an_ended_decision_leaves_the_evidence_to_speak_and_both_instants_stay(
    session: SchemeSession, home: FurnishedHome
) -> None:
    made = operations.make_override(session, home.id, stricter(home), **WRITING)
    for later in (DAY, 2 * DAY):
        operations.end_override(session, home.id, made.id, by=None, at=NOON + later)
    assert (made.made_at, made.ended_at) == (NOON, NOON + DAY)
    found = [clearance(session, home, NOON + step) for step in (0 * DAY, DAY)]
    assert found == [Clearance.DO_NOT_USE, Clearance.FIT_TO_USE]


def test_a_lead_may_be_decided_on_too(session: SchemeSession, home: FurnishedHome) -> None:
    details = stricter(home, item_kind="lead", item_id=home.lead_id)
    operations.make_override(session, home.id, details, **WRITING)
    (lead,) = operations.home_clearance(session, home.id, at=NOON).leads
    assert lead.clearance is Clearance.DO_NOT_USE


def test_a_due_date_moves_once_with_a_visit_booked(session: SchemeSession, home: FurnishedHome) -> None:
    visit_id = visit(session, home)
    operations.make_override(session, home.id, extension(home, visit_id), **WRITING)
    evidence = operations.home_clearance(session, home.id, at=NOON).outlets[0].evidence
    assert "put off to 2026-12-20" in evidence
    for again in (extension(home, visit_id), extension(home, visit_id, new_due_on=DUE + DAY * 6)):
        with pytest.raises(Conflict):
            operations.make_override(session, home.id, again, **WRITING)


@pytest.mark.parametrize(
    "way", ["called off", "asked for again", "without access", "the day taken back", "a later day"]
)
def test_without_its_visit_a_due_date_that_was_put_off_is_what_it_was(
    session: SchemeSession, home: FurnishedHome, way: str
) -> None:
    visit_id = visit(session, home)
    override = operations.make_override(session, home.id, extension(home, visit_id), **WRITING)
    later = datetime.combine(DUE + DAY, time(), tzinfo=UTC)
    look_after(session, home.id, at=later - timedelta(hours=2))
    assert clearance(session, home, later) is Clearance.FIT_TO_USE
    at = later - timedelta(hours=1)
    if way == "the day taken back":
        operations.change_visit(session, visit_id, {"agreed_on": None}, by=None, at=at)
    elif way == "a later day":
        operations.change_visit(session, visit_id, {"agreed_on": DUE + 11 * DAY}, by=None, at=at)
    else:
        state = {"called off": "cancelled", "asked for again": "asked", "without access": "no_access"}[way]
        operations.move_visit(session, visit_id, VisitMove(state), by=None, at=at)
    assert override.ended_at == at
    assert clearance(session, home, later) is Clearance.NOT_KNOWN
    stopped_at = session.scalars(select(Household.stopped_at).where(Household.id == home.id)).one()
    assert stopped_at == at
    due = session.scalars(select(Recheck.due_on).where(Recheck.item_id == home.outlet_id, Recheck.done_on.is_(None)))
    assert DUE in due.all()


def test_another_day_for_its_visit_leaves_a_due_date_put_off(session: SchemeSession, home: FurnishedHome) -> None:
    visit_id = visit(session, home)
    override = operations.make_override(session, home.id, extension(home, visit_id), **WRITING)
    for day in (DUE + 2 * DAY, DUE + 10 * DAY):
        operations.change_visit(session, visit_id, {"agreed_on": day}, **WRITING)
        assert override.ended_at is None


@pytest.mark.parametrize(
    ("changes", "of_visit", "field"),
    [
        ({"due_on": DUE - DAY}, {}, "due_on"),
        ({}, {"state": "asked", "agreed_on": None}, "visit_id"),
        ({}, {"state": "cancelled"}, "visit_id"),
        ({}, {"outlet_ids": []}, "visit_id"),
        ({}, {"agreed_on": date(2026, 11, 24)}, "visit_id"),
        ({}, {"agreed_on": DUE + 11 * DAY}, "new_due_on"),
    ],
)
def test_a_due_date_without_a_booked_visit_or_of_another_day_does_not_move(
    session: SchemeSession, home: FurnishedHome, changes: dict[str, Any], of_visit: dict[str, Any], field: str
) -> None:
    details = extension(home, visit(session, home, **of_visit), **changes)
    with pytest.raises(Rejected) as refused:
        operations.make_override(session, home.id, details, **WRITING)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_what_has_lapsed_is_not_put_off(session: SchemeSession, home: FurnishedHome) -> None:
    details = extension(home, visit(session, home))
    with pytest.raises(Rejected, match="has come already"):
        operations.make_override(session, home.id, details, by=None, at=datetime.combine(DUE, NOON.timetz()))


def test_another_homes_item_or_decision_is_not_there(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    with pytest.raises(Rejected):
        operations.make_override(session, home.id, stricter(other), **WRITING)
    made = operations.make_override(session, other.id, stricter(other), **WRITING)
    for home_id, override_id in ((home.id, made.id), (other.id, "0" * 32)):
        with pytest.raises(NotFound):
            operations.end_override(session, home_id, override_id, **WRITING)
    with pytest.raises(NotFound):
        operations.list_overrides(session, "0" * 32, first=0, limit=10)


def test_decisions_come_newest_first_in_pages(session: SchemeSession, home: FurnishedHome) -> None:
    for day in range(3):
        operations.make_override(session, home.id, stricter(home), by=None, at=NOON + day * DAY)
    page, total = operations.list_overrides(session, home.id, first=1, limit=1)
    assert (total, [each.made_at for each in page]) == (3, [NOON + DAY])
    assert len(session.scalars(select(Override)).all()) == 3
