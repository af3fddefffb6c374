"""How a message is laid out: worded once as a few parts, and the parts are written as text and as HTML.

User-entered words never reach a subject, are kept to one line, and are escaped in HTML.  Nothing is fetched from
elsewhere, styles stand at the elements, and no colour is set but a grey that both light and dark backgrounds show.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from service.infrastructure.mail.queue import Rendered
from service.planning.domain.plan_document import CAUTIONS
from service.reminders.domain.news import Reader

TEXT_WIDTH = 76
_PAGE = (
    "max-width:36em;margin:0 auto;padding:16px;font-family:system-ui,-apple-system,'Segoe UI',Roboto,sans-serif;"
    "font-size:16px;line-height:1.5"
)
_PARAGRAPH = "margin:0 0 14px"
_BOX = "margin:0 0 14px;padding:10px 14px;border:1px solid #808080;border-radius:6px"
_BOX_TITLE = "margin:0 0 4px;font-weight:bold"
_ITEMS = "margin:0;padding:0 0 0 20px"
_BUTTON = (
    "display:inline-block;padding:10px 18px;border:2px solid;border-radius:6px;font-weight:bold;color:inherit;"
    "text-decoration:none"
)
_SMALL = "margin:0 0 10px;font-size:13px;line-height:1.4"


@dataclass(frozen=True)
class Paragraph:
    """Some sentences."""

    words: str


@dataclass(frozen=True)
class Listed:
    """A title with a line for each thing."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Link:
    """Where the reader goes to act; ``words`` say where that is."""

    words: str
    url: str
    label: str = "Open it"


@dataclass(frozen=True)
class Small:
    """Sentences of the foot."""

    words: str


Part = Paragraph | Listed | Link | Small


def days_in_words(days_left: int) -> str:
    """Return how far off a due date is.

    >>> days_in_words(14), days_in_words(1), days_in_words(0), days_in_words(-7)
    ('in 14 days', 'in 1 day', 'today', 'overdue by 7 days')
    """
    if days_left == 0:
        return "today"
    count = f"{abs(days_left)} day" + ("" if abs(days_left) == 1 else "s")
    return f"in {count}" if days_left > 0 else f"overdue by {count}"


def day_in_words(day: date) -> str:
    """Return a weekday and date without its year."""
    return f"{day:%A} {day.day} {day:%B}"


def page_url(base_url: str, path: str) -> str:
    """Return the address of one of our pages; the base is a setting, never what a request said."""
    return base_url.rstrip("/") + path


def greeting(reader: Reader) -> Paragraph:
    """Return the first line."""
    return Paragraph(f"Hello {reader.name},")


def ending(reader: Reader, link: Link) -> list[Part]:
    """Return the link, the cautions and whom to ask."""
    who = ", ".join(reader.contacts)
    ask = f"Anything unclear? Ask those who run your scheme{': ' if who else ''}{who}."
    return [link, *(Small(caution) for caution in CAUTIONS), Small(ask)]


def rendered(subject: str, parts: Sequence[Part]) -> Rendered:
    """Write the parts as text and as HTML."""
    text = "\n\n".join(_as_text(part) for part in parts) + "\n"
    body = "\n".join(_as_html(part) for part in parts)
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        # No colours are set: the reader's own, light or dark, hold.
        '<meta name="color-scheme" content="light dark"><meta name="supported-color-schemes" content="light dark">'
        f"<title>{escape(subject)}</title>"
    )
    body = f'<body><div style="{_PAGE}">\n{body}\n</div></body>'
    return Rendered(subject, text, f'<!doctype html>\n<html lang="en-GB"><head>{head}</head>\n{body}</html>\n')


def _as_text(part: Part) -> str:
    match part:
        case Paragraph(words) | Small(words):
            return _wrapped(words)
        case Listed(title, lines):
            return "\n".join([_wrapped(title), *(_wrapped(line, bullet="- ") for line in lines)])
        case Link(words, url, label):
            return f"{_wrapped(words)}\n{label}: {url}"


def _as_html(part: Part) -> str:
    match part:
        case Paragraph(words):
            return f'<p style="{_PARAGRAPH}">{escape(one_line(words))}</p>'
        case Small(words):
            return f'<p style="{_SMALL}">{escape(one_line(words))}</p>'
        case Listed(title, lines):
            items = "".join(f"<li>{escape(one_line(line))}</li>" for line in lines)
            shown = f'<ul style="{_ITEMS}">{items}</ul>' if lines else ""
            return f'<div style="{_BOX}"><p style="{_BOX_TITLE}">{escape(one_line(title))}</p>{shown}</div>'
        case Link(words, url, label):
            return (
                f'<p style="{_PARAGRAPH}">{escape(one_line(words))}</p>\n'
                f'<p style="{_PARAGRAPH}"><a style="{_BUTTON}" href="{escape(url)}">{escape(label)}</a></p>\n'
                f'<p style="{_SMALL};word-break:break-all">{escape(url)}</p>'
            )


def _wrapped(words: str, bullet: str = "") -> str:
    return textwrap.fill(
        one_line(words), TEXT_WIDTH, initial_indent=bullet, subsequent_indent=" " * len(bullet),
        break_long_words=False, break_on_hyphens=False,
    )


def one_line(words: str) -> str:
    """Return words without line ends or other control characters: a name must not forge a line of its own."""
    return " ".join("".join(c if c.isprintable() else " " for c in words).split())
