"""A home's year under each tariff: of its cars' usual week, whatever is planned once and however full they stand."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from service.advice.domain.petrol import PetrolAsked
from service.advice.operations.tariffs import Comparison, compare_tariffs
from service.households.models import Journey, RoutineDeparture, Vehicle
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet


@pytest.fixture
def fleet(database: Any, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 1, seed=3, now=NOON)


@pytest.fixture
def session(database: Any, scheme: str, fleet: Fleet) -> Any:
    with database.scheme(scheme, write=True) as opened:
        yield opened


def compared(session: Any, fleet: Fleet, **later: int) -> Comparison:
    return compare_tariffs(session, fleet.household_ids[0], PetrolAsked(), at=NOON + timedelta(**later))


def miles(found: Comparison) -> float:
    return float(found.ranking.places[0].candidate.year.miles)


def test_one_long_journey_is_not_fifty_two_of_them(session: Any, fleet: Fleet) -> None:
    before = compared(session, fleet)
    car = session.query(Vehicle).one()
    leaves_at = NOON + timedelta(days=3)
    session.add(
        Journey(
            household_id=car.household_id, vehicle_id=car.id, leaves_at=leaves_at,
            returns_at=leaves_at + timedelta(hours=9), miles=Decimal(200), is_important=True,
        )
    )  # fmt: skip
    session.flush()
    after = compared(session, fleet)
    assert miles(after) == miles(before)
    assert "Dated journeys are left out: a year is made of the weekly routine." in after.notes


@pytest.mark.parametrize("later", [{}, {"hours": 12}, {"days": 3, "hours": 18}, {"days": 27}])
@pytest.mark.parametrize("charge_percent", [20, 100])
def test_a_week_drives_its_routine_at_any_hour_and_however_full_the_car_stands(
    session: Any, fleet: Fleet, later: dict[str, int], charge_percent: int
) -> None:
    """140 miles a week: no part of a day, no full battery and no check that is due in this week counts 52 times."""
    car = session.query(Vehicle).one()
    car.charge_percent, car.charge_read_at = charge_percent, NOON - timedelta(hours=1)
    session.flush()
    assert sum(each.miles for each in session.query(RoutineDeparture)) == 140
    assert miles(compared(session, fleet, **later)) == pytest.approx(52 * 140, rel=0.001)
