"""The scheme's list of visits: by state, area and risk, a page at a time."""

from datetime import date, timedelta

from service.households.models import Outlet, Supply
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.visit_details import VisitRequest
from service.safety.models import ClearanceStatus, Recheck
from service.safety.operations import ask_visit, list_visits, list_visits_of
from tests.factories.households import NOON, FurnishedHome, furnished_home
from tests.factories.safety import claim
from tests.factories.visits import agreed_visit


def homes(session: SchemeSession) -> list[FurnishedHome]:
    found = []
    for number, postcode in enumerate(("ZZ1 1AA", "zz11ab", "ZZ11 1AA"), start=1):
        home = furnished_home(session, reference=f"H-{number}", postcode=postcode)
        ask_visit(session, home.id, VisitRequest((home.outlet_id,)), by=None, at=NOON - timedelta(days=number))
        found.append(home)
    return found


def references(session: SchemeSession, **asked: object) -> list[str]:
    return [row.reference for row in list_visits(session, at=NOON, **asked)[0]]  # type: ignore[arg-type]


def test_an_area_is_the_outward_part_however_it_is_written(session: SchemeSession) -> None:
    homes(session)
    assert sorted(references(session, area="zz1")) == ["H-1", "H-2"]
    assert references(session, area="ZZ11") == ["H-3"]
    assert references(session, area="Q1") == []


def test_pages_and_orders(session: SchemeSession) -> None:
    agreed_visit(session, furnished_home(session, reference="H-9"), on=NOON + timedelta(days=2))
    homes(session)
    assert references(session, sort="asked_at") == ["H-3", "H-2", "H-1", "H-9"]
    assert references(session, sort="asked_at", is_descending=True, first=1, limit=2) == ["H-1", "H-2"]
    assert references(session, sort="agreed_on")[0] == "H-9"
    assert references(session, state="date_agreed") == ["H-9"]
    assert list_visits(session, at=NOON, first=0, limit=1)[1] == 4


def test_the_risk_of_a_home_is_read_from_what_is_recorded_of_it(session: SchemeSession) -> None:
    calm, socket, stopped = homes(session)
    for home in (calm, socket, stopped):
        claim(session, home.id, home.outlet_id)
        session.add(Supply(household_id=home.id, earthing="tn_s"))
        outlet = session.get_one(Outlet, (session.scheme_id, home.outlet_id))
        outlet.kind, outlet.nights_a_week = "charging_point", 0
    session.get_one(Outlet, (session.scheme_id, socket.outlet_id)).kind = "socket_13a"
    session.get_one(Outlet, (session.scheme_id, socket.outlet_id)).nights_a_week = 3
    status = session.query(ClearanceStatus).where(ClearanceStatus.household_id == stopped.id).one()
    status.clearance = "do_not_use"
    session.add(
        Recheck(household_id=stopped.id, item_kind="lead", item_id="l", due_on=date(2026, 11, 24), rule="a rule")
    )
    session.flush()
    rows, _ = list_visits(session, at=NOON)
    assert [(row.reference, row.risk) for row in rows] == [("H-3", 40 + 15), ("H-2", 10 + 9), ("H-1", 0)]
    assert sum(int(step.result) for step in rows[0].risk_working.steps) == rows[0].risk


def test_a_home_sees_its_own_visits_only(session: SchemeSession) -> None:
    first = homes(session)[0]
    assert [row.household_id for row in list_visits_of(session, first.id, at=NOON)] == [first.id]
