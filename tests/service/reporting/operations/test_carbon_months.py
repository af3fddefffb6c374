"""The stored months of cars: local months, places and meters told apart, whole miles or not."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from service.infrastructure.db.sessions import SchemeSession
from service.reporting.domain.carbon import CarMonth, Period
from service.reporting.operations.carbon_months import load_car_months
from tests.factories.driving import add_charge, add_diary, add_odometer
from tests.factories.households import FurnishedHome, furnished_home

pytestmark = pytest.mark.both_databases
TODAY = date(2026, 11, 25)
PERIOD = Period(date(2026, 9, 1), date(2026, 12, 1))


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    return furnished_home(session)


def months(session: SchemeSession, home: FurnishedHome | None, period: Period = PERIOD) -> list[CarMonth]:
    session.flush()
    found = load_car_months(
        session, period, before=TODAY, today=TODAY, household_id=home.id if home is not None else None
    )
    return [month for _, month in found]


def test_energy_is_told_apart_by_place_and_meter(session: SchemeSession, home: FurnishedHome) -> None:
    for energy_wh, changes in (
        (1_000, {}), (200, {}), (30, {"is_metered": False}), (4_000, {"place": "public"}), (500, {"place": "work"})
    ):
        add_charge(session, home, datetime(2026, 10, 3, energy_wh % 23, tzinfo=UTC), energy_wh, **changes)
    october = months(session, home)[1]
    assert (october.metered_wh, october.stated_wh, october.away_wh) == (1_200, 30, 4_500)
    assert (october.month_on, october.miles) == (date(2026, 10, 1), None)


def test_a_record_belongs_to_the_local_month_that_it_starts_in(session: SchemeSession, home: FurnishedHome) -> None:
    # London is an hour ahead of UTC in September: 23:30 UTC is already October there.
    add_charge(session, home, datetime(2026, 9, 30, 22, 30, tzinfo=UTC), 1)
    add_charge(session, home, datetime(2026, 9, 30, 23, 30, tzinfo=UTC), 10)
    add_charge(session, home, datetime(2026, 8, 31, 22, 59, tzinfo=UTC), 100)
    add_charge(session, home, datetime(2026, 8, 31, 23, 0, tzinfo=UTC), 1_000)
    add_charge(session, home, datetime(2026, 11, 25, 0, 0, tzinfo=UTC), 10_000)  # today is not over
    assert [month.metered_wh for month in months(session, home)] == [1_001, 10, 0]


def test_a_diary_is_whole_only_with_each_day_that_is_over(session: SchemeSession, home: FurnishedHome) -> None:
    add_diary(session, home, date(2026, 10, 30), "10.1", "20.2", *["1.5"] * 24)
    september, october, november = months(session, home)
    assert (september.miles, september.are_miles_whole) == (None, False)
    assert (october.miles, october.are_miles_whole) == (Decimal("30.3"), False)
    assert (november.miles, november.are_miles_whole) == (Decimal("36.0"), True)


def test_an_odometer_that_reaches_over_a_month_stands_before_the_diary(
    session: SchemeSession, home: FurnishedHome
) -> None:
    add_odometer(session, home, on_2026_08_22="1000", on_2026_10_01="1400", on_2026_11_01="1710.5")
    add_diary(session, home, date(2026, 10, 1), "5", "6")
    add_diary(session, home, date(2026, 11, 1), "7")
    found = [(month.miles, month.are_miles_whole) for month in months(session, home)]
    assert found == [(Decimal("300.0"), True), (Decimal("310.5"), True), (Decimal("7.0"), False)]


def test_the_efficiency_is_that_of_outlet_and_lead_or_else_of_a_socket(
    session: SchemeSession, home: FurnishedHome
) -> None:
    assert {month.efficiency_permille for month in months(session, home)} == {840}
    assert {month.miles_per_kwh for month in months(session, home)} == {Decimal("3.6")}


def test_all_homes_come_with_their_own_and_another_home_stays_apart(
    session: SchemeSession, home: FurnishedHome
) -> None:
    other = furnished_home(session, reference="H-2", zone="Europe/Berlin")
    add_charge(session, home, datetime(2026, 9, 30, 22, 30, tzinfo=UTC), 7)
    add_charge(session, other, datetime(2026, 9, 30, 22, 30, tzinfo=UTC), 9)  # October in Berlin
    assert [month.metered_wh for month in months(session, home)] == [7, 0, 0]
    assert [month.metered_wh for month in months(session, other)] == [0, 9, 0]
    everywhere = {(month.vehicle_id, month.month_on.month): month.metered_wh for month in months(session, None)}
    assert everywhere[home.car_id, 9] == 7 and everywhere[other.car_id, 10] == 9
    assert sum(everywhere.values()) == 16


def test_a_period_that_is_not_over_anywhere_has_no_months(session: SchemeSession, home: FurnishedHome) -> None:
    assert months(session, home, Period(date(2027, 1, 1), date(2027, 2, 1))) == []


def test_a_reading_stands_at_the_end_of_its_day(session: SchemeSession, home: FurnishedHome) -> None:
    # 300 miles on 1 October: they are October's, and the last days of two months reach over the one between.
    add_odometer(session, home, on_2026_09_30="1000", on_2026_10_01="1300", on_2026_10_31="1900")
    assert [(month.miles, month.are_miles_whole) for month in months(session, home)] == [
        (None, False), (Decimal("900.0"), True), (None, False)
    ]  # fmt: skip
