"""The safety file: what was known at an instant, the same whenever it is asked for."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from sqlalchemy import select

from service.households import operations as households
from service.households.domain.equipment import YesNo
from service.infrastructure.db.sessions import SchemeSession
from service.reporting.documents import safety_pdf
from service.reporting.domain import safety_file as words
from service.reporting.domain.safety_file import SafetyFile, Table
from service.reporting.operations import get_safety_file
from service.safety import operations as safety
from service.safety.domain.report_details import IncidentDetails, WithdrawalDetails
from service.safety.models import Check, ClearanceChange, Inspection, Observation, ShownAnswer, SupervisedCharge
from tests.factories.households import NOON, FurnishedHome, furnished_home, lead_details, outlet_details
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

HOUR = timedelta(hours=1)
LATER = NOON + 3 * HOUR


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home that may charge, with an inspection, a supervised charge and checks."""
    made = furnished_home(session)
    inspect(session, made.id, made.outlet_id)
    return made


def table_of(file: SafetyFile, title: str) -> Table:
    return next(table for part in file.parts for table in part.tables if table.title == title)


def cell(table: Table, head: str, row: int = 0) -> str:
    return table.rows[row][table.heads.index(head)]


def report_hot_plug(session: SchemeSession, home: FurnishedHome, at: object = NOON + HOUR) -> str:
    details = IncidentDetails("scorch", home.outlet_id, home.lead_id, None, "")
    return safety.report_incident(session, home.id, details, by=None, at=at)


def test_it_says_what_evidence_says_with_its_working_and_editions(session: SchemeSession, home: FurnishedHome) -> None:
    file = get_safety_file(session, home.id, at=NOON)
    answers = table_of(file, "Answers")
    assert [row[0] for row in answers.rows] == ["outlet: garage socket", "lead: portable lead"]
    found = safety.home_clearance(session, home.id, at=NOON).outlets[0]
    assert cell(answers, "Clearance") == found.clearance.value.replace("_", " ")
    assert len([row for row in table_of(file, "Working").rows if row[0] == "garage socket"]) == len(found.working.steps)
    assert any("BS 7671" in row[1] for row in table_of(file, "Editions of standards up to this day").rows)
    recorded = cell(table_of(file, "Inspections as recorded"), "Inspected")
    assert recorded.startswith("recorded as inspected on 1 Jun 2026 by Hollin Wiring (invented)")


def test_the_file_of_an_instant_is_the_same_after_all_that_comes_later(
    session: SchemeSession, home: FurnishedHome
) -> None:
    inspection = session.scalars(select(Inspection)).one()
    session.add(Observation(inspection_id=inspection.id, position=0, code="C3", note="a label"))
    charge = session.scalars(select(SupervisedCharge)).first()
    assert charge is not None
    charge.later_felt_at = charge.ended_at = NOON + HOUR
    session.flush()
    then = get_safety_file(session, home.id, at=NOON)
    then_bytes = safety_pdf(then)

    report_id = report_hot_plug(session, home)
    session.add(Check(household_id=home.id, outlet_id=home.outlet_id, made_at=NOON + HOUR, answers=[], is_clear=True))
    session.add(
        ShownAnswer(
            household_id=home.id, account_id="c" * 32, item_kind="outlet", item_id=home.outlet_id,
            clearance="fit_to_use", fingerprint="f" * 64, answer={}, shown_at=NOON + HOUR,
        )
    )
    observation = session.scalars(select(Observation)).one()
    observation.closed_on, observation.closed_at = date(2026, 11, 24), NOON + HOUR
    safety.withdraw_sign(
        session, home.id, report_id, WithdrawalDetails("another home"), by=None, at=NOON + 2 * HOUR
    )
    inspection.superseded_at = inspection.refused_at = NOON + 2 * HOUR
    inspection.refusal_reason = "the document is of another home"
    session.flush()

    again = get_safety_file(session, home.id, at=NOON)
    assert again == then
    assert safety_pdf(again) == then_bytes
    assert get_safety_file(session, home.id, at=LATER) != then


