"""Inspections: recorded, with what follows at once, and findings closed."""

from datetime import date
from typing import Any

import pytest
from sqlalchemy import select

from service.common.errors import Conflict, NotFound, Rejected
from service.households.operations import get_household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.clearance import Clearance
from service.safety.domain.rechecks import INSPECTION_RULE
from service.safety.models import ClearanceStatus, Recheck
from tests.factories.households import NOON, WRITING, furnished_home
from tests.factories.safety import inspect, inspection_details
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

LOOK_DUE_ON = date(2026, 12, 24)  # a month after the member's check of 24 November, long before the inspection lapses


def standing(session: SchemeSession, home_id: str) -> tuple[str, date | None, date | None]:
    """Return what lists show of a home."""
    row = session.scalars(select(ClearanceStatus).where(ClearanceStatus.household_id == home_id)).one()
    return row.clearance, row.valid_until_on, row.next_recheck_on


def rechecks(session: SchemeSession) -> list[tuple[date, date | None]]:
    """Return (due, done) of every recheck that an inspection set; the members' looks have theirs."""
    statement = select(Recheck).where(Recheck.rule == INSPECTION_RULE).order_by(Recheck.due_on)
    return [(row.due_on, row.done_on) for row in session.scalars(statement)]


def test_clearance_standing_and_next_recheck_follow_at_once(session: SchemeSession) -> None:
    home = furnished_home(session)
    session.commit()
    count = get_household(session, home.id).change_counter
    view = inspect(session, home.id, home.outlet_id, "C3")
    assert view.is_satisfactory
    assert standing(session, home.id) == ("fit_to_use", LOOK_DUE_ON, LOOK_DUE_ON)
    assert rechecks(session) == [(date(2031, 6, 1), None)]
    assert get_household(session, home.id).change_counter == count + 1


def test_an_inspection_of_another_homes_outlet_is_refused(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    with pytest.raises(Rejected) as refused:
        inspect(session, home.id, other.outlet_id)
    assert refused.value.faults[0].field == "outlet_id"
    with pytest.raises(NotFound):
        inspect(session, "0" * 32, home.outlet_id)


def test_an_inspection_that_has_not_been_yet_is_refused(session: SchemeSession) -> None:
    home = furnished_home(session)
    with pytest.raises(Rejected):
        inspect(session, home.id, home.outlet_id, inspected_on=date(2026, 11, 26))


def test_a_new_inspection_completes_the_recheck_that_the_last_one_set(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id, inspected_on=date(2021, 6, 1), next_due_on=date(2026, 6, 1))
    assert standing(session, home.id)[0] == "not_known"
    inspect(session, home.id, home.outlet_id, inspected_on=date(2026, 6, 20), next_due_on=date(2031, 6, 20))
    assert rechecks(session) == [(date(2026, 6, 1), date(2026, 6, 20)), (date(2031, 6, 20), None)]
    assert standing(session, home.id) == ("fit_to_use", LOOK_DUE_ON, LOOK_DUE_ON)


def test_an_older_inspection_entered_late_sets_no_recheck(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    inspect(session, home.id, home.outlet_id, inspected_on=date(2021, 6, 1), next_due_on=date(2026, 6, 1))
    assert rechecks(session) == [(date(2031, 6, 1), None)]
    assert standing(session, home.id)[0] == "fit_to_use"


def test_the_same_due_date_twice_is_one_open_recheck(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    inspect(session, home.id, home.outlet_id, inspected_on=date(2026, 7, 1), next_due_on=date(2027, 7, 1))
    inspect(session, home.id, home.outlet_id, inspected_on=date(2026, 8, 1))
    assert rechecks(session) == [(date(2027, 7, 1), date(2026, 8, 1)), (date(2031, 6, 1), None)]


def test_the_newest_inspection_is_listed_first(session: SchemeSession) -> None:
    home = furnished_home(session)
    for year in (2024, 2026, 2025):
        inspect(session, home.id, home.outlet_id, inspected_on=date(year, 6, 1), next_due_on=date(2031, 6, 1))
    listed = operations.list_inspections(session, home.id, at=NOON)
    assert [view.inspected_on.year for view in listed] == [2026, 2025, 2024]


def close(session: SchemeSession, home_id: str, inspection_id: str, position: int, on: date, **more: Any) -> Any:
    """Close a finding."""
    return operations.close_observation(session, home_id, inspection_id, position, on, **{**WRITING, **more})


def test_a_finding_put_right_gives_the_outlet_back(session: SchemeSession) -> None:
    home = furnished_home(session)
    view = inspect(session, home.id, home.outlet_id, "C3", "C2")
    assert (view.is_satisfactory, standing(session, home.id)[0]) == (False, "do_not_use")
    closed = close(session, home.id, view.id, 1, date(2026, 11, 20))
    assert (closed.is_satisfactory, standing(session, home.id)[0]) == (True, "fit_to_use")
    (outlet,) = operations.household_clearances(session, home.id, at=NOON)
    assert outlet.clearance is Clearance.FIT_TO_USE


def test_a_finding_is_closed_once(session: SchemeSession) -> None:
    home = furnished_home(session)
    view = inspect(session, home.id, home.outlet_id, "C2")
    close(session, home.id, view.id, 0, date(2026, 11, 20))
    close(session, home.id, view.id, 0, date(2026, 11, 20))
    with pytest.raises(Conflict):
        close(session, home.id, view.id, 0, date(2026, 11, 21))


def test_only_a_finding_that_is_there_can_be_closed(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    view = inspect(session, home.id, home.outlet_id, "C2")
    for home_id, inspection_id, position in (
        (home.id, view.id, 1), (home.id, "0" * 32, 0), (other.id, view.id, 0),
    ):
        with pytest.raises(NotFound):
            close(session, home_id, inspection_id, position, date(2026, 11, 20))
    with pytest.raises(Rejected):
        close(session, home.id, view.id, 0, date(2026, 11, 26))


def test_the_local_day_of_the_home_decides_what_is_in_the_future(session: SchemeSession) -> None:
    home = furnished_home(session, zone="Pacific/Auckland")
    details = inspection_details(home.outlet_id, inspected_on=date(2026, 11, 26))
    # Noon UTC is one in the morning of the next day in Auckland.
    assert operations.record_inspection(session, home.id, details, **WRITING).is_satisfactory


def test_of_people_who_close_one_finding_at_once_with_different_dates_the_first_is_believed(
    database: Database, scheme: str
) -> None:
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        view = inspect(session, home.id, home.outlet_id, "C2")

    def close_on(number: int) -> date | None:
        try:
            with database.scheme(scheme, write=True) as session:
                close(session, home.id, view.id, 0, date(2026, 11, 20 + number))
        except Conflict:
            return None
        return date(2026, 11, 20 + number)

    (believed,) = {found for found in at_once(4, close_on) if found}
    with database.scheme(scheme, write=False) as session:
        (kept,) = operations.list_inspections(session, home.id, at=NOON)
        assert kept.observations[0].closed_on == believed
