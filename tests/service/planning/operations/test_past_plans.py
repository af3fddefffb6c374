"""What plans that are over had cars draw."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from service.common.slots import slot_index
from service.households import operations
from service.infrastructure.db.sessions import SchemeSession
from service.planning.models import Plan
from service.planning.operations.past_plans import planned_energy
from tests.factories.households import NOON, open_home

FIRST = slot_index(NOON)


@pytest.fixture
def home(session: SchemeSession) -> str:
    return open_home(session)


def keep(
    session: SchemeSession, home: str, first: int, *blocks: tuple[int, list[int]], at: datetime = NOON, name: str = "a"
) -> None:
    """Keep a plan of 20 half-hours with these blocks of one car each."""
    schedule: list[dict[str, Any]] = [{"vehicle_id": f"car {block}", "blocks": [list(block)]} for block in blocks]
    session.add(
        Plan(
            household_id=home, input_fingerprint=name, terms_fingerprint=name, computed_at=at, first_slot=first,
            end_slot=first + 20, schedule=schedule,
        )
    )  # fmt: skip
    session.flush()


def test_all_cars_count_and_half_hours_without_a_plan_are_not_there(session: SchemeSession, home: str) -> None:
    keep(session, home, FIRST, (FIRST + 1, [100, 200]), (FIRST + 2, [50]))
    found = planned_energy(session, home, FIRST - 2, FIRST + 4)
    assert found == {FIRST: 0, FIRST + 1: 100, FIRST + 2: 250, FIRST + 3: 0}


def test_of_each_half_hour_the_newest_plan_counts_from_its_own_start(session: SchemeSession, home: str) -> None:
    keep(session, home, FIRST, (FIRST + 1, [100, 100, 100]))
    keep(session, home, FIRST + 2, (FIRST + 3, [70]), at=NOON + timedelta(hours=1), name="b")
    found = planned_energy(session, home, FIRST, FIRST + 5)
    assert [found[FIRST + step] for step in range(5)] == [0, 100, 0, 70, 0]


def test_a_plan_from_before_a_stop_plans_nothing_after_it(session: SchemeSession, home: str) -> None:
    keep(session, home, FIRST, (FIRST, [100, 100, 100, 100]))
    operations.note_stop(session, home, at=NOON + timedelta(hours=1))
    session.expire_all()
    assert [planned_energy(session, home, FIRST, FIRST + 4)[FIRST + step] for step in range(4)] == [100, 100, 0, 0]
    keep(session, home, FIRST + 3, (FIRST + 3, [80]), at=NOON + timedelta(hours=1, minutes=20), name="b")
    assert planned_energy(session, home, FIRST, FIRST + 4)[FIRST + 3] == 80
