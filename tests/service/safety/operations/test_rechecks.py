"""Rechecks: set, listed as due, and done."""

from datetime import date, timedelta

import pytest
from sqlalchemy import select

from service.common.errors import Conflict, NotFound, Rejected
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.operations import add_circuit, remove_vehicle
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.evidence import RecheckItem
from service.safety.domain.rechecks import Task
from service.safety.models import Check, ClearanceStatus
from service.safety.operations import RecheckView
from tests.conftest import NOON
from tests.factories.households import WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

YEARLY = "yearly look at a portable lead (test rule)"


def due(session: SchemeSession, home: FurnishedHome, on: date = date(2026, 12, 1)) -> RecheckView:
    """Set a recheck of the home's lead."""
    return operations.schedule_recheck(
        session, home.id, item_kind=RecheckItem.LEAD, item_id=home.lead_id, due_on=on, rule=YEARLY, **WRITING
    )


def test_a_recheck_names_its_item_and_shows_in_the_standing(session: SchemeSession) -> None:
    home = furnished_home(session)
    assert due(session, home).item_label == "portable lead"
    assert session.scalars(select(ClearanceStatus)).one().next_recheck_on == date(2026, 12, 1)


def test_the_same_date_again_is_the_same_recheck(session: SchemeSession) -> None:
    home = furnished_home(session)
    assert due(session, home) == due(session, home)
    assert len(operations.list_rechecks(session, home.id)) == 1


def test_circuits_and_devices_fall_due_too(session: SchemeSession) -> None:
    home = furnished_home(session)
    runs = (RunDetails("board", device="RCD type A"),)
    circuit = add_circuit(session, home.id, CircuitDetails("garage radial", runs), **WRITING)
    for kind, item_id in ((RecheckItem.CIRCUIT, circuit.id), (RecheckItem.DEVICE, circuit.runs[0].id)):
        operations.schedule_recheck(
            session, home.id, item_kind=kind, item_id=item_id, due_on=date(2027, 1, 1), rule="test rule", **WRITING
        )
    labels = {view.item_kind: view.item_label for view in operations.list_rechecks(session, home.id)}
    assert labels == {"circuit": "garage radial", "device": "RCD type A"}


def test_an_item_of_another_home_or_kind_is_refused(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    for kind, item_id in ((RecheckItem.LEAD, other.lead_id), (RecheckItem.OUTLET, home.lead_id)):
        with pytest.raises(Rejected) as refused:
            operations.schedule_recheck(
                session, home.id, item_kind=kind, item_id=item_id, due_on=date(2027, 1, 1), rule="x", **WRITING
            )
        assert refused.value.faults[0].field == "item_id"


def test_a_recheck_is_done_once(session: SchemeSession) -> None:
    home = furnished_home(session)
    recheck = due(session, home)
    for _ in range(2):
        done = operations.complete_recheck(session, home.id, recheck.id, date(2026, 11, 24), **WRITING)
        assert done.done_on == date(2026, 11, 24)
    with pytest.raises(Conflict):
        operations.complete_recheck(session, home.id, recheck.id, date(2026, 11, 23), **WRITING)
    assert session.scalars(select(ClearanceStatus)).one().next_recheck_on is None


def test_nothing_is_done_in_the_future_or_in_another_home(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    recheck = due(session, home)
    with pytest.raises(Rejected):
        operations.complete_recheck(session, home.id, recheck.id, date(2026, 11, 26), **WRITING)
    with pytest.raises(NotFound):
        operations.complete_recheck(session, other.id, recheck.id, date(2026, 11, 24), **WRITING)


def test_a_date_alone_never_completes_an_inspection_that_is_due(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id, inspected_on=date(2021, 6, 1), next_due_on=date(2026, 6, 1))
    rechecks = [each for each in operations.list_rechecks(session, home.id) if each.task is Task.INSPECTION]
    assert rechecks
    for recheck in rechecks:
        with pytest.raises(operations.InspectionNeeded):
            operations.complete_recheck(session, home.id, recheck.id, date(2026, 11, 24), **WRITING)


def test_a_date_alone_never_completes_a_check_that_is_due(session: SchemeSession) -> None:
    home = furnished_home(session)
    made = Check(
        household_id=home.id, outlet_id=home.outlet_id, lead_id=None, made_at=NOON - timedelta(days=40), answers=[],
        is_clear=True,
    )  # fmt: skip
    session.add(made)
    operations.set_rechecks(session, [home.id], at=NOON)
    (recheck,) = [each for each in operations.list_rechecks(session, home.id) if each.item_id == home.outlet_id]
    assert (recheck.task, recheck.source) == (Task.CHECK, "common practice, no source")
    with pytest.raises(operations.CheckNeeded):
        operations.complete_recheck(session, home.id, recheck.id, date(2026, 11, 24), **WRITING)


def test_what_is_due_is_listed_by_date_with_its_home(session: SchemeSession) -> None:
    first, second = furnished_home(session), furnished_home(session, reference="H-2", zone="Europe/Berlin")
    late, soon, far = date(2026, 11, 1), date(2026, 12, 25), date(2026, 12, 26)
    due(session, first, soon)
    due(session, second, late)
    due(session, second, far)
    done = due(session, first, date(2026, 10, 1))
    operations.complete_recheck(session, first.id, done.id, date(2026, 10, 1), **WRITING)
    listed = operations.list_due(session, until_on=soon)
    assert [(each.recheck.due_on, each.reference, each.zone) for each in listed] == [
        (late, "H-2", "Europe/Berlin"), (soon, "H-1", "Europe/London"),
    ]
    assert len(operations.list_due(session, until_on=soon, household_id=first.id)) == 1


def test_a_car_that_leaves_takes_no_recheck_along(session: SchemeSession) -> None:
    home = furnished_home(session)
    due(session, home)
    remove_vehicle(session, home.id, home.car_id, **WRITING)
    assert [view.item_label for view in operations.list_rechecks(session, home.id)] == ["portable lead"]


def test_of_people_who_complete_one_recheck_at_once_with_different_dates_the_first_is_believed(
    database: Database, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        recheck = due(session, home)

    def complete(number: int) -> date | None:
        done_on = date(2026, 11, 20 + number)
        try:
            with database.scheme(scheme, write=True) as session:
                operations.complete_recheck(session, home.id, recheck.id, done_on, **WRITING)
        except Conflict:
            return None
        return done_on

    (believed,) = {found for found in at_once(4, complete) if found}
    with database.scheme(scheme, write=False) as session:
        assert [each.done_on for each in operations.list_rechecks(session, home.id)] == [believed]
