"""A week that holds a clock change: the same charging times on screen, in the calendar feed and in the mail."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar
from sqlalchemy import select

from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.tariffs.operations import publish_version
from service.worker import create_worker
from tests.conftest import NOON
from tests.factories.fleet import make_fleet
from tests.factories.home_clients import send

LONDON = ZoneInfo("Europe/London")
HALF_HOUR = timedelta(minutes=30)
# A Thursday, the Sunday on which the clock changes, and how long 01:00 to 05:00 on its clock really lasts.
WEEKENDS = [
    pytest.param(date(2027, 3, 25), date(2027, 3, 28), 3, id="spring"),
    pytest.param(date(2027, 10, 28), date(2027, 10, 31), 5, id="autumn"),
]


def blocks_of(client: Any, path: str) -> list[tuple[datetime, datetime]]:
    plan = client.get(f"{path}/plan").json
    return [
        (datetime.fromisoformat(block["starts_at"]), datetime.fromisoformat(block["ends_at"]))
        for car in plan["vehicles"] for stay in car["stays"] for block in stay["blocks"]
    ]  # fmt: skip


@pytest.mark.parametrize(("thursday", "sunday", "real_hours"), WEEKENDS)
def test_charging_times_are_wall_clock_times_and_real_lengths_everywhere(
    settings: Settings, database: Database, clock: FixedClock, scheme: str, client: Callable[..., Any],
    thursday: date, sunday: date, real_hours: int,
) -> None:  # fmt: skip
    clock.move(datetime(thursday.year, thursday.month, thursday.day, 12, tzinfo=UTC) - NOON)
    fleet = make_fleet(database, scheme, 2, seed=11, now=clock.now(), moving_share=0.5)
    home_id = fleet.moving_household_ids[0]
    worker = create_worker(settings, database=database, clock=clock)
    worker.prepare_plans()
    member, path = client("member", scheme, home_id), f"/api/v1/households/{home_id}"
    car = member.get(f"{path}/vehicles").json["items"][0]["id"]
    assert send(member, "PUT", f"{path}/vehicles/{car}/state_of_charge", {"percent": 0}, etag="*").status_code == 200
    worker.prepare_plans()

    # The screen: the block of that night fills the cheap hours of the wall clock, whose length is that of the night.
    found = blocks_of(member, path)
    start, end = next(each for each in found if each[0].astimezone(LONDON).date() == sunday)
    opens = datetime(sunday.year, sunday.month, sunday.day, 1, tzinfo=LONDON)
    closes = datetime(sunday.year, sunday.month, sunday.day, 5, tzinfo=LONDON)
    assert closes.astimezone(UTC) - opens.astimezone(UTC) == timedelta(hours=real_hours)
    assert (start, end) == (opens.astimezone(UTC), closes.astimezone(UTC))
    week = member.get(f"{path}/plan/week").json
    day = next(each for each in week["days"] if each["on"] == sunday.isoformat())
    assert day["count"] == 44 + 2 * real_hours - 4  # 46 half-hours in spring, 50 in autumn
    drawn = week["vehicles"][0]["energy_kwh"][day["first"] : day["first"] + day["count"]]
    assert sum(1 for energy in drawn if energy) >= 2 * real_hours

    # The calendar feed: the same instants.
    feed = send(member, "POST", "/api/v1/feeds", {"kind": "plan"}, key="feed").json
    calendar = Calendar.from_ical(member.get(feed["url"][feed["url"].index("/api/") :]).data)
    events = {(event["dtstart"].dt, event["dtend"].dt) for event in calendar.walk("VEVENT")}
    assert (start, end) in events
    assert events == set(found)

    # The mail about a new version: times of day as the clock on the wall shows them.
    with database.scheme(scheme, write=True) as session:
        publish_version(session, fleet.tariff_id, fleet.draft_version_id, by=None, at=clock.now())
    worker.prepare_plans()
    moved = blocks_of(member, path)
    start, end = next(each for each in moved if each[0].astimezone(LONDON).date() == sunday)
    assert end - start == timedelta(hours=4), "02:30 to 06:30 lie after the change"
    with database.scheme(scheme, write=False) as session:
        of_home = select(Mail.text).where(Mail.household_id == home_id, Mail.dedupe_key.contains("/tariff/"))
        texts = session.scalars(of_home).all()
    assert texts
    assert all(f"Sunday {sunday.day} {sunday:%B}, 02:30 to 06:30" in text for text in texts)
