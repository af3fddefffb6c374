"""The scheme's list from what is kept: today's clearances, quotes and figures, and stopped homes by their risk."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import update

from service.advice.domain.budget_ranking import Place
from service.advice.operations.upgrade_scheme import rank_upgrades
from service.advice.operations.upgrade_standings import due_homes, keep, reckon
from service.figures.models import DatedFigure
from service.households.models import Outlet, Supply
from service.safety.models import ClearanceStatus
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet


@pytest.fixture
def fleet(database: Any, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 3, seed=3, now=NOON)


@pytest.fixture
def session(database: Any, scheme: str, fleet: Fleet) -> Any:
    with database.scheme(scheme, write=True) as opened:
        keep(opened, reckon(opened, due_homes(opened, at=NOON, limit=9), at=NOON), at=NOON)
        yield opened


def set_standing(session: Any, home: str, **values: Any) -> None:
    status = session.query(ClearanceStatus).filter_by(household_id=home).one_or_none()
    if status is None:
        session.add(status := ClearanceStatus(household_id=home, derived_at=NOON, clearance="not_known"))
    for name, value in values.items():
        setattr(status, name, value)
    session.flush()


def first(session: Any, budget: int = 0) -> Any:
    return rank_upgrades(session, budget, at=NOON).ranking.rows[0]


def test_of_two_stopped_homes_the_riskier_comes_first(session: Any, fleet: Fleet) -> None:
    one, two, _ = fleet.household_ids
    for home in (one, two):
        set_standing(session, home, clearance="do_not_use")
    session.execute(update(Supply).values(earthing="tn_s"))
    rows = rank_upgrades(session, 0, at=NOON).ranking.rows
    assert [row.place for row in rows[:2]] == [Place.SAFETY] * 2
    assert {row.home.household_id for row in rows[:2]} == {one, two}
    last = rows[1].home.household_id
    before = rows[1].home.risk
    session.execute(update(Supply).where(Supply.household_id == last).values(earthing="tn_c_s"))
    session.execute(update(Outlet).where(Outlet.household_id == last).values(place="outdoors", car_place="outdoors"))
    assert (first(session).home.household_id, first(session).home.risk) == (last, before + 15)


def test_an_overdue_recheck_raises_a_stopped_homes_risk(session: Any, fleet: Fleet) -> None:
    home = fleet.household_ids[0]
    set_standing(session, home, clearance="do_not_use", next_recheck_on=NOON.date() + timedelta(days=1))
    before = first(session).home.risk
    set_standing(session, home, next_recheck_on=NOON.date() - timedelta(days=1))
    assert first(session).home.risk == before + 15


def test_evidence_that_has_ended_is_not_known_and_a_stop_has_no_end(session: Any, fleet: Fleet) -> None:
    one, two, _ = fleet.household_ids
    yesterday = NOON.date() - timedelta(days=1)
    set_standing(session, one, clearance="fit_to_use", valid_until_on=yesterday)
    set_standing(session, two, clearance="do_not_use", valid_until_on=yesterday)
    words = {row.home.household_id: row.home.clearance for row in rank_upgrades(session, 0, at=NOON).ranking.rows}
    assert (words[one], words[two]) == ("not_known", "do_not_use")


def test_a_figure_that_the_operator_records_counts_at_once(session: Any, fleet: Fleet) -> None:
    assert first(session, 1_000).place is Place.NO_GAIN
    session.add(
        DatedFigure(
            name="work_cost", key="charging_point_7kw", from_on=NOON.date(), value=500, unit="pence",
            standing="operator", source="a frame contract (invented)", recorded_at=NOON, recorded_by="operator",
        )
    )
    session.flush()
    row = first(session, 1_000)
    assert row.place is Place.CHOSEN and row.work.cost.pence == 500
    assert not row.work.cost.is_assumed


def test_another_week_makes_every_reckoning_an_older_one_that_still_stands(session: Any) -> None:
    later = rank_upgrades(session, 0, at=NOON + timedelta(days=7))
    assert (later.reckoned_count, later.home_count) == (0, 3)
    assert all(row.place is Place.NO_GAIN for row in later.ranking.rows)
