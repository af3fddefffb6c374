"""A link is made for agreed visits, or for one correction; the scheme's list says how each stands."""

from datetime import timedelta

import pytest

from service.common.errors import Conflict, NotFound, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.link_rules import LinkRequest
from service.safety.domain.visit_details import VisitRequest
from service.safety.models import Inspection
from service.safety.operations import LinkLetter
from tests.factories.households import NOON, WRITING, furnished_home
from tests.factories.safety import claim
from tests.factories.visits import agreed_visit, listed, posting, sent_link
from tests.service.safety.operations.test_submissions import results


def faults_of(refused: pytest.ExceptionInfo[Rejected]) -> list[str]:
    return [fault.field for fault in refused.value.faults]


def test_only_visits_with_an_agreed_day_are_sent(session: SchemeSession) -> None:
    agreed = agreed_visit(session, furnished_home(session))
    home = furnished_home(session, reference="H-2")
    asked = operations.ask_visit(session, home.id, VisitRequest((home.outlet_id,)), **WRITING)
    with pytest.raises(Rejected) as refused:
        sent_link(session, agreed, asked)
    assert faults_of(refused) == ["visit_ids.1"]


def test_a_link_names_only_an_electrician_on_the_list(session: SchemeSession) -> None:
    visit = agreed_visit(session, furnished_home(session))
    electrician = listed(session)
    operations.unlist_electrician(session, electrician.id, **WRITING)
    with pytest.raises(Rejected) as refused:
        sent_link(session, visit, electrician=electrician)
    assert faults_of(refused) == ["electrician_id"]


def test_the_letter_tells_days_and_end_and_nothing_of_the_homes(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    letters: list[LinkLetter] = []
    request = LinkRequest((visit.id,), "a@wiring.example", 3)
    made = operations.send_link(session, request, posting(letters), **WRITING)
    (letter,) = letters
    assert (letter.url, letter.days, letter.expires_at) == (made.url, (NOON.date(),), NOON + timedelta(days=3))
    assert "Quince" not in repr(letter)
    assert "Ada" not in repr(letter)


def test_the_list_says_how_each_link_stands_and_never_its_secret(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    for days in (1, 9, 9, 9):
        sent_link(session, visit, expires_in_days=days)
    links = operations.list_links(session, first=0, limit=9, at=NOON)[0]
    revoked = next(link for link in links if link.expires_at == NOON + timedelta(days=9))
    for _ in range(2):
        assert operations.revoke_link(session, revoked.id, by=None, at=NOON).state == "revoked"
    states = [link.state for link in operations.list_links(session, first=0, limit=9, at=NOON + timedelta(days=1))[0]]
    assert sorted(states) == ["expired", "open", "open", "revoked"]
    left = next(link for link in links if link.id != revoked.id)
    operations.submit(session, left.id, visit.id, results(home.outlet_id), at=NOON)
    states = [link.state for link in operations.list_links(session, first=0, limit=9, at=NOON)[0]]
    assert sorted(states) == ["revoked", "spent", "spent", "spent"]
    assert operations.list_links(session, first=3, limit=1, at=NOON)[1] == 4
    with pytest.raises(NotFound):
        operations.revoke_link(session, "f" * 32, **WRITING)


def test_only_what_came_whole_by_a_link_is_corrected_by_one(session: SchemeSession) -> None:
    home = furnished_home(session)
    typed = claim(session, home.id, home.outlet_id)
    with pytest.raises(Conflict, match="by an electrician's link"):
        operations.send_correction_link(session, home.id, typed.id, "a@b.example", posting(), **WRITING)
    visit = agreed_visit(session, home)
    link = sent_link(session, visit).link
    partial = results(home.outlet_id, is_partial=True)
    (first,) = operations.submit(session, link.id, visit.id, partial, at=NOON).inspections
    with pytest.raises(Conflict, match="still to come"):
        operations.send_correction_link(session, home.id, first.id, "a@b.example", posting(), **WRITING)
    with pytest.raises(NotFound):
        operations.send_correction_link(session, home.id, "f" * 32, "a@b.example", posting(), **WRITING)


def test_seven_days_are_counted_from_the_first_result_however_often_it_is_corrected(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit, electrician = agreed_visit(session, home), listed(session)
    link_id = sent_link(session, visit, electrician=electrician).link.id
    (standing,) = operations.submit(session, link_id, visit.id, results(home.outlet_id), at=NOON).inspections
    ends = set()
    for day in (2, 5):
        at = NOON + timedelta(days=day)
        made = operations.send_correction_link(
            session, home.id, standing.id, electrician.email, posting(), by=None, at=at
        )
        ends.add(made.link.expires_at)
        (standing,) = operations.submit(session, made.link.id, visit.id, results(home.outlet_id), at=at).inspections
    assert len(ends) == 1
    chain = session.query(Inspection).where(Inspection.superseded_at.is_not(None)).count()
    assert chain == 2
    with pytest.raises(Conflict, match="ended on"):
        operations.send_correction_link(
            session, home.id, standing.id, electrician.email, posting(), by=None, at=NOON + timedelta(days=8)
        )
