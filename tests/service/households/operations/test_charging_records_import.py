"""Charging records from tables and from a charging point's own account: all of them or none."""

from datetime import UTC, datetime

import pytest
from sqlalchemy import func, select

from service.common.errors import Conflict, Rejected
from service.households import operations
from service.households.domain.charging_records import ChargingDetails
from service.households.models import ChargingRecord
from service.households.operations import charging_records
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import WRITING, FurnishedHome, car_details, furnished_home

HEADER = "starts_at,ends_at,energy_kwh,place,external_id"
FIRST = "2026-11-20 00:30,2026-11-20 04:30,9.2,home,A-1"
SECOND = "2026-11-21 00:30,2026-11-21 04:30,8.8,home,A-2"
CDR = {
    "country_code": "GB", "party_id": "XXX", "id": "1", "start_date_time": "2026-11-22T00:30:00Z",
    "end_date_time": "2026-11-22T02:30:00Z", "cdr_token": {}, "auth_method": "WHITELIST", "cdr_location": {},
    "currency": "GBP", "total_cost": {"excl_vat": 1.0}, "total_energy": 4.5, "total_time": 2.0,
    "last_updated": "2026-11-22T03:00:00Z", "home_charging_compensation": True,
    "charging_periods": [
        {"start_date_time": "2026-11-22T00:30:00Z", "dimensions": [{"type": "ENERGY", "volume": 4.5}]}
    ],
}  # fmt: skip


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home with one car."""
    return furnished_home(session)


def csv(*rows: str) -> str:
    return "\n".join((HEADER, *rows))


def count(session: SchemeSession) -> int:
    return session.scalar(select(func.count()).select_from(ChargingRecord)) or 0


def test_a_dry_run_checks_all_and_keeps_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    done = operations.import_charging_csv(session, home.id, csv(FIRST, SECOND), is_dry_run=True, **WRITING)
    assert (done.is_dry_run, done.added_count, done.skipped_count, done.added_wh) == (True, 2, 0, 18_000)
    assert (done.first_at, done.last_at) == (
        datetime(2026, 11, 20, 0, 30, tzinfo=UTC),
        datetime(2026, 11, 21, 4, 30, tzinfo=UTC),
    )
    assert count(session) == 0


def test_records_that_the_home_has_already_are_skipped_and_counted(
    session: SchemeSession, home: FurnishedHome
) -> None:
    operations.import_charging_csv(session, home.id, csv(FIRST), is_dry_run=False, **WRITING)
    again = operations.import_charging_csv(session, home.id, csv(FIRST, SECOND, SECOND), is_dry_run=False, **WRITING)
    assert (again.added_count, again.skipped_count, again.added_wh) == (1, 2, 8_800)
    assert count(session) == 2
    assert {row.source for row in session.scalars(select(ChargingRecord))} == {"csv"}


def test_one_bad_row_keeps_all_out_and_is_named_by_line_and_column(session: SchemeSession, home: FurnishedHome) -> None:
    too_much = "2026-11-22 00:30,2026-11-22 04:30,19,home,A-3"
    ahead = "2026-12-22 00:30,2026-12-22 04:30,9,home,A-4"
    over = "2026-11-20 03:00,2026-11-20 05:00,4,home,A-5"
    with pytest.raises(Rejected) as refused:
        operations.import_charging_csv(
            session, home.id, csv(FIRST, too_much, ahead, over), is_dry_run=False, **WRITING
        )
    found = [(fault.field, fault.rule.split(":")[0]) for fault in refused.value.faults]
    assert found == [
        ("rows.1.energy_kwh", "line 3, energy_kwh"),
        ("rows.2.ends_at", "line 4, ends_at"),
        ("rows.3.starts_at", "line 5, starts_at"),
    ]
    assert count(session) == 0


def test_a_name_that_two_cars_have_names_neither(session: SchemeSession, home: FurnishedHome) -> None:
    operations.add_vehicle(session, home.id, car_details(), **WRITING)
    with pytest.raises(Rejected) as refused:
        operations.import_charging_csv(
            session, home.id, f"{HEADER},vehicle\n{FIRST},blue hatchback", is_dry_run=True, **WRITING
        )
    assert [fault.field for fault in refused.value.faults] == ["rows.0.vehicle"]


def test_charge_detail_records_come_in_once(session: SchemeSession, home: FurnishedHome) -> None:
    def take() -> operations.ChargingImport:
        return operations.import_cdrs(
            session, home.id, [CDR], vehicle_id=home.car_id, outlet_id=home.outlet_id, is_dry_run=False, **WRITING
        )

    assert (take().added_count, take().skipped_count) == (1, 1)
    (row,) = session.scalars(select(ChargingRecord))
    assert (row.source, row.external_id, row.outlet_id, row.is_metered) == ("ocpi", "GB*XXX*1", home.outlet_id, True)


def test_charge_detail_records_for_another_homes_car_are_refused(session: SchemeSession, home: FurnishedHome) -> None:
    with pytest.raises(Rejected) as refused:
        operations.import_cdrs(
            session, home.id, [CDR], vehicle_id="f" * 32, outlet_id="e" * 32, is_dry_run=True, **WRITING
        )
    assert [fault.field for fault in refused.value.faults] == ["vehicle_id", "outlet_id"]


def test_a_home_keeps_so_many_records_and_no_more(
    session: SchemeSession, home: FurnishedHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each record is held against all others of its time: without an end, an import would hold everybody else up."""
    monkeypatch.setattr(charging_records, "MOST_KEPT", 2)
    operations.import_charging_csv(session, home.id, csv(FIRST), is_dry_run=False, **WRITING)
    third = "2026-11-22 00:30,2026-11-22 04:30,8.8,home,A-3"
    for is_dry_run in (True, False):
        with pytest.raises(Conflict):
            operations.import_charging_csv(session, home.id, csv(SECOND, third), is_dry_run=is_dry_run, **WRITING)
    operations.import_charging_csv(session, home.id, csv(FIRST, SECOND), is_dry_run=False, **WRITING)
    typed = ChargingDetails(
        home.car_id, "home", datetime(2026, 11, 23, 1, tzinfo=UTC), datetime(2026, 11, 23, 2, tzinfo=UTC), 900
    )
    with pytest.raises(Conflict):
        operations.add_charging_record(session, home.id, typed, **WRITING)
    assert count(session) == 2
