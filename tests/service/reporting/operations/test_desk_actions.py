"""Visits asked for from the desk: for each home that needs one, once, and for the homes that were seen."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import select

from service.common.errors import NotFound, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.reporting.operations import AskedVisits, DeskFilter, ask_visits
from service.reporting.operations.desk_actions import OtherHomes
from service.safety.models import Visit
from tests.conftest import NOON
from tests.factories.households import FurnishedHome, furnished_home
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases


@pytest.fixture
def homes(session: SchemeSession) -> list[FurnishedHome]:
    """Two homes without an inspection and one that is clear."""
    made = [furnished_home(session, reference=f"H-{number}") for number in range(3)]
    inspect(session, made[2].id, made[2].outlet_id)
    return made


def ask(session: SchemeSession, ids: list[str] | None, count: int, matching: DeskFilter | None = None) -> AskedVisits:
    return ask_visits(session, ids, matching, household_count=count, reason="seen at the desk", by="f" * 32, at=NOON)


def test_homes_that_are_clear_or_wait_already_are_left_out(
    session: SchemeSession, homes: list[FurnishedHome]
) -> None:
    ids = [home.id for home in homes]
    assert ask(session, ids[:1], 1) == AskedVisits(1, 0, 0)
    assert ask(session, ids, 3) == AskedVisits(1, 1, 1)
    visits: Any = session.scalars(select(Visit).order_by(Visit.household_id)).all()
    assert sorted((visit.household_id, visit.outlet_ids) for visit in visits) == sorted(
        (home.id, [home.outlet_id]) for home in homes[:2]
    )


def test_all_that_match_are_asked_for(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    assert ask(session, None, 2, DeskFilter(missing="inspection")) == AskedVisits(2, 0, 0)


def test_another_number_than_was_seen_asks_for_none(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    with pytest.raises(OtherHomes):
        ask(session, None, 3, DeskFilter(missing="inspection"))
    assert session.scalars(select(Visit)).first() is None


def test_a_home_that_is_not_of_the_scheme_asks_for_none(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    with pytest.raises(NotFound):
        ask(session, [homes[0].id, "0" * 32], 2)


def test_homes_and_a_filter_at_once_are_refused(session: SchemeSession, homes: list[FurnishedHome]) -> None:
    for ids, matching in (([homes[0].id], DeskFilter()), (None, None)):
        with pytest.raises(Rejected):
            ask(session, ids, 1, matching)


def test_too_many_at_once_are_refused(
    session: SchemeSession, homes: list[FurnishedHome], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.reporting.operations.desk_actions.MOST_HOMES", 2)
    with pytest.raises(Rejected, match="at most 2"):
        ask(session, [home.id for home in homes], 3)
