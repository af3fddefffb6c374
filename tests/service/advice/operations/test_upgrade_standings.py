"""What is kept of each home: reckoned when it was never, when the home changed, and each week anew."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.advice.domain.upgrade_works import Upgrade, Variant
from service.advice.models import UpgradeStanding
from service.advice.operations import upgrade_standings
from service.advice.operations.upgrade_standings import KeptWorks, due_homes, keep, reckon
from service.advice.operations.upgrades import get_upgrade
from service.common.errors import Conflict
from service.households.models import Household
from service.households.operations import note_change
from tests.conftest import NOON
from tests.factories.fleet import Fleet, make_fleet


@pytest.fixture
def fleet(database: Any, scheme: str) -> Fleet:
    return make_fleet(database, scheme, 3, seed=3, now=NOON)


@pytest.fixture
def session(database: Any, scheme: str, fleet: Fleet) -> Any:
    with database.scheme(scheme, write=True) as opened:
        yield opened


def reckon_all(session: Any, at: Any = NOON) -> None:
    keep(session, reckon(session, due_homes(session, at=at, limit=100), at=at), at=at)


def test_every_home_is_due_once_and_no_more(session: Any, fleet: Fleet) -> None:
    assert sorted(due_homes(session, at=NOON, limit=100)) == sorted(fleet.household_ids)
    assert len(due_homes(session, at=NOON, limit=2)) == 2
    reckon_all(session)
    assert due_homes(session, at=NOON, limit=100) == []


def test_a_change_and_another_week_make_a_home_due_again(session: Any, fleet: Fleet) -> None:
    reckon_all(session)
    note_change(session, fleet.household_ids[0], at=NOON)
    assert due_homes(session, at=NOON, limit=100) == [fleet.household_ids[0]]
    sunday, monday = NOON + timedelta(days=4), NOON + timedelta(days=5)
    assert (sunday.weekday(), monday.weekday()) == (6, 0)
    assert len(due_homes(session, at=sunday, limit=100)) == 1
    assert sorted(due_homes(session, at=monday, limit=100)) == sorted(fleet.household_ids)


def test_what_is_kept_is_what_the_home_itself_is_told(session: Any, fleet: Fleet) -> None:
    reckon_all(session)
    home = fleet.household_ids[0]
    row = session.scalars(select(UpgradeStanding).where(UpgradeStanding.id == home)).one()
    kept = KeptWorks.from_json(row.document)
    assert kept.weeks[Variant.NOW] == get_upgrade(session, home, at=NOON).now
    assert (kept.works, kept.has_socket, kept.why_not) == (tuple(Upgrade), True, "")
    assert KeptWorks.from_json(kept.to_json()) == kept


def test_a_home_that_cannot_be_planned_stops_no_other(
    session: Any, fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = upgrade_standings.plan_works
    odd = fleet.household_ids[1]

    def fails_for_one(read: Any) -> Any:
        if read.home.id == odd:
            raise Conflict("odd data")
        return plan(read)

    monkeypatch.setattr(upgrade_standings, "plan_works", fails_for_one)
    reckon_all(session)
    rows = {row.id: KeptWorks.from_json(row.document).why_not for row in session.scalars(select(UpgradeStanding))}
    assert rows == {home: "failed" if home == odd else "" for home in fleet.household_ids}
    assert due_homes(session, at=NOON, limit=100) == []


def test_a_home_that_went_meanwhile_is_left_out(session: Any, fleet: Fleet) -> None:
    kept = reckon(session, fleet.household_ids, at=NOON)
    gone = fleet.household_ids[2]
    session.delete(session.get(Household, (session.scheme_id, gone)))
    session.flush()
    keep(session, kept, at=NOON)
    assert gone not in set(session.scalars(select(UpgradeStanding.id)))
