"""What a safety notice says in the app: the news in a few lines, what to do first for those at home."""

from __future__ import annotations

from collections.abc import Iterable

from service.reminders.domain.news import DueItem, StopNews

LONGEST_TEXT = 4000


def for_the_home(news: StopNews) -> str:
    """Return the lines for somebody who lives there: what to do now stands first."""
    return _lines("Do this now:", news.do_now, "This was reported in your home:", news.seen, *_stopped(news))


def for_the_scheme(news: StopNews) -> str:
    """Return the lines for who runs the scheme, with the home's reference and nothing else of it."""
    return _lines(
        f"This was reported in the home {news.reference}:", news.seen, *_stopped(news),
        "Its members were told to do this now:", news.do_now,
    )


def long_overdue(items: Iterable[DueItem]) -> str:
    """Return the lines about rechecks that nobody made for four weeks and more."""
    lines = [f"{item.label}: due {item.due_on.day} {item.due_on:%B %Y}. {item.rule}." for item in items]
    return _lines(
        "These were to be checked weeks ago. What is not checked is not known, and no plan charges from it:", lines,
        "Ask those who run your scheme for a visit, or make the check that is due.", (),
    )


def _stopped(news: StopNews) -> list[str | Iterable[str]]:
    found: list[str | Iterable[str]] = []
    for thing in news.things:
        found += [f"{thing.label} must not be used. Lifted by:", thing.lifts]
    return found


def _lines(*parts: str | Iterable[str]) -> str:
    """Join titles and their lists: a text is a line, the lines of a list get a dash."""
    lines: list[str] = []
    for part in parts:
        lines += [part] if isinstance(part, str) else [f"- {line}" for line in part]
    return "\n".join(lines)[:LONGEST_TEXT]