def test_a_later_withdrawal_is_not_known_at_an_earlier_instant(session: SchemeSession, home: FurnishedHome) -> None:
    report_id = report_hot_plug(session, home)
    safety.withdraw_sign(
        session, home.id, report_id, WithdrawalDetails("another home"), by=None, at=NOON + 2 * HOUR
    )
    before = table_of(get_safety_file(session, home.id, at=NOON), "Reported")
    between = table_of(get_safety_file(session, home.id, at=NOON + HOUR), "Reported")
    after = table_of(get_safety_file(session, home.id, at=LATER), "Reported")
    assert before.rows == ()
    assert cell(between, "Withdrawn") == "no"
    assert cell(after, "Withdrawn").endswith("another home")


def test_a_stop_stands_in_the_changes_in_time_order_with_the_working_of_then(
    session: SchemeSession, home: FurnishedHome
) -> None:
    report_hot_plug(session, home)
    changes = table_of(get_safety_file(session, home.id, at=LATER), "In the order they happened")
    kept = session.scalars(select(ClearanceChange).order_by(ClearanceChange.changed_at)).all()
    assert len(changes.rows) == len(kept)
    assert {cell(changes, "Became", row) for row in range(len(changes.rows))} >= {"do not use"}
    assert "source:" in cell(changes, "Working then")


def test_an_edit_after_the_instant_is_named_with_its_fields(session: SchemeSession, home: FurnishedHome) -> None:
    households.change_outlet(session, home.id, home.outlet_id, {"ev_mark": YesNo.YES}, by=None, at=NOON + HOUR)
    edits = table_of(get_safety_file(session, home.id, at=NOON), "Edited after the instant of this file")
    assert edits.rows == (("garage socket", "ev mark", "25 Nov 2026 13:00:00 GMT", "not known"),)
    assert table_of(get_safety_file(session, home.id, at=LATER), edits.title).rows == ()


def test_what_was_added_after_the_instant_is_left_out(session: SchemeSession, home: FurnishedHome) -> None:
    writing = {"by": None, "at": NOON + HOUR}
    households.add_outlet(session, home.id, outlet_details(label="drive socket"), **writing)
    households.add_lead(session, home.id, lead_details(label="spare lead"), **writing)
    assert "drive socket" not in repr(get_safety_file(session, home.id, at=NOON))
    assert "spare lead" not in repr(get_safety_file(session, home.id, at=NOON))
    assert "drive socket" in repr(get_safety_file(session, home.id, at=LATER))


def test_another_homes_records_are_not_in_it(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2", member_name="Bo Tarn", address="9 Other Lane")
    inspect(session, other.id, other.outlet_id, electrician="Somebody Else (invented)")
    file = repr(get_safety_file(session, home.id, at=LATER))
    assert "Somebody Else" not in file
    assert "Other Lane" not in file


def test_a_long_table_holds_back_the_oldest_rows_and_counts_them(
    session: SchemeSession, home: FurnishedHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(words, "MOST_ROWS", 2)
    for hours in range(4):
        session.add(
            Check(
                household_id=home.id, outlet_id=home.outlet_id, made_at=NOON + hours * HOUR, answers=[], is_clear=True
            )
        )
    session.flush()
    checks = table_of(get_safety_file(session, home.id, at=LATER), "Checks")
    assert (len(checks.rows), checks.total) == (2, checks.held_back + 2)
    assert cell(checks, "When", 1) == "25 Nov 2026 15:00:00 GMT"


def test_nothing_in_it_says_certified_but_that_it_is_not(session: SchemeSession, home: FurnishedHome) -> None:
    file = repr(get_safety_file(session, home.id, at=NOON))
    assert file.count("certified") == file.count("never certified by this service")
