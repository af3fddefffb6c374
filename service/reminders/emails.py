"""Messages out of values: each is worded once as a few parts, and the parts are written as text and as HTML.

User-entered words never reach a subject, are kept to one line, and are escaped in HTML.  A message holds no
address and nothing about who is at home; its link leads to a page that asks for a sign-in.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from html import escape
from zoneinfo import ZoneInfo

from service.infrastructure.mail.queue import Rendered
from service.planning.domain.plan_document import CAUTIONS
from service.reminders.domain.news import CarTimes, ChargingTime, DueItem, PlanNews, Reader, StopNews, Why

SHOWN_TIMES_MAX = 14
"""Own choice: two charging times a day for a week; a longer list is read better on the page."""

TEXT_WIDTH = 76
NEWS_OF = {
    Why.TARIFF_CHANGE: "Your tariff's prices changed.",
    Why.PRICES_ARRIVED: "New half-hourly prices have arrived.",
    Why.NEW_DAY: "The week ahead was planned afresh for the new day.",
    Why.HOUSEHOLD_CHANGE: "Something that your plan is made from was changed.",
}


@dataclass(frozen=True)
class _Paragraph:
    words: str


@dataclass(frozen=True)
class _List:
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class _Link:
    words: str
    url: str


_Part = _Paragraph | _List | _Link


def plan_changed(news: PlanNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell a member the new charging times, and why they moved."""
    parts: list[_Part] = [
        _Paragraph(f"Hello {reader.name},"),
        _Paragraph(f"{_why(news)} These are the charging times that now hold. Set your timers to them."),
        *(_List(car.label, tuple(_time_lines(car, news.zone))) for car in news.cars),
    ]
    if news.is_short:
        parts.append(_Paragraph("Not all of the charge you need fits. Open the plan to see why, and what to do."))
    parts += _ending(reader, _Link("See the whole plan, after signing in:", _today_url(base_url)))
    return _rendered("New charging times", parts)


def recheck_due(items: Sequence[DueItem], reader: Reader, *, base_url: str) -> Rendered:
    """Remind a member of everything that is to be checked again."""
    is_one = len(items) == 1
    parts = [
        _Paragraph(f"Hello {reader.name},"),
        _Paragraph("This is to be checked again:" if is_one else "These are to be checked again:"),
        *(_List(item.label, _item_lines(item)) for item in items),
        *_ending(reader, _Link("See what is recorded, after signing in:", _today_url(base_url))),
    ]
    return _rendered("A recheck is due" if is_one else f"{len(items)} rechecks are due", parts)


