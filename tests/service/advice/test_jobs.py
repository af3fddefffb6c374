"""The clock reckons homes a few at a time, of every scheme, and then rests."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import func, select

from service.advice import jobs
from service.advice.models import UpgradeStanding
from service.common.clock import FixedClock
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from tests.conftest import NOON
from tests.factories.fleet import make_fleet


def context_of(settings: Settings, database: Any) -> JobContext:
    return JobContext(settings, database, FixedClock(NOON), None)  # type: ignore[arg-type]


def count(database: Any, scheme: str) -> int:
    with database.scheme(scheme, write=False) as session:
        return session.scalar(select(func.count()).select_from(UpgradeStanding)) or 0


def test_a_tick_reckons_so_many_and_the_next_the_rest(
    settings: Settings, database: Any, scheme: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = "c" * 32
    make_fleet(database, scheme, 5, seed=3, now=NOON)
    make_fleet(database, other, 2, seed=4, now=NOON)
    monkeypatch.setattr(jobs, "HOMES_A_TICK", 4)
    monkeypatch.setattr(jobs, "HOMES_A_WRITE", 3)
    context = context_of(settings, database)
    assert [jobs.reckon_upgrades(context) for _ in range(3)] == [4, 3, 0]
    assert (count(database, scheme), count(database, other)) == (5, 2)
