"""What a home was charged with, read from what is stored."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.advice.operations.charged import get_charged
from service.common.errors import NotFound, Rejected
from service.common.slots import slot_index
from service.households import operations
from service.households.domain.charging_records import ChargingDetails
from service.households.domain.contract_details import ContractDetails
from service.households.domain.diary_days import DiaryEntry
from service.households.models import OdometerReading
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import Plan
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.tariffs import night_draft, tariff_with

MONDAY = date(2026, 11, 16)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home on a night tariff: 9.5 p from 00:30 to 05:30, 31 p otherwise."""
    home = furnished_home(session)
    tariff_id, _ = tariff_with(session, night_draft())
    operations.add_contract(session, home.id, ContractDetails(tariff_id, date(2026, 1, 1)), **WRITING)
    return home


def charge(session: SchemeSession, home: FurnishedHome, start: datetime, **changes: Any) -> None:
    """Keep a charge of two hours."""
    values = {"ends_at": start + timedelta(hours=2), "energy_wh": 4_600, "place": "home", **changes}
    operations.add_charging_record(
        session, home.id, ChargingDetails(vehicle_id=home.car_id, starts_at=start, **values), **WRITING
    )


def test_days_have_energy_at_the_price_then_in_force(session: SchemeSession, home: FurnishedHome) -> None:
    charge(session, home, datetime(2026, 11, 17, 0, 30, tzinfo=UTC))
    charge(session, home, datetime(2026, 11, 17, 18, 0, tzinfo=UTC))
    found = get_charged(session, home.id, from_on=MONDAY, to_on=date(2026, 11, 18), at=NOON)
    assert [day.home_wh for day in found.days] == [0, 9_200, 0]
    assert found.totals.cost_up == 4_600 * 9_500_000 // 1000 + 4_600 * 31_000_000 // 1000
    assert found.totals.outside_cheap_wh == 4_600
    # Nobody knows of a departure: the evening's energy would have fitted into the night after it.
    assert found.totals.dearer_up == 4_600 * (31_000_000 - 9_500_000) // 1000


def test_without_dates_it_is_the_last_fortnight_to_today(session: SchemeSession, home: FurnishedHome) -> None:
    found = get_charged(session, home.id, from_on=None, to_on=None, at=NOON)
    assert (found.days[0].on, found.days[-1].on, len(found.days)) == (date(2026, 11, 12), date(2026, 11, 25), 14)


@pytest.mark.parametrize(
    ("from_on", "to_on", "field"),
    [
        (date(2026, 11, 25), date(2026, 11, 24), "from_on"),
        (date(2026, 8, 24), date(2026, 11, 24), "from_on"),
        (None, date(2026, 11, 26), "to_on"),
    ],
)
def test_a_period_that_cannot_be_is_refused(
    session: SchemeSession, home: FurnishedHome, from_on: date | None, to_on: date, field: str
) -> None:
    with pytest.raises(Rejected) as refused:
        get_charged(session, home.id, from_on=from_on, to_on=to_on, at=NOON)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_an_unknown_home_is_not_found(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        get_charged(session, "f" * 32, from_on=None, to_on=None, at=NOON)


def test_a_week_without_a_record_is_estimated_from_diary_and_odometer(
    session: SchemeSession, home: FurnishedHome
) -> None:
    operations.enter_days(session, home.id, home.car_id, [DiaryEntry(MONDAY, Decimal(42))], **WRITING)
    for on, miles in ((date(2026, 11, 15), 1000), (date(2026, 11, 18), 1082)):
        session.add(OdometerReading(household_id=home.id, vehicle_id=home.car_id, read_on=on, miles=Decimal(miles)))
    session.flush()
    found = get_charged(session, home.id, from_on=MONDAY, to_on=date(2026, 11, 22), at=NOON)
    # 10 A on a portable lead: 84 % of it reaches the battery.
    assert [(each.basis, each.energy_wh) for each in found.estimates] == [
        ("diary", 13_889), ("odometer", 6_614), ("odometer", 6_614),
    ]  # fmt: skip
    charge(session, home, datetime(2026, 11, 21, 18, 0, tzinfo=UTC))
    assert get_charged(session, home.id, from_on=MONDAY, to_on=date(2026, 11, 20), at=NOON).estimates == ()


def test_a_kept_plan_stands_beside_what_was_charged(session: SchemeSession, home: FurnishedHome) -> None:
    night = slot_index(datetime(2026, 11, 17, 0, 30, tzinfo=UTC))
    midnight = night - 1
    session.add(
        Plan(
            household_id=home.id, input_fingerprint="a" * 64, terms_fingerprint="b" * 64,
            computed_at=datetime(2026, 11, 16, 12, tzinfo=UTC), first_slot=midnight, end_slot=midnight + 336,
            schedule=[{"vehicle_id": home.car_id, "blocks": [[night, [1_150, 1_150]]]}],
        )
    )  # fmt: skip
    session.flush()
    found = get_charged(session, home.id, from_on=MONDAY, to_on=date(2026, 11, 17), at=NOON)
    assert [day.planned_wh for day in found.days] == [None, 2_300]