def stopped_at_home(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell somebody who lives in the home what to do now, before anything else."""
    parts = [
        _Paragraph(f"Hello {reader.name},"),
        _List("Do this now:", news.do_now),
        *_stop_facts(news, "in your home"),
        *_ending(reader, _Link("See how it stands, after signing in:", _today_url(base_url))),
    ]
    return _rendered(_stop_subject(news, "at home"), parts)


def stopped_in_scheme(news: StopNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell an administrator in which home charging was stopped, by its reference, and what lifts it."""
    parts = [
        _Paragraph(f"Hello {reader.name},"),
        *_stop_facts(news, f"in the home {news.reference}"),
        _List("Its members were told to do this now:", news.do_now),
        _Paragraph("Ask them whether they have, and have the inspection or test made; both are recorded on its page."),
        _Link("See the home, after signing in:", f"{base_url.rstrip('/')}/households/{news.household_id}"),
    ]
    return _rendered(_stop_subject(news, "in a home of the scheme"), parts)


def _stop_subject(news: StopNews, where: str) -> str:
    return f"Stop charging {where}" if news.is_danger else f"Do not charge {where} until it has been looked at"


def _stop_facts(news: StopNews, where: str) -> list[_Part]:
    return [
        _List(f"This was reported {where}:", news.seen),
        _Paragraph(
            "What follows must not be used until its own evidence is recorded. No plan uses it any more; "
            "resetting something, or waiting, lifts nothing."
        ),
        *(_List(f"{thing.label}: lifted by", thing.lifts) for thing in news.things),
    ]


def days_in_words(days_left: int) -> str:
    """Return how far off a due date is.

    >>> days_in_words(14), days_in_words(1), days_in_words(0), days_in_words(-7)
    ('in 14 days', 'in 1 day', 'today', 'overdue by 7 days')
    """
    if days_left == 0:
        return "today"
    count = f"{abs(days_left)} day" + ("" if abs(days_left) == 1 else "s")
    return f"in {count}" if days_left > 0 else f"overdue by {count}"


def _why(news: PlanNews) -> str:
    if news.why is Why.TARIFF_CHANGE and news.since_on is not None:
        verb = "change" if news.since_on > news.today else "changed"
        return f"Your tariff's prices {verb} from {_day(news.since_on)} {news.since_on.year}."
    return NEWS_OF[news.why]


def _time_lines(car: CarTimes, zone: ZoneInfo) -> Iterable[str]:
    if not car.times:
        yield "No charging is planned in the coming days."
    for time in car.times[:SHOWN_TIMES_MAX]:
        yield _time_line(time, zone)
    if len(car.times) > SHOWN_TIMES_MAX:
        yield f"And {len(car.times) - SHOWN_TIMES_MAX} more in the plan."


def _time_line(time: ChargingTime, zone: ZoneInfo) -> str:
    starts, ends = time.starts_at.astimezone(zone), time.ends_at.astimezone(zone)
    # On the night of a clock change the same hour comes twice, or one is missing: say which clock is meant.
    is_told = starts.utcoffset() != ends.utcoffset() or _comes_twice(starts) or _comes_twice(ends)
    start, end = (f"{each:%H:%M}" + (f" {each.tzname()}" if is_told else "") for each in (starts, ends))
    end_day = "" if starts.date() == ends.date() else f"{_day(ends.date())}, "
    return f"{_day(starts.date())}, {start} to {end_day}{end}"


def _comes_twice(local: datetime) -> bool:
    return local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"


def _item_lines(item: DueItem) -> tuple[str, ...]:
    return f"Due {_day(item.due_on)} {item.due_on.year}: {days_in_words(item.days_left)}.", f"Rule: {item.rule}"


def _ending(reader: Reader, link: _Link) -> list[_Part]:
    who = ", ".join(reader.contacts)
    ask = f"Anything unclear? Ask those who run your scheme{': ' if who else ''}{who}."
    return [link, *(_Paragraph(caution) for caution in CAUTIONS), _Paragraph(ask)]


def _today_url(base_url: str) -> str:
    return base_url.rstrip("/") + "/today"


def _rendered(subject: str, parts: Sequence[_Part]) -> Rendered:
    text = "\n\n".join(_as_text(part) for part in parts) + "\n"
    body = "\n".join(_as_html(part) for part in parts)
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        # No colours are set: the reader's own, light or dark, hold.
        f'<meta name="color-scheme" content="light dark"><title>{escape(subject)}</title>'
    )
    page = f'<!doctype html>\n<html lang="en"><head>{head}</head>\n<body>\n{body}\n</body></html>\n'
    return Rendered(subject, text, page)


def _as_text(part: _Part) -> str:
    match part:
        case _Paragraph(words):
            return _wrapped(words)
        case _List(title, lines):
            return "\n".join([_wrapped(title), *(_wrapped(line, bullet="- ") for line in lines)])
        case _Link(words, url):
            return f"{words}\n{url}"


def _as_html(part: _Part) -> str:
    match part:
        case _Paragraph(words):
            return f"<p>{escape(_one_line(words))}</p>"
        case _List(title, lines):
            items = "".join(f"<li>{escape(_one_line(line))}</li>" for line in lines)
            return f"<p>{escape(_one_line(title))}</p>\n<ul>{items}</ul>"
        case _Link(words, url):
            return f'<p>{escape(words)} <a href="{escape(url)}">{escape(url)}</a></p>'


def _wrapped(words: str, bullet: str = "") -> str:
    return textwrap.fill(
        _one_line(words), TEXT_WIDTH, initial_indent=bullet, subsequent_indent=" " * len(bullet),
        break_long_words=False, break_on_hyphens=False,
    )


def _one_line(words: str) -> str:
    """Return words without line ends or other control characters: a name must not forge a line of its own."""
    return " ".join("".join(c if c.isprintable() else " " for c in words).split())
