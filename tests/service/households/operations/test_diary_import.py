"""Days of a diary taken in from CSV text."""

import pytest

from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.operations.diary_import import import_diary
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, furnished_home

pytestmark = pytest.mark.both_databases

TEXT = "on,miles\n2026-11-20,5\n2026-11-21,6.5\n"


def test_days_that_change_something_ask_for_a_new_plan_and_others_do_not(session: SchemeSession) -> None:
    home = furnished_home(session)
    session.commit()
    count = operations.get_household(session, home.id).change_counter
    import_diary(session, home.id, home.car_id, TEXT, is_dry_run=True, **WRITING)
    assert operations.get_household(session, home.id).change_counter == count
    import_diary(session, home.id, home.car_id, TEXT, is_dry_run=False, **WRITING)
    session.commit()
    assert operations.get_household(session, home.id).change_counter == count + 1
    import_diary(session, home.id, home.car_id, TEXT, is_dry_run=False, **WRITING)
    session.commit()
    assert operations.get_household(session, home.id).change_counter == count + 1
    kept = operations.list_days(session, home.id, home.car_id, since=NOON.date().replace(day=1))
    assert [(day.on_date.day, float(day.miles), day.source) for day in kept] == [(20, 5, "csv"), (21, 6.5, "csv")]


def test_a_faulty_text_keeps_nothing(session: SchemeSession) -> None:
    home = furnished_home(session)
    with pytest.raises(Rejected):
        import_diary(session, home.id, home.car_id, TEXT + "2026-12-01,5\n", is_dry_run=False, **WRITING)
    assert operations.list_days(session, home.id, home.car_id, since=NOON.date().replace(day=1)) == []


def test_another_homes_car_has_no_diary_here(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    with pytest.raises(NotFound):
        import_diary(session, home.id, other.car_id, TEXT, is_dry_run=False, **WRITING)
