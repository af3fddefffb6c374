"""The verdict on a lead from what is stored."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from service.advice.domain.lead_question import Verdict
from service.advice.domain.lead_verdict import Asked
from service.advice.operations.lead import get_lead_verdict
from service.common.errors import NotFound
from service.households import operations
from service.households.domain.diary import DatedJourney, WeeklyDeparture
from service.households.domain.diary_days import DiaryEntry
from service.infrastructure.db.sessions import SchemeSession
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

MILES = 20


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    """A cleared home whose car drives twenty miles on each of 70 days."""
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    week = [WeeklyDeparture(day, 480, 1080, 0, Decimal(MILES)) for day in range(7)]
    operations.put_routine(session, home.id, home.car_id, week, **WRITING)
    days = [DiaryEntry(NOON.date() - timedelta(days=ago), Decimal(MILES)) for ago in range(1, 71)]
    operations.enter_days(session, home.id, home.car_id, days, **WRITING)
    session.commit()
    return home


def test_the_newest_sixty_days_count(session: SchemeSession, home: FurnishedHome) -> None:
    found = get_lead_verdict(session, home.id, home.car_id, Asked(), at=NOON)
    assert (found.verdict, found.days_kept) == (Verdict.ENOUGH, 60)
    assert found.answer is not None
    assert found.answer.nights[0].on == date(2026, 9, 26)
    assert found.answer.driven_miles == MILES


def test_journeys_ahead_are_read(session: SchemeSession, home: FurnishedHome) -> None:
    leaves = NOON + timedelta(days=30)
    journey = DatedJourney(leaves, leaves + timedelta(hours=8), Decimal(180))
    operations.add_journey(session, home.id, home.car_id, journey, **WRITING)
    found = get_lead_verdict(session, home.id, home.car_id, Asked(), at=NOON)
    assert found.answer is not None
    assert (found.answer.long_miles, found.answer.week_permille) == (180, 19)


def test_asking_twice_gives_the_same_and_stores_nothing(session: SchemeSession, home: FurnishedHome) -> None:
    first = get_lead_verdict(session, home.id, home.car_id, Asked(), at=NOON)
    assert get_lead_verdict(session, home.id, home.car_id, Asked(), at=NOON) == first
    assert not session.new and not session.dirty


def test_another_homes_car_is_not_found(session: SchemeSession, home: FurnishedHome) -> None:
    other = furnished_home(session, reference="H-2")
    with pytest.raises(NotFound):
        get_lead_verdict(session, home.id, other.car_id, Asked(), at=NOON)
