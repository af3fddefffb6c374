"""Homes as planning reads them: complete, in order, and in a number of statements that does not grow."""

from datetime import date, timedelta
from decimal import Decimal

from service.households import operations
from service.households.domain.contract_details import ContractDetails, MeterWindow
from service.households.domain.diary import DatedJourney, WeeklyDeparture
from service.households.domain.homes import ContractInputs, JourneyLine, LeadInputs, OutletInputs, RoutineLine
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, car_details, furnished_home
from tests.factories.tariffs import counted_statements, night_draft, tariff_with


def test_a_home_comes_with_everything_a_plan_needs(session: SchemeSession) -> None:
    home = furnished_home(session, region="Northmere", payment="direct debit")
    tariff_id, _ = tariff_with(session, night_draft())
    windows = (MeterWindow("night", 0, 240),)
    operations.add_contract(
        session, home.id, ContractDetails(tariff_id, date(2026, 1, 1), None, "gmt", windows), **WRITING
    )
    operations.put_routine(session, home.id, home.car_id, [WeeklyDeparture(0, 450, 430, 1, Decimal("42.5"))], **WRITING)
    trip = DatedJourney(NOON + timedelta(days=1), NOON + timedelta(days=2), Decimal(120), True, False, "choir")
    journey = operations.add_journey(session, home.id, home.car_id, trip, **WRITING)
    operations.put_charge(session, home.id, home.car_id, 55, **WRITING)

    (found,) = operations.load_homes(session, [home.id], from_at=NOON)

    assert (found.reference, found.zone, found.nation) == ("H-1", "Europe/London", "england")
    assert (found.region, found.payment) == ("Northmere", "direct debit")
    assert found.change_counter == operations.get_household(session, home.id).change_counter
    assert found.contracts == (
        ContractInputs(tariff_id, date(2026, 1, 1), None, "gmt", {"night": [[0, 240]]}),
    )
    assert found.outlets == (
        OutletInputs(home.outlet_id, "garage socket", "socket_13a", None, "not_known", 10, 1, 1),
    )
    (car,) = found.cars
    assert (car.label, car.battery_wh, car.miles_per_kwh) == ("blue hatchback", 52_000, Decimal("3.6"))
    assert (car.ceiling_percent, car.reserve_percent) == (80, 20)
    assert (car.charge_percent, car.charge_read_at, car.outlet_id) == (55, NOON, home.outlet_id)
    assert car.lead == LeadInputs(home.lead_id, "portable lead", "mode_2", 10, 10)
    assert car.routine == (RoutineLine(0, 450, 430, 1, Decimal("42.5")),)
    assert car.journeys == (
        JourneyLine(journey.id, trip.leaves_at, trip.returns_at, Decimal(120), True, False),
    )


def test_journeys_that_are_over_are_left_out(session: SchemeSession) -> None:
    home = furnished_home(session)
    trip = DatedJourney(NOON, NOON + timedelta(hours=5), Decimal(10))
    operations.add_journey(session, home.id, home.car_id, trip, **WRITING)
    (during,) = operations.load_homes(session, [home.id], from_at=trip.returns_at - timedelta(seconds=1))
    (after,) = operations.load_homes(session, [home.id], from_at=trip.returns_at)
    assert (len(during.cars[0].journeys), len(after.cars[0].journeys)) == (1, 0)


def test_homes_come_in_the_order_asked_for_and_unknown_ones_are_left_out(session: SchemeSession) -> None:
    first, second = furnished_home(session), furnished_home(session, reference="H-2")
    operations.add_vehicle(session, second.id, car_details(label="green estate"), **WRITING)
    found = operations.load_homes(session, [second.id, "0" * 32, first.id], from_at=NOON)
    assert [home.reference for home in found] == ["H-2", "H-1"]
    assert [[car.ordinal for car in home.cars] for home in found] == [[1, 2], [1]]
    assert operations.load_homes(session, [], from_at=NOON) == []


def test_the_number_of_statements_does_not_grow_with_the_homes(session: SchemeSession) -> None:
    ids = [furnished_home(session, reference=f"H-{number}").id for number in range(6)]
    counts = []
    for wanted in (ids[:1], ids):
        with counted_statements(session) as statements:
            assert len(operations.load_homes(session, wanted, from_at=NOON)) == len(wanted)
        counts.append(len(statements))
    assert counts == [11, 11]
