"""What a claim at actual cost rests on: metered half-hours at home, the prices of that time, all miles of the month."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from service.common.errors import Rejected
from service.common.slots import slot_index
from service.households import operations as households
from service.households.domain.contract_details import ContractDetails
from service.households.domain.diary_days import DiaryEntry
from service.households.models import ChargingRecord, OdometerReading
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.actual_cost import AllMiles
from service.reimbursement.domain.advisory import MonthEnergy
from service.reimbursement.domain.kinds import HeldAs
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.operations import claims, holdings, rules, trips
from service.reimbursement.operations.home_cost import load_car_months, load_month_energy
from service.reimbursement.operations.trips import Owner
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.reminders import add_person
from tests.factories.tariffs import night_draft, tariff_with

pytestmark = pytest.mark.both_databases

OCTOBER = Month.read("2026-10")


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home that pays 9.5 p from 00:30 to 05:30 and 31 p otherwise, from the 1st; 8 p at night from the 16th."""
    found = furnished_home(session)
    tariff_id, _ = tariff_with(session, night_draft(), night_draft("8", on=date(2026, 10, 16)))
    households.add_contract(session, found.id, ContractDetails(tariff_id, date(2026, 1, 1)), **WRITING)
    return found


def record(home: FurnishedHome, starts_at: datetime, *energies_wh: int, **changes: Any) -> ChargingRecord:
    first = slot_index(starts_at)
    usual: dict[str, Any] = {
        "household_id": home.id, "vehicle_id": home.car_id, "place": "home", "starts_at": starts_at,
        "ends_at": starts_at + timedelta(minutes=30 * len(energies_wh)), "energy_wh": sum(energies_wh),
        "is_metered": True, "half_hours": [[first + place, wh] for place, wh in enumerate(energies_wh)],
        "source": "typed", "created_at": NOON,
    }  # fmt: skip
    return ChargingRecord(**{**usual, **changes})


def read(session: SchemeSession, home: FurnishedHome) -> Any:
    return load_car_months(session, home.id, [home.car_id], OCTOBER)[home.car_id]


def test_each_half_hour_has_the_price_of_its_time(session: SchemeSession, home: FurnishedHome) -> None:
    # In summer time 00:00Z is 01:00 at home; the window ends at 05:30, which is 04:30Z.
    session.add(record(home, datetime(2026, 10, 2, 4, tzinfo=UTC), 1000, 1000))
    session.add(record(home, datetime(2026, 10, 20, 1, tzinfo=UTC), 1000))
    session.flush()
    assert read(session, home).cost_pence == Fraction("9.5") + 31 + 8


def test_the_night_of_the_clock_change_is_priced_hour_by_hour(session: SchemeSession, home: FurnishedHome) -> None:
    # 25 October: from 23:30Z (00:30) to 05:30Z (05:30 in winter time) are six hours of night price.
    session.add(record(home, datetime(2026, 10, 24, 23, 30, tzinfo=UTC), *[1000] * 13))
    session.flush()
    assert read(session, home).cost_pence == 12 * 8 + 31


def test_a_record_of_days_that_began_on_the_last_one_is_priced_to_its_end(
    session: SchemeSession, home: FurnishedHome
) -> None:
    # 31 October 12:00 to 3 November 12:00, in winter time: 31 p, and 8 p from 00:30 to 05:30 of three nights.
    session.add(record(home, datetime(2026, 10, 31, 12, tzinfo=UTC), *[1000] * 144))
    session.flush()
    assert read(session, home).cost_pence == 30 * 8 + 114 * 31


def test_only_what_was_metered_at_home_half_hour_by_half_hour_counts(
    session: SchemeSession, home: FurnishedHome
) -> None:
    start = datetime(2026, 10, 2, 1, tzinfo=UTC)
    session.add_all(
        [
            record(home, start, 1000),
            record(home, start + timedelta(days=1), 2000, is_metered=False),
            record(home, start + timedelta(days=2), 3000, half_hours=[]),
            record(home, start + timedelta(days=3), 4000, place="public"),
            record(home, start + timedelta(days=4), 5000, place="work"),
            record(home, start - timedelta(days=30), 6000),
        ]
    )
    session.flush()
    electricity = read(session, home).electricity
    assert (electricity.wh_by_slot, electricity.unmetered_wh) == ({slot_index(start): 1000}, 5000)
    energy = load_month_energy(session, home.id, OCTOBER)
    assert energy == {home.car_id: MonthEnergy(home_wh=6000, public_wh=4000, work_wh=5000)}


