"""The verdict of a stored home: planned anew, from its own quotes, with what its evidence says."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import delete, update

from service.advice.domain.upgrade_quotes import QuoteDetails
from service.advice.domain.upgrade_second_car import OneMoreCar
from service.advice.domain.upgrade_verdict import Answer
from service.advice.domain.upgrade_works import Upgrade
from service.advice.operations import upgrade_plans
from service.advice.operations.upgrade_quotes import add_quote
from service.advice.operations.upgrades import get_upgrade
from service.common.errors import NotFound
from service.households.models import Journey, Lead, Outlet, RoutineDeparture, Vehicle
from service.planning.domain.what_if import Changes, OtherOutlet
from service.planning.operations import what_if
from service.safety.models import Inspection
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet

SECOND = OneMoreCar(Decimal(150), 480, 1080, 60_000, Decimal("3.5"), 32)


@pytest.fixture
def fleet(database: Any, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 1, seed=3, now=NOON)


@pytest.fixture
def session(database: Any, scheme: str, fleet: Fleet) -> Any:
    with database.scheme(scheme, write=True) as opened:
        yield opened


def by_work(found: Any) -> dict[Upgrade, Any]:
    return {each.work: each for each in found.weighed}


def test_a_year_of_a_charging_point_is_that_of_the_homes_own_comparison(
    session: Any, fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From a midnight on, and with the cars as they stand, both plan the same seven days."""
    monkeypatch.setattr(upgrade_plans, "settled", lambda week: week)
    midnight = NOON + timedelta(hours=12)
    (home,) = fleet.household_ids
    outlet = session.query(Outlet).filter_by(household_id=home).one()
    changes = Changes(outlet=OtherOutlet(outlet.id, "charging_point", 32, 1, "schedule"))
    compared = what_if.compare(session, home, label="x", changes=changes, stated={}, by=None, at=midnight)
    money = by_work(get_upgrade(session, home, at=midnight))[Upgrade.POINT_TETHERED].yearly
    assert money.saved_up + money.left_up == compared.result["yearly"]["saved_up"]
    assert money.losses_up > 0 and money.avoided_wh == 0


def test_a_home_whose_cheap_hours_hold_all_it_needs_stays(session: Any, fleet: Fleet) -> None:
    found = get_upgrade(session, fleet.household_ids[0], at=NOON)
    assert found.verdict.answer is Answer.STAY
    assert (found.is_as_if, found.is_stopped) == (False, False)
    assert by_work(found)[Upgrade.EV_MARKED_SOCKET].yearly.total_up == 0
    assert found.life_years == 10 and found.rate_percent == "3.5"


@pytest.mark.parametrize("charge_percent", [20, 100])
@pytest.mark.parametrize("hours", [0, 18])
def test_a_year_charges_what_is_driven_at_any_hour_and_however_full_the_car_stands(
    session: Any, fleet: Fleet, charge_percent: int, hours: int
) -> None:
    (home,) = fleet.household_ids
    car = session.query(Vehicle).filter_by(household_id=home).one()
    car.charge_percent, car.charge_read_at = charge_percent, NOON - timedelta(hours=1)
    session.flush()
    found = get_upgrade(session, home, at=NOON + timedelta(hours=hours))
    driven_wh = sum(each.miles for each in session.query(RoutineDeparture)) / car.miles_per_kwh * 1000
    assert abs(found.now.battery_wh - driven_wh) <= 200


def test_a_quote_of_the_home_takes_the_place_of_the_assumed_cost_and_turns_the_verdict(
    session: Any, fleet: Fleet
) -> None:
    (home,) = fleet.household_ids
    add_quote(session, home, QuoteDetails("point_tethered", 500, NOON.date()), by=None, at=NOON)
    found = get_upgrade(session, home, at=NOON)
    assert by_work(found)[Upgrade.POINT_TETHERED].cost.is_quoted
    assert by_work(found)[Upgrade.POINT_UNTETHERED].cost.is_assumed
    assert (found.verdict.answer, found.verdict.best) == (Answer.PAYS_BACK, Upgrade.POINT_TETHERED)
    assert "assumed" not in found.verdict.words


def test_a_second_car_at_the_same_outlet_leaves_more_to_avoid(session: Any, fleet: Fleet) -> None:
    (home,) = fleet.household_ids
    alone, both = get_upgrade(session, home, at=NOON), get_upgrade(session, home, SECOND, at=NOON)
    assert both.has_second_car and both.now.short_wh > alone.now.short_wh
    point = by_work(both)[Upgrade.POINT_TETHERED]
    assert point.yearly.avoided_wh > by_work(alone)[Upgrade.POINT_TETHERED].yearly.avoided_wh
    assert point.yearly.public_up > 0


def test_without_evidence_what_is_there_is_compared_as_if_cleared_and_that_is_said(session: Any, fleet: Fleet) -> None:
    (home,) = fleet.household_ids
    before = get_upgrade(session, home, at=NOON)
    session.execute(delete(Inspection).where(Inspection.household_id == home))
    after = get_upgrade(session, home, at=NOON)
    assert after.is_as_if and any("as if an electrician had checked it" in said for said in after.said)
    assert after.now == before.now  # no shortfall is made up by leaving the old socket out
    assert [each.yearly.total_up for each in after.weighed] == [each.yearly.total_up for each in before.weighed]


def test_one_long_journey_is_not_fifty_two_of_them(session: Any, fleet: Fleet) -> None:
    (home,) = fleet.household_ids
    before = get_upgrade(session, home, at=NOON)
    car = session.query(Vehicle).filter_by(household_id=home).one()
    leaves_at = NOON + timedelta(days=3)
    session.add(
        Journey(
            household_id=home, vehicle_id=car.id, leaves_at=leaves_at, returns_at=leaves_at + timedelta(hours=9),
            miles=Decimal(400), is_important=True,
        )
    )
    session.flush()
    after = get_upgrade(session, home, at=NOON)
    assert after.now == before.now
    assert "Dated journeys are left out: a year is made of the weekly routine." in after.said


def test_a_lead_set_too_high_is_set_down_before_a_work_may_claim_anything(session: Any, fleet: Fleet) -> None:
    (home,) = fleet.household_ids
    before = get_upgrade(session, home, at=NOON)
    session.execute(update(Lead).values(rated_a=13, set_a=13, settings_a=[6, 10, 13], setting_shown_a=None))
    after = get_upgrade(session, home, at=NOON)
    assert after.now == before.now
    assert any("Set it down and show it in a photo first" in said for said in after.said)


def test_there_may_be_no_question(session: Any, fleet: Fleet) -> None:
    (home,) = fleet.household_ids
    session.execute(delete(RoutineDeparture))
    session.execute(update(Vehicle).values(charge_percent=80, charge_read_at=NOON))
    nothing = get_upgrade(session, home, at=NOON)
    assert (nothing.verdict.answer, nothing.weighed) == (Answer.NO_QUESTION, ())
    assert "weekly routine first" in nothing.verdict.words
    session.execute(update(Outlet).values(kind="charging_point", limit_a=32, is_tethered=True))
    assert "already" in get_upgrade(session, home, at=NOON).verdict.words
    session.execute(update(Vehicle).values(outlet_id=None))
    assert "record it first" in get_upgrade(session, home, at=NOON).verdict.words


def test_a_home_that_is_not_there_is_not_found(session: Any) -> None:
    with pytest.raises(NotFound):
        get_upgrade(session, "0" * 32, at=NOON)
