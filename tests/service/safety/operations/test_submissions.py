"""A submission is one transaction: of two at once the second finds the visit spent, and a failure leaves nothing."""

from datetime import date
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import func, select

from service.common.errors import Conflict, Gone, Rejected, ServiceError
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.submission import Submission, build_submission
from service.safety.models import ClearanceChange, Inspection, LinkedVisit, Recheck, VisitStep
from tests.factories.households import NOON, FurnishedHome, furnished_home
from tests.factories.safety import document, inspect
from tests.factories.threads import at_once
from tests.factories.visits import agreed_visit, found_at, listed, person, posting, sent_link, submission

DAYS = {"inspected_on": date(2026, 11, 25), "next_due_on": date(2027, 11, 25)}


def results(outlet_id: str, *, is_partial: bool = False, **changes: Any) -> Submission:
    return build_submission(submission({**found_at(outlet_id), **DAYS, **changes}, is_partial=is_partial))


def opened(session: SchemeSession, **home: Any) -> tuple[FurnishedHome, str, str]:
    """Return a home with an agreed visit and a link to the electrician on the list: its ids."""
    found = furnished_home(session, **home)
    visit = agreed_visit(session, found)
    return found, visit.id, sent_link(session, visit, electrician=listed(session)).link.id


def count(session: SchemeSession, model: Any) -> int:
    return session.scalar(select(func.count()).select_from(model)) or 0


