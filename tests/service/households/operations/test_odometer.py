"""Odometer readings as they are stored."""

from datetime import date
from decimal import Decimal

import pytest

from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.odometer import OdometerDetails
from service.households.operations.odometer import add_reading, get_odometer, remove_reading
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import WRITING, furnished_home

pytestmark = pytest.mark.both_databases

FIRST = OdometerDetails(date(2026, 11, 2), Decimal("20000.5"))
LATER = OdometerDetails(date(2026, 11, 9), Decimal(20100))


def test_readings_change_no_plan(session: SchemeSession) -> None:
    home = furnished_home(session)
    count = operations.get_household(session, home.id).change_counter
    add_reading(session, home.id, home.car_id, FIRST, **WRITING)
    assert operations.get_household(session, home.id).change_counter == count


def test_each_car_has_its_own_odometer(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    row = add_reading(session, home.id, home.car_id, LATER, **WRITING)
    add_reading(session, other.id, other.car_id, FIRST, **WRITING)
    assert [each.miles for each in get_odometer(session, home.id, home.car_id).readings] == [Decimal(20100)]
    with pytest.raises(NotFound):
        remove_reading(session, other.id, other.car_id, row.id, **WRITING)
    remove_reading(session, home.id, home.car_id, row.id, **WRITING)
    assert get_odometer(session, home.id, home.car_id).readings == []


def test_a_day_has_one_reading(session: SchemeSession) -> None:
    home = furnished_home(session)
    add_reading(session, home.id, home.car_id, FIRST, **WRITING)
    with pytest.raises(Rejected):
        add_reading(session, home.id, home.car_id, FIRST, **WRITING)
