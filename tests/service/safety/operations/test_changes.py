"""After an edit of what an inspection rests on the inspection counts no more, at once, and nobody misses it."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import select

from service.common.clock import FixedClock
from service.households import operations as homes
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.home_details import SupplyDetails
from service.households.models import Household
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.safety import operations
from service.safety.domain.clearance import Clearance, Need, OutletClearance
from service.safety.models import ClearanceChange, ClearanceStatus, SignReport
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import claim, inspect, make_counting

pytestmark = pytest.mark.both_databases
LATER = NOON + timedelta(hours=2)
EDIT: dict[str, Any] = {"by": "a" * 32, "at": LATER}
RUN = RunDetails("radial", device_a=20, rcd_type="a", cable_mm2=Decimal("2.5"))


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home whose socket, circuit and supply are known and inspected: a car may charge."""
    found = furnished_home(session)
    circuit = homes.add_circuit(session, found.id, CircuitDetails("garage", (RUN,)), **WRITING)
    known = {"circuit_id": circuit.id, "maker_model": "A", "serial_or_batch": "S-1", "limit_a": 8}
    homes.change_outlet(session, found.id, found.outlet_id, known, **WRITING)
    homes.put_supply(session, found.id, SupplyDetails(earthing="tn_s"), **WRITING)
    inspect(session, found.id, found.outlet_id)
    assert clearance(session, found).clearance is Clearance.FIT_TO_USE
    return found


def clearance(session: SchemeSession, home: FurnishedHome, at: Any = LATER) -> OutletClearance:
    session.flush()
    return operations.household_clearances(session, home.id, at=at)[0]


def edit_outlet(session: SchemeSession, home: FurnishedHome, **changes: Any) -> None:
    homes.change_outlet(session, home.id, home.outlet_id, changes, **EDIT)


def edit_circuit(session: SchemeSession, home: FurnishedHome, run: RunDetails) -> None:
    (circuit,) = homes.list_circuits(session, home.id)
    homes.change_circuit(session, home.id, circuit.id, CircuitDetails("garage", (run,)), **EDIT)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"serial_or_batch": "S-2"}, "serial or batch"),
        ({"maker_model": "B"}, "maker or model"),
        ({"limit_a": 10}, "current raised"),
        ({"circuit_id": None}, "circuit"),
    ],
)
def test_after_another_socket_circuit_or_current_the_inspection_counts_no_more_and_it_says_why(
    session: SchemeSession, home: FurnishedHome, changes: dict[str, Any], words: str
) -> None:
    edit_outlet(session, home, **changes)
    found = clearance(session, home)
    assert (found.clearance, found.needs) == (Clearance.NOT_KNOWN, (Need.INSPECTION,))
    assert found.missing[0] == f"changed since the inspection, on 2026-11-25 ({words}): get it checked"


@pytest.mark.parametrize("run", [replace(RUN, rcd_type="ac"), replace(RUN, cable_mm2=Decimal(4)), RunDetails("ring")])
def test_after_another_rcd_cable_or_run_of_its_circuit_too(
    session: SchemeSession, home: FurnishedHome, run: RunDetails
) -> None:
    edit_circuit(session, home, run)
    assert clearance(session, home).clearance is Clearance.NOT_KNOWN


def test_after_another_earthing_every_outlet_of_the_home_is_to_be_inspected_again(
    session: SchemeSession, home: FurnishedHome
) -> None:
    homes.put_supply(session, home.id, SupplyDetails(earthing="tn_c_s"), **EDIT)
    assert "earthing of the home" in clearance(session, home).missing[0]


def test_an_edit_back_brings_nothing_back(session: SchemeSession, home: FurnishedHome) -> None:
    edit_outlet(session, home, serial_or_batch="S-2")
    edit_outlet(session, home, serial_or_batch="S-1")
    assert clearance(session, home).clearance is Clearance.NOT_KNOWN


def test_what_only_tightens_or_names_things_leaves_the_inspection_standing(
    session: SchemeSession, home: FurnishedHome
) -> None:
    edit_outlet(session, home, limit_a=6, label="by the freezer")
    edit_circuit(session, home, replace(RUN, cable_mm2=Decimal("1.5"), ambient_c=35))
    found = clearance(session, home)
    assert (found.clearance, found.limit_a) == (Clearance.FIT_TO_USE, 6)


def test_as_at_an_instant_before_the_edit_the_answer_is_what_it_was(
    session: SchemeSession, home: FurnishedHome
) -> None:
    edit_outlet(session, home, serial_or_batch="S-2")
    before = clearance(session, home, LATER - timedelta(microseconds=1))
    assert (before.clearance, clearance(session, home).clearance) == (Clearance.FIT_TO_USE, Clearance.NOT_KNOWN)


def test_an_inspection_of_a_later_day_counts_again_and_one_from_before_the_edit_does_not(
    session: SchemeSession, home: FurnishedHome
) -> None:
    edit_outlet(session, home, serial_or_batch="S-2")
    tomorrow = LATER + timedelta(days=1)
    row = make_counting(session, claim(session, home.id, home.outlet_id, inspected_on=date(2026, 11, 24)).id)
    row.recorded_at = row.accepted_at = tomorrow  # looked at the day before the edit, sent in after it
    assert "changed since" in clearance(session, home, tomorrow).missing[0]
    row.inspected_on = tomorrow.date()
    # It counts; a new socket needs a supervised first charge of its own.
    assert clearance(session, home, tomorrow).needs == (Need.SUPERVISED_CHARGE,)


def test_no_plan_from_before_the_edit_is_shown_any_more(session: SchemeSession, home: FurnishedHome) -> None:
    edit_outlet(session, home, limit_a=6)
    row = session.get_one(Household, (session.scheme_id, home.id), populate_existing=True)
    assert row.stopped_at is None
    edit_outlet(session, home, serial_or_batch="S-2")
    session.refresh(row)
    assert (row.stopped_at, row.stopped_at_change) == (LATER, row.change_counter)


@pytest.mark.parametrize("changes", [{"serial_or_batch": "S-2"}, {"circuit_id": None}])
def test_how_clearance_changed_by_it_is_appended_and_the_standing_follows(
    session: SchemeSession, home: FurnishedHome, changes: dict[str, Any]
) -> None:
    edit_outlet(session, home, **changes)
    event = session.scalars(select(Event).where(Event.name == "OutletsChanged")).one()
    operations.follow_outlet_changes(session, **event.payload, now=FixedClock(LATER).now())
    change = session.scalars(select(ClearanceChange).where(ClearanceChange.cause_kind == "outlet_change")).one()
    told = (change.item_id, change.was, change.becomes, change.changed_at)
    assert told == (home.outlet_id, "fit_to_use", "not_known", LATER)
    status = session.scalars(select(ClearanceStatus).where(ClearanceStatus.household_id == home.id)).one()
    assert status.clearance == "not_known"


def test_a_sign_that_an_inspection_lifted_stays_lifted_after_an_edit(
    session: SchemeSession, home: FurnishedHome
) -> None:
    long_ago = NOON - timedelta(days=900)
    report = SignReport(
        household_id=home.id, sign="outlet_replaced", outlet_id=home.outlet_id, outlet_ids=[home.outlet_id],
        lead_ids=[], seen_at=long_ago, reported_at=long_ago,
    )
    session.add(report)
    assert clearance(session, home).clearance is Clearance.FIT_TO_USE
    edit_outlet(session, home, serial_or_batch="S-2")
    assert clearance(session, home).needs == (Need.INSPECTION,)
