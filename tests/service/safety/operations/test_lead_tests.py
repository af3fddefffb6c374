"""A passed test or a replacement lifts a sign from the lead; a failed test is a stop."""

from datetime import timedelta

import pytest
from sqlalchemy import select

from service.common.errors import NotFound, Rejected
from service.households.operations import get_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.report_details import IncidentDetails, LeadTestDetails
from service.safety.models import ClearanceChange, SignReport
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect

HOUR = timedelta(hours=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    session.commit()
    return home


def standing(session: SchemeSession, home: FurnishedHome, hours: int) -> tuple[str, str]:
    found = operations.home_clearance(session, home.id, at=NOON + hours * HOUR)
    return found.outlets[0].clearance.value, found.leads[0].clearance.value


def record(
    session: SchemeSession, home: FurnishedHome, kind: str, *, done: int, hours: int, passed: bool = True
) -> None:
    details = LeadTestDetails(kind, NOON + done * HOUR, "Hollin Wiring (invented)", passed)
    operations.record_lead_test(session, home.id, home.lead_id, details, by=None, at=NOON + hours * HOUR)


@pytest.mark.parametrize("kind", ["test", "replacement"])
def test_a_lead_is_lifted_and_the_socket_is_not(session: SchemeSession, home: FurnishedHome, kind: str) -> None:
    operations.report_incident(session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id), **WRITING)
    record(session, home, kind, done=1, hours=2)
    assert standing(session, home, 1) == ("do_not_use", "do_not_use")
    assert standing(session, home, 2) == ("do_not_use", "use_with_limits")
    change = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_kind == "lead_test")).one()
    assert (change.item_id, change.was, change.becomes) == (home.lead_id, "do_not_use", "use_with_limits")


def test_a_test_from_before_the_report_lifts_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    operations.report_incident(session, home.id, IncidentDetails("warm", home.outlet_id, home.lead_id), **WRITING)
    record(session, home, "test", done=-1, hours=2)
    assert standing(session, home, 2)[1] == "do_not_use"


def test_a_failed_test_stops_the_lead_and_everybody_is_told(session: SchemeSession, home: FurnishedHome) -> None:
    record(session, home, "test", done=0, hours=1, passed=False)
    session.commit()
    session.expire_all()
    assert standing(session, home, 1) == ("fit_to_use", "do_not_use")
    household = get_household(session, home.id)
    assert household.stopped_at_change == household.change_counter
    assert session.scalars(select(SignReport.sign)).all() == ["lead_failed_test"]
    assert len(session.scalars(select(Event).where(Event.name == "UseStopped")).all()) == 1
    record(session, home, "test", done=2, hours=2)
    assert standing(session, home, 2)[1] == "use_with_limits"


def test_a_test_that_has_not_come_yet_and_an_unknown_lead_are_refused(
    session: SchemeSession, home: FurnishedHome
) -> None:
    with pytest.raises(Rejected) as refused:
        record(session, home, "test", done=2, hours=1)
    assert refused.value.faults[0].field == "done_at"
    other = furnished_home(session, reference="H-2")
    details = LeadTestDetails("test", NOON, "A")
    with pytest.raises(NotFound):
        operations.record_lead_test(session, home.id, other.lead_id, details, **WRITING)
