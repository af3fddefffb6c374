"""What is known of a car's month for its claims: where it was charged, what that cost at home, how far it went."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from service.common.calendar import DayKind, Nation
from service.common.slots import instant_at, slot_index, slot_start
from service.households.domain.charging_records import LONGEST, Charged
from service.households.domain.equipment import ChargingPlace
from service.households.domain.homes import ContractInputs, HomeInputs
from service.households.models import OdometerReading
from service.households.operations import get_household, list_days, load_homes
from service.households.operations.charging_records import list_charging
from service.households.operations.odometer import get_odometer
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.actual_cost import AllMiles, CarMonth, HomeElectricity
from service.reimbursement.domain.advisory import MonthEnergy
from service.reimbursement.domain.months import Month
from service.tariffs.domain.prices import price_slots
from service.tariffs.domain.rate_bands import Window
from service.tariffs.domain.terms import Contract, TariffClock, TariffTerms
from service.tariffs.operations import load_terms

NEAR_ENOUGH = timedelta(days=3)
"""Own choice: how far from the last day of a month a reading of the odometer may lie and still stand for it."""
ALL_DAYS, ALL_MONTHS = frozenset(DayKind), frozenset(range(1, 13))


def month_slots(month: Month, zone: ZoneInfo) -> range:
    """Return the half-hours of a local month."""
    return range(slot_index(instant_at(month.first_on, 0, zone)), slot_index(instant_at(month.end_on, 0, zone)))


def load_month_energy(session: SchemeSession, household_id: str, month: Month) -> dict[str, MonthEnergy]:
    """Return vehicle id -> what it was charged with in a month, by place; a record counts in the month it began."""
    sums: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for record in _of_month(session, household_id, month):
        sums[record.vehicle_id][record.place] += record.energy_wh
    return {
        vehicle_id: MonthEnergy(
            of_car[ChargingPlace.HOME], of_car[ChargingPlace.PUBLIC], of_car[ChargingPlace.WORK]
        )
        for vehicle_id, of_car in sums.items()
    }


def load_car_months(
    session: SchemeSession, household_id: str, vehicle_ids: Iterable[str], month: Month
) -> dict[str, CarMonth]:
    """Return vehicle id -> what a claim at actual cost needs of its month; what is missing is left out, not guessed."""
    wanted = sorted(set(vehicle_ids))
    records = _of_month(session, household_id, month)
    prices = _prices(session, household_id, month) if wanted else {}
    return {
        vehicle_id: CarMonth(
            _electricity([each for each in records if each.vehicle_id == vehicle_id]),
            prices,
            _all_miles(session, household_id, vehicle_id, month),
        )
        for vehicle_id in wanted
    }


def _of_month(session: SchemeSession, household_id: str, month: Month) -> list[Charged]:
    slots = month_slots(month, ZoneInfo(get_household(session, household_id).zone))
    from_at, to_at = slot_start(slots.start), slot_start(slots.stop)
    return [
        record
        for record in list_charging(session, household_id, from_at, to_at)
        if from_at <= record.starts_at < to_at
    ]


def _electricity(records: Iterable[Charged]) -> HomeElectricity:
    """Return what counts of a car's records: at home, measured, half-hour by half-hour."""
    by_slot: dict[int, int] = defaultdict(int)
    unmetered_wh = 0
    for record in records:
        if record.place != ChargingPlace.HOME:
            continue
        if not record.is_metered or record.is_spread:
            unmetered_wh += record.energy_wh
            continue
        for slot, energy_wh in record.half_hours:
            by_slot[slot] += energy_wh
    return HomeElectricity(dict(by_slot), unmetered_wh)


def _all_miles(session: SchemeSession, household_id: str, vehicle_id: str, month: Month) -> AllMiles | None:
    """Return the miles of a month: by its odometer at both ends, else by a diary that has each day; else None.

    A reading stands at the end of its day, so a month begins with the one of the day before.
    """
    readings = get_odometer(session, household_id, vehicle_id).readings
    first, last = (_nearest(readings, day - timedelta(days=1)) for day in (month.first_on, month.end_on))
    if first is not None and last is not None and first.read_on < last.read_on:
        return AllMiles(
            last.miles - first.miles,
            f"by the odometer at the end of {first.read_on.isoformat()} and {last.read_on.isoformat()}",
        )
    days = [
        day
        for day in list_days(session, household_id, vehicle_id, since=month.first_on)
        if month.holds(day.on_date)
    ]
    if len(days) < (month.end_on - month.first_on).days:
        return None
    return AllMiles(sum((day.miles for day in days), Decimal(0)), "by the diary of each day")


def _nearest(readings: Sequence[OdometerReading], day: date) -> OdometerReading | None:
    """Return the reading nearest to a day, if one is near enough to stand for it."""
    near = [each for each in readings if abs(each.read_on - day) <= NEAR_ENOUGH]
    return min(near, key=lambda each: (abs(each.read_on - day), each.read_on)) if near else None


def _prices(session: SchemeSession, household_id: str, month: Month) -> Mapping[int, int]:
    """Return half-hour -> price that the home paid, VAT included, where it is known.

    A record may end after the month: as many half-hours more are priced as the longest may have.
    """
    (home,) = load_homes(session, [household_id], from_at=slot_start(month_slots(month, ZoneInfo("UTC")).stop))
    zone = ZoneInfo(home.zone)
    slots = month_slots(month, zone)
    view = range(slots.start, slot_index(instant_at(month.end_on + LONGEST, 0, zone)))
    contracts = sorted(home.contracts, key=lambda each: each.starts_on)
    terms = load_terms(session, {each.tariff_id for each in contracts}, first_slot=view.start, count=len(view))
    known: dict[int, int] = {}
    for contract in contracts:
        if contract.tariff_id in terms:
            # A later contract takes over only where the earlier one has no price.
            known = {**_priced(home, contract, terms[contract.tariff_id], view, zone), **known}
    return known


def _priced(
    home: HomeInputs, contract: ContractInputs, terms: TariffTerms, view: range, zone: ZoneInfo
) -> dict[int, int]:
    found = price_slots(
        kind=terms.kind,
        clock=terms.clock,
        versions=terms.versions,
        series=terms.series.get(home.region or "", terms.series.get("")),
        contract=Contract(
            starts_on=contract.starts_on,
            ends_on=contract.ends_on,
            clock=TariffClock(contract.clock) if contract.clock else None,
            windows={
                band: tuple(Window(first, end, ALL_DAYS, ALL_MONTHS) for first, end in spans)
                for band, spans in contract.windows.items()
            },
            region=home.region,
            payment=home.payment,
        ),
        first_slot=view.start,
        count=len(view),
        zone=zone,
        nation=Nation(home.nation),
    )
    priced = zip(view, found.price_up.tolist(), found.is_known.tolist(), strict=True)
    return {slot: price_up for slot, price_up, is_known in priced if is_known}
