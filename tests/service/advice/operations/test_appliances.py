"""Appliances of a home: kept as stated, and advised on from what is stored."""

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.advice.domain.appliance_advice import Move
from service.advice.domain.appliance_checks import Barrier
from service.advice.domain.appliances import USUAL_AWAKE, Appliance, HomeAppliances
from service.advice.operations.appliances import get_appliance_advice, get_appliances, put_appliances
from service.common.errors import NotFound
from service.common.slots import local_of, slot_index, slot_start
from service.households import operations
from service.households.domain.contract_details import ContractDetails
from service.households.domain.habit_details import HabitDetails
from service.households.domain.home_details import SupplyDetails
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs import operations as tariffs
from service.tariffs.domain.terms import TariffKind
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.tariffs import night_draft, series_draft, tariff_with

LONDON = ZoneInfo("Europe/London")
DISHWASHER = Appliance("dishwasher", 5)


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A home of 80 A on a tariff that is cheap from 13:00 to 16:00; its car is not there to be planned."""
    home = furnished_home(session)
    tariff_id, _ = tariff_with(session, night_draft(window=(780, 960)))
    operations.add_contract(session, home.id, ContractDetails(tariff_id, date(2026, 1, 1)), **WRITING)
    operations.put_supply(session, home.id, SupplyDetails(fuse_a=80), **WRITING)
    operations.put_habits(session, home.id, HabitDetails(yearly_kwh=2_700), **WRITING)
    operations.remove_vehicle(session, home.id, home.car_id, **WRITING)
    return home


def put(session: SchemeSession, home: FurnishedHome, *appliances: Appliance, **changes: Any) -> None:
    put_appliances(session, home.id, HomeAppliances(appliances, **changes), **WRITING)


def test_before_anything_is_stated_there_are_no_appliances_and_the_usual_hours(
    session: SchemeSession, home: FurnishedHome
) -> None:
    kept = get_appliances(session, home.id)
    assert (kept.version, kept.details) == ("none", HomeAppliances((), USUAL_AWAKE))


def test_what_is_stated_comes_back_and_its_version_rises(session: SchemeSession, home: FurnishedHome) -> None:
    own = Appliance("own", 2, "Kiln", run_wh=5_000, power_w=2_500, run_min=150, starts_min=600)
    put(session, home, DISHWASHER, own, awake=((420, 1320),))
    session.commit()
    session.expire_all()
    kept = get_appliances(session, home.id)
    assert (kept.version, kept.details.appliances, kept.details.awake) == ("1", (DISHWASHER, own), ((420, 1320),))
    put(session, home, DISHWASHER)
    assert get_appliances(session, home.id).version == "2"
    assert session.scalars(select(AuditEntry.action).where(AuditEntry.action == "put_appliances")).all() != []


def test_an_unknown_home_is_not_found(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        get_appliances(session, "f" * 32)


def test_a_dishwasher_is_moved_into_the_cheap_afternoon_at_the_homes_own_prices(
    session: SchemeSession, home: FurnishedHome
) -> None:
    put(session, home, DISHWASHER)
    found = get_appliance_advice(session, home.id, at=NOON)
    (advice,) = found.items
    assert (advice.move, advice.start, advice.yearly_saving_up) == (Move.MOVE, 26, 260 * 21_500_000)
    assert (found.tariff_names, found.are_past_prices, found.is_awake_assumed) == (("Alder Fixed",), False, True)


@pytest.mark.parametrize(
    ("act", "barrier"),
    [
        (lambda session, home: operations.put_supply(session, home.id, SupplyDetails(), **WRITING),
         Barrier.FUSE_NOT_KNOWN),
        (lambda session, home: operations.put_habits(session, home.id, HabitDetails(), **WRITING),
         Barrier.LOAD_NOT_KNOWN),
    ],
)  # fmt: skip
def test_without_fuse_or_the_houses_use_nothing_is_suggested(
    session: SchemeSession, home: FurnishedHome, act: Any, barrier: Barrier
) -> None:
    act(session, home)
    put(session, home, DISHWASHER)
    (advice,) = get_appliance_advice(session, home.id, at=NOON).items
    assert (advice.move, advice.start) == (Move.NOT_SUGGESTED, None)
    assert barrier in advice.barriers


def test_a_car_without_a_plan_could_charge_at_any_time_and_its_circuit_has_to_be_known(
    session: SchemeSession,
) -> None:
    home = furnished_home(session, reference="H-7")
    tariff_id, _ = tariff_with(session, night_draft(window=(780, 960)), name="Beech")
    operations.add_contract(session, home.id, ContractDetails(tariff_id, date(2026, 1, 1)), **WRITING)
    operations.put_supply(session, home.id, SupplyDetails(fuse_a=80), **WRITING)
    operations.put_habits(session, home.id, HabitDetails(yearly_kwh=2_700), **WRITING)
    put(session, home, DISHWASHER)
    (advice,) = get_appliance_advice(session, home.id, at=NOON).items
    assert advice.move is Move.NOT_SUGGESTED
    assert Barrier.CIRCUIT_NOT_KNOWN in advice.barriers


def test_half_hourly_prices_that_are_over_stand_for_a_year(session: SchemeSession) -> None:
    home = furnished_home(session, reference="H-8")
    operations.remove_vehicle(session, home.id, home.car_id, **WRITING)
    tariff_id, _ = tariff_with(session, series_draft(), name="Half-hours", kind=TariffKind.HALF_HOURLY)
    first = slot_index(NOON - timedelta(days=40))
    rows = [
        f"{slot_start(slot):%Y-%m-%dT%H:%M:%SZ},{10 if 13 <= local_of(slot, LONDON).hour < 16 else 30}"
        for slot in range(first, slot_index(NOON) + 24)
    ]
    tariffs.upload_prices(session, tariff_id, "\n".join(("starts_at,price_pence_per_kwh", *rows)), at=NOON)
    # The home is on it for 20 days only: what it paid before says nothing of the year to come.
    before_id, _ = tariff_with(session, night_draft(window=(780, 960)), name="Two rates before")
    changed_on = date(2026, 11, 5)
    operations.add_contract(session, home.id, ContractDetails(before_id, date(2026, 1, 1), changed_on), **WRITING)
    operations.add_contract(session, home.id, ContractDetails(tariff_id, changed_on), **WRITING)
    operations.put_supply(session, home.id, SupplyDetails(fuse_a=80), **WRITING)
    operations.put_habits(session, home.id, HabitDetails(yearly_kwh=2_700), **WRITING)
    put(session, home, DISHWASHER)
    found = get_appliance_advice(session, home.id, at=NOON)
    assert found.are_past_prices
    assert (found.items[0].start, found.items[0].yearly_saving_up) == (26, 260 * 20_000_000)
    late = datetime(2027, 6, 1, 12, tzinfo=NOON.tzinfo)
    assert get_appliance_advice(session, home.id, at=late).items[0].move is Move.NOT_KNOWN
