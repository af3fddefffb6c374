"""What is to be checked again, to members; and in which homes it was left undone, to administrators."""

from __future__ import annotations

from collections.abc import Sequence

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import AskedCheck, DueItem, OverdueHome, OverdueNews, Reader
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

ACTS = {
    "/check": ("Make the check, after signing in:", "Make the check"),
    "/outlets": ("Ask for a visit, after signing in:", "Ask for a visit"),
    "/reminders": ("See what is due, after signing in:", "See what is due"),
}


def recheck_due(items: Sequence[DueItem], reader: Reader, *, base_url: str) -> Rendered:
    """Remind a member of everything that is to be checked again; the link leads to where the first of it is done."""
    is_one = len(items) == 1
    acts = {item.act for item in items}
    act = acts.pop() if len(acts) == 1 else "/reminders"
    words, label = ACTS.get(act, ACTS["/reminders"])
    parts: list[Part] = [
        greeting(reader),
        Paragraph("This is to be checked again:" if is_one else "These are to be checked again:"),
        *(Listed(item.label, _item_lines(item)) for item in items),
        *ending(reader, Link(words, page_url(base_url, act), label)),
    ]
    return rendered("A recheck is due" if is_one else f"{len(items)} rechecks are due", parts)


def check_asked(asked: AskedCheck, reader: Reader, *, base_url: str) -> Rendered:
    """Ask a member, because the scheme wants it now, to make the check; what else is due stands in it too."""
    words, label = ACTS["/check"]
    parts: list[Part] = [
        greeting(reader),
        Paragraph("Those who run your scheme ask you to check what you charge with. It takes about a minute."),
        Paragraph(
            "Leave the charge off. Look, smell and listen first, and touch nothing that is scorched, wet or "
            "crackling: report it in the app instead, and do not charge."
        ),
        *(Listed(item.label, _item_lines(item)) for item in asked.dated),
        *(Listed(label, ("No check that counts is recorded.",)) for label in asked.without),
    ]
    if asked.others:
        parts.append(Paragraph("Besides, this is to be done:"))
        parts += [Listed(item.label, _item_lines(item)) for item in asked.others]
    parts += ending(reader, Link(words, page_url(base_url, "/check"), label))
    return rendered("Please make the check", parts)


def overdue_in_scheme(news: OverdueNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell an administrator, once a day at most, in which homes something has been overdue for weeks."""
    count = len(news.new)
    parts: list[Part] = [
        greeting(reader),
        Paragraph(
            "Something has been overdue for a week or more in the homes below. Their members have been reminded. "
            "What is not checked is not known, and no plan charges from it."
        ),
        Listed("New in this message, by the home's reference:", tuple(map(_home_line, news.new))),
    ]
    if news.known:
        parts.append(Listed("Told before and still overdue:", tuple(map(_home_line, news.known))))
    if news.unlisted:
        parts.append(Paragraph(f"And {news.unlisted} more homes; the page lists them all."))
    parts.append(
        Link(
            "See all homes with something overdue, after signing in:",
            page_url(base_url, "/households?overdue=true"),
            "Open the list",
        )
    )
    return rendered(f"Overdue in {count} home{'' if count == 1 else 's'} of the scheme", parts)


def _item_lines(item: DueItem) -> tuple[str, ...]:
    lines = (
        f"Due {day_in_words(item.due_on)} {item.due_on.year}: {days_in_words(item.days_left)}.",
        f"Rule: {item.rule}",
    )
    return (*lines, "The date is claimed: its document is missing.") if item.is_claimed else lines


def _home_line(home: OverdueHome) -> str:
    things = "1 thing" if home.items == 1 else f"{home.items} things"
    return f"{home.reference}: {things}, overdue by up to {home.days} days"
