"""A shortfall ahead is told when it becomes known: once a week for a car and cause, and nothing of when one leaves."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

import pytest

from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Rendered
from service.planning.models import CurrentPlan, Plan
from service.reminders import operations
from service.reminders.domain.news import ComingShortfall, Reader
from service.reminders.domain.secret_addresses import MutedPerson
from service.reminders.emails import coming_shortfall
from tests.factories.reminders import ADDRESS, NOON, POSTCODE, POSTMARK, add_home, add_person, queued_mail

BASE = "https://charging.example"


def render(news: Sequence[ComingShortfall], reader: Reader, mute_url: str) -> Rendered:
    return coming_shortfall(news, reader, base_url=BASE, mute_url=mute_url)


def mute_url_of(person: MutedPerson) -> str:
    return f"{BASE}/mute/{person.account_id}"


def short(days: float, cause: str = "too_few_hours_at_home", **changes: Any) -> dict[str, Any]:
    return {
        "leaves_at": (NOON + timedelta(days=days)).isoformat(), "short_kwh": 6.3, "short_miles": 21.4,
        "is_reserve_only": False, "cause": cause, "next_step": "Plug in earlier.", **changes,
    }  # fmt: skip


def store(session: SchemeSession, home: str, *shorts: dict[str, Any], name: str = "a") -> None:
    """Put a plan with these shortfalls of one car in force."""
    vehicle = {"vehicle_id": "c" * 32, "label": "Hatchback", "stays": [], "shortfalls": list(shorts)}
    plan = Plan(
        household_id=home, input_fingerprint=name * 64, terms_fingerprint=name * 64, computed_at=NOON, first_slot=0,
        end_slot=336, document={"zone": "Europe/London", "turns": [], "vehicles": [vehicle]}, schedule=[], prices={},
        working=[],
    )  # fmt: skip
    session.add(plan)
    session.flush()
    current = session.get(CurrentPlan, (session.scheme_id, home))
    if current is None:
        current = CurrentPlan(
            id=home, plan_id=plan.id, change_counter=1, as_of_slot=0, planned_at=NOON, day_slot=0, energy_wh=0
        )
        session.add(current)
    current.plan_id, current.short_wh = plan.id, 6_300 * len(shorts)
    session.flush()


def tell(session: SchemeSession, home: str, days: float = 0) -> int:
    return operations.tell_coming_shortfalls(
        session, [home], at=NOON + timedelta(days=days), render=render, mute_url_of=mute_url_of, postmark=POSTMARK
    )


@pytest.fixture
def home(session: SchemeSession) -> str:
    """A home with two members."""
    found = add_home(session)
    add_person(session, "Ada Finch", found)
    add_person(session, "Bo Finch", found)
    return found


def test_each_member_is_told_once_with_what_is_missing_and_what_closes_it(session: SchemeSession, home: str) -> None:
    store(session, home, short(1.5), short(2.5))
    assert operations.homes_short(session, at=NOON) == [home]
    assert tell(session, home) == 2
    assert tell(session, home) == 0
    assert operations.homes_short(session, at=NOON) == [], "told homes need no transaction that writes"
    text = queued_mail(session)[0].text
    assert "Hatchback" in text
    assert "12.6 kWh short, about 43 miles." in text
    assert "Plug in earlier." in text


def test_nothing_in_it_tells_where_the_home_is_or_when_somebody_leaves(session: SchemeSession, home: str) -> None:
    store(session, home, short(1.5))
    tell(session, home)
    mail = queued_mail(session)[0]
    leaves = NOON + timedelta(days=1.5)
    for body in (mail.text, mail.html, mail.subject):
        assert not [w for w in (ADDRESS, POSTCODE, f"{leaves:%H:%M}", f"{leaves:%A}", f"{leaves:%d %B}") if w in body]


def test_another_cause_or_another_week_is_news_the_same_is_not(session: SchemeSession, home: str) -> None:
    store(session, home, short(1.5))
    assert tell(session, home) == 2
    store(session, home, short(2.5), short(2.5, "evidence_ends"), name="b")
    assert tell(session, home, days=1) == 2
    assert "evidence" not in queued_mail(session)[-1].text
    store(session, home, short(9.5), name="d")
    assert tell(session, home, days=8) == 2


def test_a_departure_that_is_over_and_an_outlet_that_may_not_be_used_are_told_elsewhere(
    session: SchemeSession, home: str
) -> None:
    store(session, home, short(-0.5), short(1, "no_usable_outlet"))
    assert tell(session, home) == 0


def test_who_muted_tips_is_left_alone(session: SchemeSession, home: str) -> None:
    store(session, home, short(1.5))
    tell(session, home)
    first = queued_mail(session)[0]
    operations.mute_tips(session, first.account_id, at=NOON)
    store(session, home, short(9.5), name="b")
    assert tell(session, home, days=8) == 1


def test_what_only_eats_into_the_reserve_says_so(session: SchemeSession, home: str) -> None:
    store(session, home, short(1.5, is_reserve_only=True))
    tell(session, home)
    assert "it eats into the reserve" in " ".join(queued_mail(session)[0].text.split())
