"""Homes as the planner reads them, many at a time: one column select a table, never one a home."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any, TypeAlias, TypeVar

from sqlalchemy import BindParameter, Select, bindparam, select

from service.common.slots import SLOTS_PER_PLAIN_DAY, slot_index
from service.households.domain.homes import (
    CarInputs,
    ContractInputs,
    EveningInputs,
    HomeInputs,
    JourneyLine,
    LeadInputs,
    OutletInputs,
    RoutineLine,
    SupplyInputs,
)
from service.households.domain.outlet_changes import OutletChanged
from service.households.models import (
    Contract,
    DiaryDay,
    Household,
    HouseReading,
    Journey,
    Lead,
    Outlet,
    OutletChange,
    RoutineDeparture,
    Supply,
    Vehicle,
)
from service.infrastructure.db.sessions import SchemeSession

IDS_A_STATEMENT = 500
"""Homes in one IN list: below what any supported database binds, and few enough to reuse the statement."""

DIARY_DAYS = 90
"""Own choice: a diary's older days say little of how the car is driven now."""
READING_DAYS = 28
"""Own choice: four weeks of the home's own half-hours."""

Value = TypeVar("Value")
Columns: TypeAlias = Select[*tuple[Any, ...]]


def load_homes(session: SchemeSession, household_ids: Sequence[str], *, from_at: datetime) -> list[HomeInputs]:
    """Return the homes by these ids, in this order, with journeys that end after ``from_at``.

    Ids that the scheme does not have are left out: a home may be gone since somebody asked for it.
    """
    homes: dict[str, HomeInputs] = {}
    for start in range(0, len(household_ids), IDS_A_STATEMENT):
        homes.update(_load(session, list(household_ids[start : start + IDS_A_STATEMENT]), from_at))
    return [homes[household_id] for household_id in household_ids if household_id in homes]


def _load(session: SchemeSession, ids: list[str], from_at: datetime) -> dict[str, HomeInputs]:
    changes = _grouped((row[0], OutletChanged(*row[1:])) for row in _rows(session, _CHANGES, ids))
    outlets = _grouped(
        (row[0], OutletInputs(*row[1:], changes=changes.get(row[1], ()))) for row in _rows(session, _OUTLETS, ids)
    )
    contracts = _grouped((row[0], ContractInputs(*row[1:])) for row in _rows(session, _CONTRACTS, ids))
    leads = _grouped((row[0], _lead(row)) for row in _rows(session, _LEADS, ids))
    cars = _load_cars(session, ids, leads, from_at)
    supplies = {row[0]: SupplyInputs(*row[1:]) for row in _rows(session, _SUPPLIES, ids)}
    since = slot_index(from_at) - READING_DAYS * SLOTS_PER_PLAIN_DAY
    readings = _grouped((row[0], (row[1], row[2])) for row in _rows(session, _READINGS, ids, since=since))
    homes = {}
    for row in _rows(session, _HOUSEHOLDS, ids):
        parts = [part.get(row[0], ()) for part in (outlets, cars, contracts, leads)]
        supply = supplies.get(row[0], SupplyInputs())
        homes[row[0]] = HomeInputs(*(*row[:7], *parts, _evening(row[7:]), supply, readings.get(row[0], ())))
    return homes


def _evening(row: Sequence[Any]) -> EveningInputs:
    swap_times, quantile, yearly_kwh, quiet_from, quiet_until = row
    quiet = None if quiet_from is None or quiet_until is None else (quiet_from, quiet_until)
    return EveningInputs(tuple(swap_times), quantile, yearly_kwh, quiet)


def _load_cars(
    session: SchemeSession, ids: list[str], leads_of: Mapping[str, Sequence[LeadInputs]], from_at: datetime
) -> dict[str, tuple[CarInputs, ...]]:
    leads = {lead.id: lead for of_home in leads_of.values() for lead in of_home}
    routines = _grouped(
        (row[0], RoutineLine(row[1], _minutes(row[2]), _minutes(row[3]), row[4], row[5]))
        for row in _rows(session, _ROUTINES, ids)
    )
    journeys = _grouped((row[0], JourneyLine(*row[1:])) for row in _rows(session, _JOURNEYS, ids, from_at=from_at))
    since_on = (from_at - timedelta(days=DIARY_DAYS)).date()
    diaries = _grouped((row[0], (row[1], row[2])) for row in _rows(session, _DIARIES, ids, since_on=since_on))
    return _grouped(
        (
            row[0],
            _car(row, leads.get(row[11]), routines.get(row[1], ()), journeys.get(row[1], ()), diaries.get(row[1], ())),
        )
        for row in _rows(session, _VEHICLES, ids)
    )


def _car(
    row: Sequence[Any],
    lead: LeadInputs | None,
    routine: tuple[RoutineLine, ...],
    journeys: tuple[JourneyLine, ...],
    diary: tuple[tuple[date, Decimal], ...],
) -> CarInputs:
    return CarInputs(*(*row[1:11], lead, row[12], row[13], routine, journeys, tuple(row[14] or ()), *row[15:17], diary))


