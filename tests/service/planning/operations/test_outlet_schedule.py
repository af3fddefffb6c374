"""The plan in force at an outlet, held against what may be drawn there now; and its file over HTTP."""

import json
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import update

from service.common.clock import FixedClock
from service.common.errors import NotFound
from service.common.slots import slot_index
from service.households.models import Household, Outlet, Vehicle
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from service.planning.domain.outlet_schedule import OutletSchedule
from service.planning.models import CurrentPlan
from service.planning.operations.outlet_schedule import NoSchedule, get_outlet_schedule
from service.safety.models import Override
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet


@pytest.fixture
def fleet(database: Database, settings: Settings, scheme: str) -> Fleet:
    """Two planned homes, whose cars charge on leads at 10 A."""
    fleet = make_fleet(database, scheme, 2, seed=3, now=NOON)
    create_worker(settings, database=database, clock=FixedClock(NOON)).prepare_plans()
    return fleet


def car_of(database: Database, scheme: str, home: str) -> tuple[str, str]:
    with database.scheme(scheme, write=False) as session:
        row = session.query(Vehicle).filter_by(household_id=home).one()
        return row.id, str(row.outlet_id)


def asked(database: Database, scheme: str, home: str, car: str, at: Any = NOON) -> OutletSchedule:
    with database.scheme(scheme, write=False) as session:
        return get_outlet_schedule(session, home, car, at=at)


def test_blocks_are_those_of_the_plan_from_now_on_at_the_current_that_may_be_drawn(
    fleet: Fleet, database: Database, scheme: str
) -> None:
    home = fleet.household_ids[0]
    car, _ = car_of(database, scheme, home)
    found = asked(database, scheme, home, car)
    with database.scheme(scheme, write=False) as session:
        planned = session.get(CurrentPlan, (scheme, home)).energy_wh  # type: ignore[union-attr]
    assert sum(sum(energies) for _, energies in found.blocks) == planned > 0
    assert (found.limit_a, found.phases) == (10, 1)
    assert found.first_slot == slot_index(NOON)
    later = asked(database, scheme, home, car, NOON + timedelta(days=2))
    assert later.first_slot == slot_index(NOON + timedelta(days=2))


def test_a_stricter_limit_that_came_after_the_plan_holds_at_once(
    fleet: Fleet, database: Database, scheme: str
) -> None:
    home = fleet.household_ids[0]
    car, outlet = car_of(database, scheme, home)
    with database.scheme(scheme, write=True) as session:
        session.add(
            Override(
                household_id=home, kind="stricter", item_kind="outlet", item_id=outlet, made_at=NOON,
                clearance="use_with_limits", limit_a=8, reason="worn shutters",
            )
        )  # fmt: skip
    # The lead gives 10 A: at an outlet of 8 A that is too much to be used at all.
    with pytest.raises(NoSchedule):
        asked(database, scheme, home, car)


@pytest.mark.parametrize("clearance", ["do_not_use", "not_known"])
def test_an_outlet_that_may_not_be_used_gets_no_profile(
    fleet: Fleet, database: Database, scheme: str, clearance: str
) -> None:
    home = fleet.household_ids[0]
    car, outlet = car_of(database, scheme, home)
    with database.scheme(scheme, write=True) as session:
        session.add(
            Override(
                household_id=home, kind="stricter", item_kind="outlet", item_id=outlet, made_at=NOON,
                clearance=clearance, limit_a=None, reason="seen",
            )
        )  # fmt: skip
    with pytest.raises(NoSchedule, match="may not be charged"):
        asked(database, scheme, home, car)


def test_where_evidence_has_run_out_there_is_no_profile(fleet: Fleet, database: Database, scheme: str) -> None:
    home = fleet.household_ids[0]
    car, _ = car_of(database, scheme, home)
    with pytest.raises(NoSchedule, match="may not be charged"):
        asked(database, scheme, home, car, NOON + timedelta(days=400))


def test_a_home_that_changed_or_was_stopped_gets_none_until_it_is_planned_anew(
    fleet: Fleet, database: Database, scheme: str
) -> None:
    home = fleet.household_ids[0]
    car, _ = car_of(database, scheme, home)
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Household).where(Household.id == home).values(change_counter=99))
    with pytest.raises(NoSchedule, match="anew"):
        asked(database, scheme, home, car)
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Household).where(Household.id == home).values(stopped_at_change=99, stopped_at=NOON))
    with pytest.raises(NoSchedule, match="stopped"):
        asked(database, scheme, home, car)


def test_another_homes_car_is_not_found(fleet: Fleet, database: Database, scheme: str) -> None:
    car, _ = car_of(database, scheme, fleet.household_ids[1])
    with pytest.raises(NotFound):
        asked(database, scheme, fleet.household_ids[0], car)


def test_the_file_is_downloaded_by_the_homes_member_alone(
    fleet: Fleet, database: Database, client: Any, scheme: str
) -> None:
    home = fleet.household_ids[0]
    car, outlet = car_of(database, scheme, home)
    path = f"/api/v1/households/{home}/plan/charging_profile?version=2.0.1&vehicle_id={car}"
    reply = client("member", scheme, home).get(path)
    assert (reply.status_code, reply.mimetype) == (200, "application/json")
    assert reply.headers["Content-Disposition"] == 'attachment; filename="charging-profile-ocpp-2.0.1.json"'
    periods = json.loads(reply.get_data())["chargingProfile"]["chargingSchedule"][0]["chargingSchedulePeriod"]
    assert max(period["limit"] for period in periods) == 10
    assert client("administrator", scheme).get(path).status_code == 403
    assert client("member", scheme, fleet.household_ids[1]).get(path).status_code == 404
    with database.scheme(scheme, write=True) as session:
        session.execute(update(Outlet).where(Outlet.id == outlet).values(limit_a=5))
    refused = client("member", scheme, home).get(path)
    assert (refused.status_code, refused.mimetype) == (409, "application/problem+json")
