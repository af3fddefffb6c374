"""Cars of a home and their state of charge."""

from datetime import timedelta

import pytest
from sqlalchemy import func, select

from service.common.errors import Forbidden, NotFound, Rejected
from service.households import operations
from service.households.domain.diary import DatedJourney, WeeklyDeparture
from service.households.models import Journey, RoutineDeparture
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, car_details, furnished_home, lead_details, open_home


def test_cars_come_first_in_the_order_they_were_added(session: SchemeSession) -> None:
    home = furnished_home(session)
    operations.add_vehicle(session, home.id, car_details(label="green estate"), **WRITING)
    operations.remove_vehicle(session, home.id, home.car_id, **WRITING)
    operations.add_vehicle(session, home.id, car_details(label="third"), **WRITING)
    assert [(car.ordinal, car.label) for car in operations.list_vehicles(session, home.id)] == [
        (2, "green estate"), (3, "third"),
    ]


def test_a_car_is_fed_by_its_own_home(session: SchemeSession) -> None:
    home, elsewhere = furnished_home(session), open_home(session, reference="H-2")
    with pytest.raises(Rejected) as refused:
        operations.add_vehicle(
            session, elsewhere, car_details(outlet_id=home.outlet_id, lead_id=home.lead_id), **WRITING
        )
    assert [fault.field for fault in refused.value.faults] == ["outlet_id", "lead_id"]


def test_a_lead_must_fit_the_outlet(session: SchemeSession) -> None:
    home = furnished_home(session)
    cable = operations.add_lead(session, home.id, lead_details(kind="mode_3_cable"), **WRITING)
    with pytest.raises(Rejected) as refused:
        operations.change_vehicle(session, home.id, home.car_id, {"lead_id": cable.id}, **WRITING)
    assert refused.value.faults[0].field == "lead_id"


def test_a_member_changes_limits_but_not_what_the_car_is(session: SchemeSession) -> None:
    home = furnished_home(session)
    only = operations.OWN_FIELDS
    car = operations.change_vehicle(session, home.id, home.car_id, {"ceiling_percent": 90}, only=only, **WRITING)
    assert car.ceiling_percent == 90
    with pytest.raises(Forbidden, match="battery_wh"):
        operations.change_vehicle(session, home.id, home.car_id, {"battery_wh": 60_000}, only=only, **WRITING)


def test_a_removed_car_takes_its_diary_along(session: SchemeSession) -> None:
    home = furnished_home(session)
    line = WeeklyDeparture(0, 450, 1065, 0, car_details().miles_per_kwh)
    operations.put_routine(session, home.id, home.car_id, [line], **WRITING)
    trip = DatedJourney(NOON, NOON + timedelta(hours=5), car_details().miles_per_kwh)
    operations.add_journey(session, home.id, home.car_id, trip, **WRITING)
    operations.remove_vehicle(session, home.id, home.car_id, **WRITING)
    session.commit()
    assert session.scalar(select(func.count()).select_from(RoutineDeparture)) == 0
    assert session.scalar(select(func.count()).select_from(Journey)) == 0
    with pytest.raises(NotFound):
        operations.get_vehicle(session, home.id, home.car_id)


def test_a_reading_is_noted_with_its_instant_and_is_no_edit_of_the_car(session: SchemeSession) -> None:
    home = furnished_home(session)
    assert operations.get_charge(session, home.id, home.car_id).version == "none"
    session.commit()
    count = operations.get_household(session, home.id).change_counter
    reading = operations.put_charge(session, home.id, home.car_id, 55, **WRITING)
    assert (reading.percent, reading.read_at) == (55, NOON)
    assert operations.get_charge(session, home.id, home.car_id) == reading
    assert operations.get_vehicle(session, home.id, home.car_id).version == 1
    assert operations.get_household(session, home.id).change_counter == count + 1


def test_the_same_charge_read_later_is_another_reading(session: SchemeSession) -> None:
    home = furnished_home(session)
    first = operations.put_charge(session, home.id, home.car_id, 55, **WRITING)
    later = operations.put_charge(session, home.id, home.car_id, 55, by=None, at=NOON + timedelta(minutes=1))
    assert first.version != later.version


def test_a_charge_no_battery_has_is_refused(session: SchemeSession) -> None:
    home = furnished_home(session)
    with pytest.raises(Rejected):
        operations.put_charge(session, home.id, home.car_id, 101, **WRITING)
