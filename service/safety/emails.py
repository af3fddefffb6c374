"""The message that carries an electrician's link: no member's name and no address of a home stands in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from html import escape

from service.infrastructure.mail.queue import Rendered
from service.safety.operations.links import LinkLetter

SPENT_BY_SUBMITTING = (
    "Opening the link uses nothing up, and neither does a draft: it is spent when you submit. Whoever has this link "
    "can record results with it, so do not pass it on."
)
NOT_VERIFIED = "What you state of your registration is recorded as stated; nobody here verifies it."


def inspection_link(letter: LinkLetter) -> Rendered:
    """Ask an electrician to record what he finds, by the link; its secret stands behind the # of the address."""
    subject = "Correct an inspection" if letter.is_correction else "Record an inspection"
    paragraphs = list(_paragraphs(letter))
    words = "Open the form:"
    text = "\n\n".join([*paragraphs[:2], f"{words}\n{letter.url}", *paragraphs[2:]]) + "\n"
    link = f'<p>{words} <a href="{escape(letter.url)}">{escape(letter.url)}</a></p>'
    shown = [f"<p>{escape(each)}</p>" for each in paragraphs]
    body = "\n".join([*shown[:2], link, *shown[2:]])
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta name="color-scheme" content="light dark"><title>{escape(subject)}</title>'
    )
    page = f'<!doctype html>\n<html lang="en"><head>{head}</head>\n<body>\n{body}\n</body></html>\n'
    return Rendered(subject, text, page)


def _paragraphs(letter: LinkLetter) -> Iterator[str]:
    name = _one_line(letter.electrician_name)
    yield f"Hello {name}," if name else "Hello,"
    scheme = _one_line(letter.scheme_name)
    if letter.is_correction:
        yield f"{scheme} asks you to correct a result that you recorded. What stood before is kept beside it."
    else:
        yield (
            f"{scheme} asks you to inspect outlets from which a car charges for hours, and to record what you find. "
            "The form works on a telephone and keeps your draft where there is no signal."
        )
        days = ", ".join(_day(day) for day in letter.days)
        yield f"Each home, with its address, opens in the form on its day: {days}."
        yield "The certificate can go in first, and the readings later by the same link."
    until = letter.expires_at.astimezone(letter.zone)
    yield f"The link holds until {_day(until.date())}, {until:%H:%M}."
    yield SPENT_BY_SUBMITTING
    yield NOT_VERIFIED


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B} {day.year}"


def _one_line(words: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in words).split())