@pytest.mark.both_databases
def test_of_two_submissions_at_once_one_is_recorded_and_the_other_finds_the_link_spent(
    database: Database, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        home, visit_id, link_id = opened(session)

    def one(_: int) -> str:
        try:
            with database.scheme(scheme, write=True) as own:
                operations.submit(own, link_id, visit_id, results(home.outlet_id), at=NOON)
        except ServiceError as error:
            return type(error).__name__
        return "recorded"

    assert sorted(at_once(2, one)) == ["Gone", "recorded"]
    with database.scheme(scheme, write=False) as session:
        assert count(session, Inspection) == 1


@pytest.mark.both_databases
def test_of_two_drafts_at_once_one_is_kept_and_the_other_is_told(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        _, visit_id, link_id = opened(session)

    def one(number: int) -> str:
        try:
            with database.scheme(scheme, write=True) as own:
                operations.save_draft(own, link_id, visit_id, {"number": number}, 0, at=NOON)
        except ServiceError as error:
            return type(error).__name__
        return "kept"

    assert sorted(at_once(2, one)) == ["DraftChanged", "kept"]


@pytest.mark.both_databases
def test_what_is_refused_leaves_nothing_behind(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        home, visit_id, link_id = opened(session)
        elsewhere = document(session, furnished_home(session, reference="H-2").id)
    before = {}
    for sent in (
        results(home.outlet_id, file_id=elsewhere),
        results(home.outlet_id, inspected_on=date(2026, 11, 26)),
    ):
        with database.scheme(scheme, write=False) as session:
            before = {model: count(session, model) for model in (Inspection, Recheck, VisitStep, ClearanceChange)}
        with pytest.raises(Rejected) as refused, database.scheme(scheme, write=True) as session:
            operations.submit(session, link_id, visit_id, sent, at=NOON)
        assert [fault.field.rpartition(".")[0] for fault in refused.value.faults] == ["outlets.0"]
    with database.scheme(scheme, write=False) as session:
        assert {model: count(session, model) for model in before} == before
        assert session.scalars(select(LinkedVisit.spent_at)).one() is None


def test_a_submission_spends_every_link_that_was_sent_for_the_visit(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    first, second = sent_link(session, visit).link, sent_link(session, visit).link
    operations.submit(session, first.id, visit.id, results(home.outlet_id), at=NOON)
    with pytest.raises(Gone):
        operations.submit(session, second.id, visit.id, results(home.outlet_id), at=NOON)


def test_a_result_of_a_home_sets_its_next_recheck_and_tells_how_clearance_changed(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    sent = results(home.outlet_id, observations=[{"code": "C2"}])
    (view,) = operations.submit(session, link_id, visit_id, sent, at=NOON).inspections
    due = session.scalars(select(Recheck.due_on).where(Recheck.item_id == home.outlet_id, Recheck.done_on.is_(None)))
    assert date(2027, 11, 25) in due.all()
    changes = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_id == view.id)).all()
    assert [(change.was, change.becomes) for change in changes] == [("not_known", "do_not_use")]


def test_a_second_certificate_takes_the_place_of_the_first(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    for number in ("C-1", "C-2"):
        sent = results(home.outlet_id, certificate_number=number, is_partial=True)
        operations.submit(session, link_id, visit_id, sent, at=NOON)
    rows = session.scalars(select(Inspection).order_by(Inspection.certificate_number)).all()
    assert [(row.certificate_number, row.superseded_at is None) for row in rows] == [("C-1", False), ("C-2", True)]


def test_who_had_a_hand_in_it_is_kept(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    operations.submit(session, link_id, visit_id, results(home.outlet_id), at=NOON)
    row = session.scalars(select(Inspection)).one()
    assert (row.source, row.recorded_by, row.received_by) == ("link", None, "hollin@wiring.example")
    assert (row.visit_id, row.link_id) == (visit_id, link_id)
    assert (row.electrician, row.registration) == ("H. Hollin (invented)", "a body, number 12")


def correction(session: SchemeSession, home: FurnishedHome, inspection_id: str, sent_to: str) -> str:
    """Send a link for a correction and return its id."""
    made = operations.send_correction_link(session, home.id, inspection_id, sent_to, posting(), by=None, at=NOON)
    return made.link.id


def clearance_of(session: SchemeSession, home: FurnishedHome) -> str:
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    return outlet.clearance.value


def test_a_correction_that_has_to_wait_lifts_no_stop_until_it_is_accepted(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    bad = results(home.outlet_id, file_id=document(session, home.id), observations=[{"code": "C2"}])
    (first,) = operations.submit(session, link_id, visit_id, bad, at=NOON).inspections
    elsewhere = correction(session, home, first.id, "somebody@else.example")
    corrected = operations.submit(session, elsewhere, visit_id, results(home.outlet_id), at=NOON)
    assert (corrected.is_accepted, clearance_of(session, home)) == (False, "do_not_use")
    operations.accept_inspection(session, home.id, corrected.inspections[0].id, by="0" * 32, at=NOON)
    assert clearance_of(session, home) == "not_known"
    assert session.get_one(Inspection, (session.scheme_id, first.id)).superseded_at == NOON


def test_a_certificate_with_a_finding_is_not_cleared_by_readings_that_wait(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    link_id = sent_link(session, visit).link.id  # to nobody on the list
    bad = results(home.outlet_id, is_partial=True, answers=None, observations=[{"code": "C1"}])
    operations.submit(session, link_id, visit.id, bad, at=NOON)
    operations.submit(session, link_id, visit.id, results(home.outlet_id), at=NOON)
    assert clearance_of(session, home) == "do_not_use"


def test_of_two_corrections_the_second_finds_the_place_taken(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    good = results(home.outlet_id, file_id=document(session, home.id))
    (first,) = operations.submit(session, link_id, visit_id, good, at=NOON).inspections
    one, other = (correction(session, home, first.id, "hollin@wiring.example") for _ in range(2))
    assert operations.submit(session, one, visit_id, results(home.outlet_id), at=NOON).is_accepted
    with pytest.raises(Conflict, match="taken the place"):
        operations.submit(session, other, visit_id, results(home.outlet_id), at=NOON)


def test_a_correction_that_has_to_wait_lets_no_older_result_allow_more(session: SchemeSession) -> None:
    home, visit_id, link_id = opened(session)
    inspect(session, home.id, home.outlet_id)  # an older one, without a limit
    limited = results(
        home.outlet_id, file_id=document(session, home.id), limit_a=6, limit_reason="a worn contact"
    )
    (first,) = operations.submit(session, link_id, visit_id, limited, at=NOON).inspections
    elsewhere = correction(session, home, first.id, "somebody@else.example")
    assert not operations.submit(session, elsewhere, visit_id, results(home.outlet_id), at=NOON).is_accepted
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    assert (outlet.clearance.value, outlet.limit_a) == ("use_with_limits", 6)


def test_a_submission_forgets_every_draft_of_the_visit(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    first, second = sent_link(session, visit).link, sent_link(session, visit).link
    operations.save_draft(session, second.id, visit.id, {"note": "the key is under the pot"}, 0, at=NOON)
    operations.submit(session, first.id, visit.id, results(home.outlet_id), at=NOON)
    assert [linked.draft for linked in session.scalars(select(LinkedVisit))] == [{}, {}]


def test_who_runs_the_scheme_accepts_nothing_by_putting_themselves_on_the_list(
    database: Database, scheme: str, hasher: PasswordHasher
) -> None:
    person(database, hasher, scheme, "ada@scheme.example")
    for address in ("ada@scheme.example", "Ada+wiring@scheme.example"):
        with database.scheme(scheme, write=True) as session:
            home = furnished_home(session, reference=f"H {address}"[:20])
            visit = agreed_visit(session, home)
            link_id = sent_link(session, visit, electrician=listed(session, address)).link.id
            sent = results(home.outlet_id, file_id=document(session, home.id))
            submitted = operations.submit(session, link_id, visit.id, sent, at=NOON)
        assert not submitted.is_accepted
        assert "runs the scheme" in submitted.waits_because
