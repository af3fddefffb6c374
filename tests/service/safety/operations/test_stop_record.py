"""What was reported, what it stopped, and what has lifted it."""

from datetime import date, timedelta

import pytest

from service.common.errors import NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.report_details import IncidentDetails, LeadTestDetails, WithdrawalDetails
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect, inspection_details, make_counting

DAY = timedelta(days=1)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    return home


def warm(session: SchemeSession, home: FurnishedHome) -> str:
    details = IncidentDetails("warm", home.outlet_id, home.lead_id)
    return operations.report_incident(session, home.id, details, **WRITING)


def states(session: SchemeSession, home: FurnishedHome, day: int) -> tuple[str, list[str | None]]:
    (view,), total = operations.list_reports(session, home.id, at=NOON + day * DAY, first=0, limit=10)
    assert total == 1
    return view.state, [item.lifted_by for item in view.items]


def test_a_report_is_lifted_once_every_item_is_by_its_own_evidence(session: SchemeSession, home: FurnishedHome) -> None:
    warm(session, home)
    assert states(session, home, 0) == ("open", [None, None])
    details = inspection_details(home.outlet_id, inspected_on=date(2026, 11, 26), next_due_on=date(2031, 11, 26))
    later = operations.record_inspection(session, home.id, details, by=None, at=NOON + DAY)
    assert states(session, home, 1) == ("open", [None, None])  # somebody typed it: a claim lifts nothing
    make_counting(session, later.id)
    by_inspection = "recorded as inspected on 2026-11-26 by Hollin Wiring (invented)"
    assert states(session, home, 1) == ("open", [by_inspection, None])
    test = LeadTestDetails("replacement", NOON + DAY, "Hollin Wiring (invented)")
    operations.record_lead_test(session, home.id, home.lead_id, test, by=None, at=NOON + 2 * DAY)
    by_new_lead = "recorded as replaced on 2026-11-26 by Hollin Wiring (invented)"
    assert states(session, home, 2) == ("lifted", [by_inspection, by_new_lead])


def test_reports_come_newest_first_in_pages(session: SchemeSession, home: FurnishedHome) -> None:
    for day, sign in enumerate(("warm", "loose", "tingle")):
        operations.report_incident(session, home.id, IncidentDetails(sign), by=None, at=NOON + day * DAY)
    page, total = operations.list_reports(session, home.id, at=NOON + 3 * DAY, first=1, limit=1)
    assert (total, [view.sign.name for view in page]) == (3, ["loose"])


def test_a_stop_is_told_with_what_is_seen_stopped_and_to_do(session: SchemeSession, home: FurnishedHome) -> None:
    reports = [warm(session, home), operations.report_incident(session, home.id, IncidentDetails("tingle"), **WRITING)]
    stop = operations.describe_stop(session, home.id, reports, at=NOON)
    assert stop is not None
    assert (stop.reference, stop.effect.value) == ("H-1", "do_not_use")
    assert stop.do_now[0].startswith("Touch nothing")
    assert len(stop.seen) == 2
    assert [(item.item_kind, item.label) for item in stop.items] == [
        ("outlet", "garage socket"), ("lead", "portable lead"),
    ]


def test_of_withdrawn_reports_nothing_is_told(session: SchemeSession, home: FurnishedHome) -> None:
    report_id = warm(session, home)
    operations.withdraw_sign(session, home.id, report_id, WithdrawalDetails("a mistake"), **WRITING)
    assert operations.describe_stop(session, home.id, [report_id], at=NOON) is None
    assert states(session, home, 0)[0] == "withdrawn"


def test_another_homes_report_is_not_there(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    report_id = warm(session, home)
    for home_id, wanted in ((other.id, report_id), (home.id, "0" * 32), ("0" * 32, report_id)):
        with pytest.raises(NotFound):
            operations.get_reports(session, home_id, [wanted], at=NOON)
