"""Charging records of a home: kept, corrected, read by other features."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.common.errors import NotFound, Rejected
from service.households import operations
from service.households.domain.charging_records import ChargingDetails
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home

EVENING = datetime(2026, 11, 23, 23, 30, tzinfo=UTC)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home with one car."""
    return furnished_home(session)


def charge(home: FurnishedHome, **changes: Any) -> ChargingDetails:
    """Return a charge of four hours at the home's socket."""
    usual = {
        "vehicle_id": home.car_id,
        "outlet_id": home.outlet_id,
        "place": "home",
        "starts_at": EVENING,
        "ends_at": EVENING + timedelta(hours=4),
        "energy_wh": 9_200,
    }
    return ChargingDetails(**{**usual, **changes})


def test_a_record_is_kept_read_as_a_plain_value_and_written_down(session: SchemeSession, home: FurnishedHome) -> None:
    row = operations.add_charging_record(session, home.id, charge(home), **WRITING)
    (read,) = operations.list_charging(session, home.id, EVENING, NOON)
    assert (read.id, read.energy_wh, read.place, read.outlet_id) == (row.id, 9_200, "home", home.outlet_id)
    assert sum(wh for _, wh in read.by_slot()) == 9_200
    actions = session.scalars(select(AuditEntry.action).where(AuditEntry.subject_id == row.id)).all()
    assert actions == ["add"]


def test_a_record_changes_no_plan(session: SchemeSession, home: FurnishedHome) -> None:
    count = operations.get_household(session, home.id).change_counter
    operations.add_charging_record(session, home.id, charge(home), **WRITING)
    assert operations.get_household(session, home.id).change_counter == count


@pytest.mark.parametrize(
    ("from_h", "to_h", "count"), [(0, 4, 1), (3, 5, 1), (-2, 1, 1), (4, 5, 0), (-1, 0, 0)]
)
def test_a_period_has_the_records_that_reach_into_it(
    session: SchemeSession, home: FurnishedHome, from_h: int, to_h: int, count: int
) -> None:
    operations.add_charging_record(session, home.id, charge(home), **WRITING)
    period = EVENING + timedelta(hours=from_h), EVENING + timedelta(hours=to_h)
    assert len(operations.list_charging(session, home.id, *period)) == count
    assert operations.list_charging(session, home.id, *period, vehicle_id="f" * 32) == ()


def test_half_hours_come_back_as_they_were_told(session: SchemeSession, home: FurnishedHome) -> None:
    first = int(EVENING.timestamp()) // 1800
    told = ((first, 1_100), (first + 1, 900))
    operations.add_charging_record(session, home.id, charge(home, energy_wh=2_000, half_hours=told), **WRITING)
    session.commit()
    session.expire_all()
    assert operations.list_charging(session, home.id, EVENING, NOON)[0].by_slot() == told


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"vehicle_id": "f" * 32}, ["vehicle_id"]),
        ({"outlet_id": "f" * 32}, ["outlet_id"]),
        ({"energy_wh": 14_000}, ["energy_kwh"]),
        ({"starts_at": NOON - timedelta(hours=1), "ends_at": NOON + timedelta(hours=1), "energy_wh": 99_000},
         ["ends_at", "energy_kwh"]),
    ],
)  # fmt: skip
def test_what_cannot_have_been_is_refused_by_name(
    session: SchemeSession, home: FurnishedHome, changes: dict[str, Any], fields: list[str]
) -> None:
    with pytest.raises(Rejected) as refused:
        operations.add_charging_record(session, home.id, charge(home, **changes), **WRITING)
    assert [fault.field for fault in refused.value.faults] == fields


def test_an_overlapping_record_is_refused_and_an_edit_does_not_overlap_itself(
    session: SchemeSession, home: FurnishedHome
) -> None:
    row = operations.add_charging_record(session, home.id, charge(home), **WRITING)
    later = EVENING + timedelta(hours=2)
    over = charge(home, starts_at=later, ends_at=later + timedelta(hours=4))
    with pytest.raises(Rejected) as refused:
        operations.add_charging_record(session, home.id, over, **WRITING)
    assert [fault.field for fault in refused.value.faults] == ["starts_at"]
    changed = operations.change_charging_record(session, home.id, row.id, {"energy_wh": 8_000}, **WRITING)
    assert (changed.energy_wh, changed.version) == (8_000, 2)


def test_a_record_is_taken_out(session: SchemeSession, home: FurnishedHome) -> None:
    row = operations.add_charging_record(session, home.id, charge(home), **WRITING)
    operations.remove_charging_record(session, home.id, row.id, **WRITING)
    with pytest.raises(NotFound):
        operations.get_charging_record(session, home.id, row.id)


def test_pages_are_newest_first_with_their_total(session: SchemeSession, home: FurnishedHome) -> None:
    for days in range(5):
        start = EVENING - timedelta(days=days)
        operations.add_charging_record(
            session, home.id, charge(home, starts_at=start, ends_at=start + timedelta(hours=4)), **WRITING
        )
    rows, total = operations.list_charging_records(
        session, home.id, from_at=EVENING - timedelta(days=9), to_at=NOON, first=1, limit=2
    )
    assert total == 5
    assert [row.starts_at for row in rows] == [EVENING - timedelta(days=1), EVENING - timedelta(days=2)]
