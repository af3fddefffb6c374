"""Dates follow the evidence: renewed ones are done, moved ones keep their id, and asked again nothing changes."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select, update

from service.households.models import Circuit, CircuitRun, Household, Outlet
from service.households.operations import change_household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.infrastructure.outbox import Event
from service.safety.models import Check, Inspection, LeadTest, Recheck, SchemeRule, SignReport
from service.safety.operations import homes_with_stale_dates, set_rechecks
from tests.factories.reminders import NOON, add_home, add_lead, add_outlet

pytestmark = pytest.mark.both_databases
DUE = date(2028, 3, 1)


@pytest.fixture
def home(session: SchemeSession) -> str:
    home = add_home(session)
    session.execute(update(Household).values(tenure="owner"))
    return home


@pytest.fixture
def outlet(session: SchemeSession, home: str) -> str:
    return add_outlet(session, home)


def inspect(
    session: SchemeSession, home: str, outlet: str, *, on: date = date(2026, 3, 1), due: date = DUE, **more: Any
) -> str:
    row = Inspection(
        household_id=home, outlet_id=outlet, inspected_on=on, next_due_on=due, certificate_number="C-1",
        electrician="Rowan Ellery", recorded_at=NOON, **more,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row.id


def accepted(session: SchemeSession, home: str) -> dict[str, Any]:
    """Return what makes an inspection count."""
    file = StoredFile(
        household_id=home, purpose="certificate", media_type="application/pdf", size_bytes=9, sha256="0" * 64,
        name="report.pdf", uploaded_at=NOON,
    )  # fmt: skip
    session.add(file)
    session.flush()
    return {"source": "officer", "file_id": file.id, "accepted_at": NOON}


def check(session: SchemeSession, home: str, outlet: str, at: datetime, *, is_clear: bool = True) -> None:
    session.add(
        Check(household_id=home, outlet_id=outlet, lead_id=None, made_at=at, answers=[], is_clear=is_clear)
    )


def rows(session: SchemeSession, home: str) -> list[tuple[str, date, date | None, str]]:
    session.flush()
    found = session.scalars(select(Recheck).where(Recheck.household_id == home).order_by(Recheck.due_on))
    return [(row.item_kind, row.due_on, row.done_on, row.rule_name) for row in found]


def set_now(session: SchemeSession, home: str, at: datetime = NOON) -> bool:
    return bool(set_rechecks(session, [home], at=at))


def test_an_inspection_sets_a_date_once_and_a_typed_one_is_marked_as_claimed(
    session: SchemeSession, home: str, outlet: str
) -> None:
    inspect(session, home, outlet)
    assert [set_now(session, home), set_now(session, home)] == [True, False]
    assert rows(session, home) == [("outlet", DUE, None, "report_states")]
    row = session.scalars(select(Recheck)).one()
    assert row.is_claimed and row.interval_days == (DUE - date(2026, 3, 1)).days


def test_an_accepted_one_with_its_document_takes_the_mark_away_and_keeps_the_id(
    session: SchemeSession, home: str, outlet: str
) -> None:
    inspect(session, home, outlet)
    set_now(session, home)
    row = session.scalars(select(Recheck)).one()
    kept = row.id
    session.execute(update(Inspection).values(**accepted(session, home)))
    assert set_now(session, home)
    row = session.scalars(select(Recheck)).one()
    assert (row.id, row.is_claimed) == (kept, False)


def test_renewed_evidence_does_the_old_date_and_sets_the_next(session: SchemeSession, home: str, outlet: str) -> None:
    check(session, home, outlet, NOON - timedelta(days=30))
    set_now(session, home)
    check(session, home, outlet, NOON)
    set_now(session, home)
    assert rows(session, home) == [
        ("outlet", date(2026, 11, 26), NOON.date(), "check_socket"),
        ("outlet", date(2026, 12, 25), None, "check_socket"),
    ]


def test_a_check_with_a_sign_renews_nothing(session: SchemeSession, home: str, outlet: str) -> None:
    check(session, home, outlet, NOON - timedelta(days=30))
    check(session, home, outlet, NOON, is_clear=False)
    set_now(session, home)
    assert rows(session, home) == [("outlet", date(2026, 11, 26), None, "check_socket")]


def test_a_moved_date_keeps_its_id(session: SchemeSession, home: str, outlet: str) -> None:
    inspect(session, home, outlet)
    set_now(session, home)
    kept = session.scalars(select(Recheck.id)).one()
    session.execute(update(Outlet).values(nights_a_week=5))
    assert homes_with_stale_dates(session, [home], at=NOON) == [home]
    set_now(session, home)
    assert session.scalars(select(Recheck.id)).one() == kept
    assert rows(session, home) == [("outlet", date(2027, 3, 1), None, "inspect_regular_socket")]
    assert homes_with_stale_dates(session, [home], at=NOON) == []


def test_a_change_of_tenure_moves_the_date(session: SchemeSession, home: str, outlet: str) -> None:
    inspect(session, home, outlet, due=date(2036, 3, 1))
    set_now(session, home)
    session.execute(update(Household).values(tenure="private_rented"))
    set_now(session, home)
    assert rows(session, home) == [("outlet", date(2031, 3, 1), None, "report_private_england")]


def test_a_superseded_or_refused_inspection_sets_nothing_any_more(
    session: SchemeSession, home: str, outlet: str
) -> None:
    for column in ("superseded_at", "refused_at"):
        inspect(session, home, outlet)
        set_now(session, home)
        session.execute(update(Inspection).values(**{column: NOON}))
        assert set_now(session, home)
        assert rows(session, home) == []


def test_a_date_that_a_person_set_stays(session: SchemeSession, home: str, outlet: str) -> None:
    session.add(
        Recheck(household_id=home, item_kind="outlet", item_id=outlet, due_on=DUE, rule="an agreed date")
    )
    session.flush()
    assert not set_now(session, home)
    assert rows(session, home) == [("outlet", DUE, None, "")]


def test_a_lead_counts_from_its_test_and_is_looked_at_again_after_a_sign(session: SchemeSession, home: str) -> None:
    lead = add_lead(session, home)
    session.add(
        SignReport(
            household_id=home, sign="warm", lead_id=lead, outlet_ids=[], lead_ids=[lead],
            seen_at=NOON - timedelta(days=9), reported_at=NOON - timedelta(days=9),
        )
    )  # fmt: skip
    session.add(
        LeadTest(
            household_id=home, lead_id=lead, kind="test", is_passed=True, done_at=NOON - timedelta(days=5),
            tested_by="Hollin Wiring", recorded_at=NOON,
        )
    )  # fmt: skip
    set_now(session, home)
    [(kind, due_on, _, name)] = rows(session, home)
    assert (kind, due_on) == ("lead", date(2026, 12, 20)) and name in ("check_mode_2", "after_sign")


def test_an_rcd_gets_a_date_and_a_circuit_without_one_does_not(session: SchemeSession, home: str) -> None:
    circuit = Circuit(household_id=home, label="Garage")
    session.add(circuit)
    session.flush()
    for position, rcd_type in enumerate(("a", "none", "not_known")):
        session.add(CircuitRun(circuit_id=circuit.id, position=position, kind="radial", rcd_type=rcd_type))
    set_now(session, home)
    assert rows(session, home) == [("device", date(2027, 5, 25), None, "rcd_button")]


def test_a_schemes_shorter_rule_is_found_by_the_daily_look(session: SchemeSession, home: str, outlet: str) -> None:
    check(session, home, outlet, NOON)
    set_now(session, home)
    session.add(
        SchemeRule(rule_name="check_socket", interval_days=14, from_on=date(2026, 12, 1), made_at=NOON)
    )
    session.flush()
    assert homes_with_stale_dates(session, [home], at=NOON) == []
    later = NOON + timedelta(days=6)
    assert homes_with_stale_dates(session, [home], at=later) == [home]
    set_now(session, home, later)
    assert rows(session, home)[0][1] == date(2026, 12, 9)


def test_many_homes_are_set_in_one_go_and_only_changed_ones_are_named(
    session: SchemeSession, home: str, outlet: str
) -> None:
    second = add_home(session, "H-2")
    check(session, second, add_outlet(session, second), NOON)
    assert set_rechecks(session, [home, second], at=NOON) == [second]


def test_other_people_in_the_home_move_its_inspection_to_the_day_they_come_and_one_since_then_moves_it_on(
    session: SchemeSession, home: str, outlet: str
) -> None:
    inspect(session, home, outlet, **accepted(session, home))
    set_rechecks(session, [home], at=NOON)
    (first,) = session.scalars(select(Recheck).where(Recheck.item_id == outlet)).all()
    change_household(session, home, {"occupied_since_on": date(2026, 11, 20)}, by=None, at=NOON)
    # Told to the worker, which sets the dates anew.
    assert session.scalars(select(Event).where(Event.name == "HouseholdChanged")).first() is not None
    assert set_rechecks(session, [home], at=NOON) == [home]
    assert (first.due_on, first.rule_name, first.done_on) == (date(2026, 11, 20), "new_occupants", None)
    inspect(session, home, outlet, on=date(2026, 11, 24), due=date(2031, 11, 24), **accepted(session, home))
    set_rechecks(session, [home], at=NOON)
    rows = session.scalars(select(Recheck).where(Recheck.item_id == outlet).order_by(Recheck.due_on)).all()
    assert [(row.due_on, row.done_on) for row in rows] == [
        (date(2026, 11, 20), date(2026, 11, 24)), (date(2031, 11, 24), None),
    ]
