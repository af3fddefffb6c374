"""Safety notices: they go out at any hour, nobody can mute them, and the first lines say what to do now."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import DueItem, Reader, StopNews, UnreadNotice
from service.reminders.emails.layout import (
    Link,
    Listed,
    Paragraph,
    Part,
    day_in_words,
    days_in_words,
    ending,
    greeting,
    page_url,
    rendered,
)


def stopped_at_home(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell somebody who lives in the home what to do now, before anything else."""
    link = Link("Say that you have read this, after signing in:", page_url(base_url, "/notices"), "Open the notice")
    parts: list[Part] = [
        greeting(reader),
        Listed("Do this now:", news.do_now),
        *_stop_facts(news, "in your home"),
        *ending(reader, link),
    ]
    return rendered(_stop_subject(news, "at home"), parts)


def stopped_in_scheme(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell an administrator in which home charging was stopped, by its reference, and what lifts it."""
    url = page_url(base_url, f"/households/{news.household_id}")
    parts: list[Part] = [
        greeting(reader),
        *_stop_facts(news, f"in the home {news.reference}"),
        Listed("Its members were told to do this now:", news.do_now),
        Paragraph("Ask them whether they have, and have the inspection or test made; both are recorded on its page."),
        Link("See the home, after signing in:", url, "Open the home"),
    ]
    return rendered(_stop_subject(news, "in a home of the scheme"), parts)


def made_stricter_at_home(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell somebody who lives in the home that the safety officer made an answer stricter."""
    link = Link("Say that you have read this, after signing in:", page_url(base_url, "/notices"), "Open the notice")
    parts: list[Part] = [
        greeting(reader),
        Listed("Do this now:", news.do_now),
        Listed("The scheme's safety officer decided about your home:", news.seen),
        *_lifts(news),
        *ending(reader, link),
    ]
    return rendered(_stop_subject(news, "at home"), parts)


def made_stricter_in_scheme(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell an administrator that a safety officer made an answer stricter in a home."""
    url = page_url(base_url, f"/households/{news.household_id}")
    parts: list[Part] = [
        greeting(reader),
        Listed(f"A safety officer decided about the home {news.reference}:", news.seen),
        *_lifts(news),
        Link("See the home, after signing in:", url, "Open the home"),
    ]
    return rendered(_stop_subject(news, "in a home of the scheme"), parts)


def long_overdue(items: Sequence[DueItem], reader: Reader, *, base_url: str) -> Rendered:
    """Tell somebody who lives in the home what has been overdue for more than four weeks."""
    link = Link("Say that you have read this, after signing in:", page_url(base_url, "/notices"), "Open the notice")
    parts: list[Part] = [
        greeting(reader),
        Paragraph(
            "These were to be checked weeks ago. What is not checked is not known, and no plan charges from it. "
            "Do not charge there until the check is made or the visit has been."
        ),
        *(
            Listed(
                item.label,
                (
                    f"Due {day_in_words(item.due_on)} {item.due_on.year}: {days_in_words(item.days_left)}.",
                    f"Rule: {item.rule}",
                ),
            )
            for item in items
        ),
        *ending(reader, link),
    ]
    return rendered("Checks at home are overdue: do not charge there", parts)


def ring_about(notices: Sequence[UnreadNotice], reader: Reader, *, base_url: str, zone: ZoneInfo) -> Rendered:
    """Ask a duty contact to ring people whom a safety notice has not reached; homes stand by their reference."""
    parts: list[Part] = [
        greeting(reader),
        Paragraph("Please ring these homes now. A safety notice has not reached somebody who lives there."),
        *(
            Listed(
                f"{notice.reference}: {notice.subject}",
                (f"Told {notice.told_at.astimezone(zone):%d.%m.%Y at %H:%M}", f"Why you ring: {notice.why}"),
            )
            for notice in notices
        ),
        Paragraph("The page shows whom to ring, the number where it is known, and what they were told."),
        Link("See whom to ring, after signing in:", page_url(base_url, "/duty"), "Open the list"),
    ]
    count = len(notices)
    many = f"Ring {count} homes: safety notices are unread"
    return rendered("Ring a home: a safety notice is unread" if count == 1 else many, parts)


def _stop_subject(news: StopNews, where: str) -> str:
    return f"Stop charging {where}" if news.is_danger else f"Do not charge {where} until it has been looked at"


def _stop_facts(news: StopNews, where: str) -> list[Part]:
    return [
        Listed(f"This was reported {where}:", news.seen),
        Paragraph(
            "What follows must not be used until its own evidence is recorded. No plan uses it any more; "
            "resetting something, or waiting, lifts nothing."
        ),
        *_lifts(news),
    ]


def _lifts(news: StopNews) -> list[Part]:
    return [Listed(f"{thing.label}: lifted by", thing.lifts) for thing in news.things]