def test_all_miles_come_from_the_odometer_near_both_ends_or_a_whole_diary(
    session: SchemeSession, home: FurnishedHome
) -> None:
    assert read(session, home).all_miles is None
    days = [DiaryEntry(date(2026, 10, day), Decimal(day % 3)) for day in range(1, 32)]
    households.enter_days(session, home.id, home.car_id, days[:-1], **WRITING)
    assert read(session, home).all_miles is None, "the diary lacks a day"
    households.enter_days(session, home.id, home.car_id, days[-1:], **WRITING)
    assert read(session, home).all_miles == AllMiles(Decimal(31), "by the diary of each day")
    for on, miles in ((date(2026, 9, 28), "1000"), (date(2026, 9, 30), "1010.5"), (date(2026, 11, 5), "2000")):
        session.add(OdometerReading(household_id=home.id, vehicle_id=home.car_id, read_on=on, miles=Decimal(miles)))
    session.flush()
    assert read(session, home).all_miles.known_by == "by the diary of each day", "no reading is near the month's end"
    session.add(
        OdometerReading(household_id=home.id, vehicle_id=home.car_id, read_on=date(2026, 11, 2), miles=Decimal(1900))
    )
    session.flush()
    assert read(session, home).all_miles == AllMiles(
        Decimal("889.5"), "by the odometer at the end of 2026-09-30 and 2026-11-02"
    )


def test_a_reading_stands_at_the_end_of_its_day(session: SchemeSession, home: FurnishedHome) -> None:
    # 300 miles on 1 October itself and 50 on 1 November: the month lies between the ends of two last days.
    for on, miles in (
        (date(2026, 9, 30), "1000"), (date(2026, 10, 1), "1300"), (date(2026, 10, 31), "1900"),
        (date(2026, 11, 1), "1950"),
    ):  # fmt: skip
        session.add(OdometerReading(household_id=home.id, vehicle_id=home.car_id, read_on=on, miles=Decimal(miles)))
    session.flush()
    assert read(session, home).all_miles == AllMiles(
        Decimal(900), "by the odometer at the end of 2026-09-30 and 2026-10-31"
    )


@pytest.mark.parametrize("is_same_member", [True, False])
def test_a_second_claim_of_the_cars_month_never_takes_more_than_is_left_of_all_miles(
    session: SchemeSession, home: FurnishedHome, is_same_member: bool
) -> None:
    owner = Owner(add_person(session, "Ada Fell", home.id), home.id)
    other = owner if is_same_member else Owner(add_person(session, "Bo Lark", home.id), home.id)
    rules.add_rule(session, SchemeRule(date(2026, 1, 1), "actual_cost"), **WRITING)
    holdings.add_holding(
        session, home.id, vehicle_id=home.car_id, from_on=date(2026, 1, 1), held_as=HeldAs.COMPANY_CAR, **WRITING
    )
    session.add(record(home, datetime(2026, 10, 2, 0, tzinfo=UTC), *[1150] * 8))
    days = [DiaryEntry(date(2026, 10, day), Decimal(20)) for day in range(1, 32)]
    households.enter_days(session, home.id, home.car_id, days, **WRITING)
    for who, miles in ((owner, 400), (other, 300)):
        trip = TripDetails(date(2026, 10, 5), "A", "B", "C", Decimal(miles))
        trips.add_trip(session, who, home.car_id, trip, **WRITING)
        drafted = claims.draft(session, who, OCTOBER, trip_ids=None, home_percents={}, **WRITING)
        if miles == 400:
            claims.send(session, who, drafted.claim.id, **WRITING)
    with pytest.raises(Rejected, match="700"):
        claims.send(session, other, drafted.claim.id, **WRITING)


def test_a_claim_at_actual_cost_is_the_months_cost_by_its_miles(session: SchemeSession, home: FurnishedHome) -> None:
    member = add_person(session, "Ada Fell", home.id)
    owner = Owner(member, home.id)
    rules.add_rule(session, SchemeRule(date(2026, 1, 1), "actual_cost"), **WRITING)
    holdings.add_holding(
        session, home.id, vehicle_id=home.car_id, from_on=date(2026, 1, 1), held_as=HeldAs.COMPANY_CAR, **WRITING
    )
    session.add(record(home, datetime(2026, 10, 2, 0, tzinfo=UTC), *[1150] * 8))
    days = [DiaryEntry(date(2026, 10, day), Decimal(20)) for day in range(1, 32)]
    households.enter_days(session, home.id, home.car_id, days, **WRITING)
    trip = TripDetails(date(2026, 10, 5), "A", "B", "C", Decimal(310))
    trips.add_trip(session, owner, home.car_id, trip, **WRITING)
    drafted = claims.draft(session, owner, OCTOBER, trip_ids=None, home_percents={}, **WRITING)
    sent = claims.send(session, owner, drafted.claim.id, **WRITING)
    # 9.2 kWh at 9.5 p are 87.4 p; half of the month's 620 miles were for work.
    assert sent.claim.total_pence == 44
    assert [line["kind"] for line in sent.reckoning["lines"]] == ["actual_cost"]
