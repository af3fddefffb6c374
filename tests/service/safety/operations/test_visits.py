"""A visit is asked for, agreed and moved on; each step stays to be read."""

from datetime import date, time, timedelta

import pytest

from service.common.errors import Conflict, NotFound, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.visit_details import VisitMove, VisitRequest
from service.safety.models import LinkedVisit, Visit
from service.safety.operations import show_steps
from tests.factories.households import NOON, WRITING, furnished_home
from tests.factories.visits import agreed_visit, listed, sent_link

DAY = date(2026, 11, 25)


def states(session: SchemeSession, visit: Visit) -> list[str]:
    return [step.state for step in show_steps(session, visit.id)]


def test_outlets_of_another_home_cannot_be_asked_for(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    with pytest.raises(Rejected) as refused:
        operations.ask_visit(session, home.id, VisitRequest((home.outlet_id, other.outlet_id)), **WRITING)
    assert [fault.field for fault in refused.value.faults] == ["outlet_ids.1"]
    with pytest.raises(NotFound):
        operations.ask_visit(session, "f" * 32, VisitRequest((home.outlet_id,)), **WRITING)


def test_an_outlet_that_waits_for_a_date_is_not_asked_for_twice(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = operations.ask_visit(session, home.id, VisitRequest((home.outlet_id,)), **WRITING)
    with pytest.raises(Conflict, match="asked for already"):
        operations.ask_visit(session, home.id, VisitRequest((home.outlet_id,)), **WRITING)
    operations.move_visit(session, visit.id, VisitMove("cancelled"), **WRITING)
    assert operations.ask_visit(session, home.id, VisitRequest((home.outlet_id,)), **WRITING).id != visit.id


def test_naming_a_day_agrees_it_and_taking_it_away_asks_again(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session), agreed_from=time(9), agreed_until=time(11))
    operations.change_visit(session, visit.id, {"cost_pence": 9_500}, **WRITING)
    assert (visit.state, states(session, visit)) == ("date_agreed", ["asked", "date_agreed"])
    nothing = dict.fromkeys(("agreed_on", "agreed_from", "agreed_until"))
    operations.change_visit(session, visit.id, nothing, by=None, at=NOON + timedelta(hours=1))
    assert (visit.state, states(session, visit)) == ("asked", ["asked", "date_agreed", "asked"])


def test_a_new_day_opens_the_links_that_are_out_on_it(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session))
    link = sent_link(session, visit).link
    operations.change_visit(session, visit.id, {"agreed_on": DAY + timedelta(days=3)}, **WRITING)
    (linked,) = session.query(LinkedVisit).where(LinkedVisit.link_id == link.id)
    assert linked.opens_on == DAY + timedelta(days=3)


def test_what_has_ended_cannot_be_moved_and_is_told_why(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session))
    operations.move_visit(session, visit.id, VisitMove("cancelled", "moved away"), **WRITING)
    assert visit.ended_at == NOON
    with pytest.raises(Rejected, match="ends"):
        operations.move_visit(session, visit.id, VisitMove("asked"), **WRITING)
    with pytest.raises(Rejected, match="ends"):
        operations.change_visit(session, visit.id, {"agreed_on": DAY + timedelta(days=9)}, **WRITING)
    assert show_steps(session, visit.id)[-1].note == "moved away"


def test_only_an_electrician_on_the_list_is_given_a_visit(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session))
    electrician = listed(session)
    assert operations.change_visit(
        session, visit.id, {"electrician_id": electrician.id}, **WRITING
    ).electrician_id == electrician.id
    other = listed(session, "other@wiring.example")
    operations.unlist_electrician(session, other.id, **WRITING)
    with pytest.raises(Rejected, match="list"):
        operations.change_visit(session, visit.id, {"electrician_id": other.id}, **WRITING)


def test_no_access_can_be_agreed_anew(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session))
    operations.move_visit(session, visit.id, VisitMove("no_access", "nobody opened"), by=None, at=NOON)
    later = {"by": None, "at": NOON + timedelta(days=1)}
    operations.change_visit(session, visit.id, {"agreed_on": DAY + timedelta(days=7)}, **later)
    assert states(session, visit)[-2:] == ["no_access", "date_agreed"]
