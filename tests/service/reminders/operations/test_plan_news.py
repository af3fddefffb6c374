"""Moved charging times are told once for one cause to every member of the home, and to nobody else."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from service.accounts.models import Role
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Rendered
from service.planning.domain.events import PlanChanged
from service.planning.models import CurrentPlan, Plan
from service.reminders import operations
from service.reminders.domain.news import PlanNews, Reader
from service.reminders.domain.secret_addresses import MutedPerson
from service.reminders.emails import plan_changed
from tests.factories.reminders import ADDRESS, NOON, POSTCODE, POSTMARK, add_home, add_person, queued_mail
from tests.factories.tariffs import flat_draft, tariff_with

BASE = "https://charging.example"


def render(news: PlanNews, reader: Reader, mute_url: str) -> Rendered:
    return plan_changed(news, reader, base_url=BASE, mute_url=mute_url)


def mute_url_of(person: MutedPerson) -> str:
    return f"{BASE}/mute/{person.account_id}"


def _store_plan(session: SchemeSession, household_id: str, *times: tuple[datetime, datetime]) -> str:
    """Store a plan in force as planning does, with one car."""
    blocks = [{"starts_at": start.isoformat(), "ends_at": end.isoformat()} for start, end in times]
    vehicle = {"label": "Hatchback", "stays": [{"blocks": blocks}], "shortfalls": []}
    document = {"zone": "Europe/London", "vehicles": [vehicle]}
    plan = Plan(
        household_id=household_id,
        input_fingerprint="f" * 64,
        terms_fingerprint="e" * 64,
        computed_at=NOON,
        first_slot=0,
        end_slot=336,
        document=document,
        schedule=[],
        prices={},
        working=[],
    )
    session.add(plan)
    session.flush()
    session.add(
        CurrentPlan(
            id=household_id,
            plan_id=plan.id,
            change_counter=1,
            as_of_slot=0,
            planned_at=NOON,
            day_slot=0,
            energy_wh=0,
            short_wh=0,
        )
    )
    session.flush()
    return plan.id


@pytest.fixture
def home(session: SchemeSession) -> str:
    """A home with two members and a plan."""
    home = add_home(session)
    add_person(session, "Ada Finch", home)
    add_person(session, "Bo Finch", home)
    _store_plan(session, home, (datetime(2026, 11, 26, 0, 30, tzinfo=UTC), datetime(2026, 11, 26, 4, 0, tzinfo=UTC)))
    return home


def _event(home: str, **changes: Any) -> PlanChanged:
    return PlanChanged(
        **{"household_id": home, "plan_id": "p", "reason": "tariff_change", "occasion": "day/1", **changes}
    )


def _tell(session: SchemeSession, event: PlanChanged) -> int:
    return operations.tell_plan_changed(
        session, event, at=NOON, render=render, mute_url_of=mute_url_of, postmark=POSTMARK
    )


def test_each_member_of_the_home_gets_the_new_times_once(session: SchemeSession, home: str) -> None:
    add_person(session, "Cy Other", add_home(session, "H-2"))
    add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    add_person(session, "Di Left", home, ended_at=NOON - timedelta(days=1))
    assert _tell(session, _event(home)) == 2
    mail = sorted(queued_mail(session), key=lambda each: each.recipient)
    assert [each.recipient for each in mail] == ["ada@people.example", "bo@people.example"]
    assert {(each.kind, each.household_id, each.status) for each in mail} == {("plan_changed", home, "waiting")}
    assert "Hello Ada Finch," in mail[0].text
    assert "Thursday 26 November, 00:30 to 04:00" in mail[0].text
    assert "Ask those who run your scheme: Rowan Ellery." in mail[0].text


def test_the_same_cause_is_told_once_and_another_cause_again(session: SchemeSession, home: str) -> None:
    assert [_tell(session, _event(home)), _tell(session, _event(home, plan_id="q"))] == [2, 0]
    assert _tell(session, _event(home, occasion="day/2")) == 2
    assert len({each.message_id for each in queued_mail(session)}) == 4


def test_a_member_who_joined_meanwhile_is_told_by_the_repeat(session: SchemeSession, home: str) -> None:
    _tell(session, _event(home))
    add_person(session, "Eli Finch", home)
    assert _tell(session, _event(home)) == 1


def test_a_tariff_change_names_the_day_it_takes_over(session: SchemeSession, home: str) -> None:
    _, [version_id] = tariff_with(session, flat_draft(on=date(2026, 12, 1)))
    _tell(session, _event(home, reason="tariff_change", occasion=f"tariff/{version_id}"))
    assert "Your tariff's prices change from Tuesday 1 December 2026." in " ".join(queued_mail(session)[0].text.split())


def test_a_tariff_change_without_a_known_version_is_told_without_a_day(session: SchemeSession, home: str) -> None:
    _tell(session, _event(home, reason="tariff_change", occasion="tariff/unknown"))
    assert "Your tariff's prices changed. These" in " ".join(queued_mail(session)[0].text.split())


def test_a_home_without_a_plan_gets_no_message(session: SchemeSession) -> None:
    home = add_home(session, "H-3")
    add_person(session, "Flo Reed", home)
    assert _tell(session, _event(home)) == 0
    assert queued_mail(session) == []


def test_the_longest_occasion_fits_the_key(session: SchemeSession, home: str) -> None:
    assert _tell(session, _event(home, occasion="x" * 120)) == 2
    assert max(len(each.dedupe_key) for each in queued_mail(session)) <= 200


def test_no_address_is_in_a_message(session: SchemeSession, home: str) -> None:
    _tell(session, _event(home))
    for each in queued_mail(session):
        assert not any(word in each.subject + each.text + each.html for word in (ADDRESS, POSTCODE))


@pytest.mark.parametrize("reason", ["new_day", "household_change"])
def test_a_new_day_and_ones_own_change_are_no_news(session: SchemeSession, home: str, reason: str) -> None:
    assert _tell(session, _event(home, reason=reason)) == 0


def test_it_is_a_tip_with_a_way_to_turn_it_off_and_who_did_gets_none(session: SchemeSession, home: str) -> None:
    add_person(session, "Gil Muted", home, tips_muted_at=NOON)
    assert _tell(session, _event(home)) == 2
    for mail in queued_mail(session):
        assert mail.unsubscribe_url == f"{BASE}/mute/{mail.account_id}"
        assert f"Turn it off here: {mail.unsubscribe_url}" in " ".join(mail.text.split())