def _lead(row: Sequence[Any]) -> LeadInputs:
    return LeadInputs(*(*row[1:6], tuple(row[6] or ()), row[7]))


def _rows(session: SchemeSession, statement: Columns, ids: list[str], **more: object) -> Iterable[Sequence[Any]]:
    """Run one of the column selects below; its rows are handed on as plain sequences."""
    return session.execute(statement, {"ids": ids, **more}).all()


def _grouped(pairs: Iterable[tuple[str, Value]]) -> dict[str, tuple[Value, ...]]:
    """Return the values of each key as a tuple, in the order they came."""
    groups: dict[str, list[Value]] = {}
    for key, value in pairs:
        groups.setdefault(key, []).append(value)
    return {key: tuple(values) for key, values in groups.items()}


def _minutes(wall: time) -> int:
    return wall.hour * 60 + wall.minute


# Built once: a chunk of twenty homes would spend longer on building statements than on running them.
_IDS: BindParameter[Any] = bindparam("ids", expanding=True)
_HOUSEHOLDS: Columns = select(
    Household.id, Household.reference, Household.zone, Household.nation, Household.region, Household.payment,
    Household.change_counter, Household.swap_times_min, Household.need_quantile_permille, Household.yearly_kwh,
    Household.quiet_from_min, Household.quiet_until_min,
).where(Household.id.in_(_IDS))
_OUTLETS: Columns = (
    select(
        Outlet.household_id, Outlet.id, Outlet.label, Outlet.kind, Outlet.is_tethered, Outlet.place, Outlet.limit_a,
        Outlet.phases, Outlet.ordinal, Outlet.circuit_id, Outlet.since_on, Outlet.car_place,
        Outlet.control, Outlet.start_delay_s,
    )
    .where(Outlet.household_id.in_(_IDS))
    .order_by(Outlet.ordinal, Outlet.id)
)
_CHANGES: Columns = (
    select(OutletChange.outlet_id, OutletChange.changed_at, OutletChange.changed_on, OutletChange.what)
    .where(OutletChange.household_id.in_(_IDS))
    .order_by(OutletChange.changed_at, OutletChange.id)
)
_LEADS: Columns = (
    select(
        Lead.household_id, Lead.id, Lead.label, Lead.kind, Lead.rated_a, Lead.set_a, Lead.settings_a,
        Lead.setting_shown_a,
    )
    .where(Lead.household_id.in_(_IDS))
    .order_by(Lead.label, Lead.id)
)
_VEHICLES: Columns = (
    select(
        Vehicle.household_id, Vehicle.id, Vehicle.ordinal, Vehicle.label, Vehicle.battery_wh, Vehicle.miles_per_kwh,
        Vehicle.onboard_limit_a, Vehicle.onboard_phases, Vehicle.ceiling_percent, Vehicle.reserve_percent,
        Vehicle.outlet_id, Vehicle.lead_id, Vehicle.charge_percent, Vehicle.charge_read_at,
        Vehicle.other_outlet_ids, Vehicle.taper_from_percent, Vehicle.standby_w,
    )
    .where(Vehicle.household_id.in_(_IDS))
    .order_by(Vehicle.ordinal, Vehicle.id)
)
_ROUTINES: Columns = (
    select(
        RoutineDeparture.vehicle_id, RoutineDeparture.weekday, RoutineDeparture.leaves_at, RoutineDeparture.returns_at,
        RoutineDeparture.returns_days_later, RoutineDeparture.miles,
    )
    .where(RoutineDeparture.household_id.in_(_IDS))
    .order_by(RoutineDeparture.weekday, RoutineDeparture.leaves_at, RoutineDeparture.id)
)
_JOURNEYS: Columns = (
    select(
        Journey.vehicle_id, Journey.id, Journey.leaves_at, Journey.returns_at, Journey.miles, Journey.is_important,
        Journey.replaces_routine,
    )
    .where(Journey.household_id.in_(_IDS), Journey.returns_at > bindparam("from_at"))
    .order_by(Journey.leaves_at, Journey.id)
)
_CONTRACTS: Columns = (
    select(
        Contract.household_id, Contract.tariff_id, Contract.starts_on, Contract.ends_on, Contract.clock,
        Contract.windows,
    )
    .where(Contract.household_id.in_(_IDS))
    .order_by(Contract.starts_on, Contract.id)
)
_SUPPLIES: Columns = select(Supply.household_id, Supply.fuse_a, Supply.phases).where(Supply.household_id.in_(_IDS))
_DIARIES: Columns = (
    select(DiaryDay.vehicle_id, DiaryDay.on_date, DiaryDay.miles)
    .where(DiaryDay.household_id.in_(_IDS), DiaryDay.on_date >= bindparam("since_on"))
    .order_by(DiaryDay.on_date)
)
_READINGS: Columns = (
    select(HouseReading.household_id, HouseReading.slot, HouseReading.energy_wh)
    .where(HouseReading.household_id.in_(_IDS), HouseReading.slot >= bindparam("since"))
    .order_by(HouseReading.slot)
)
