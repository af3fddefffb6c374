"""That a car will lack energy for a journey ahead: a tip, which can be muted."""

from __future__ import annotations

from collections.abc import Sequence

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import ComingShortfall, Reader
from service.reminders.emails.layout import Link, Listed, Paragraph, Part, Small, ending, greeting, page_url, rendered


def coming_shortfall(
    news: Sequence[ComingShortfall], reader: Reader, *, base_url: str, mute_url: str | None = None
) -> Rendered:
    """Tell a member what the coming days lack and what would close it; not when anybody leaves."""
    parts: list[Part] = [
        greeting(reader),
        Paragraph("The plan for the coming days cannot put in all that is needed. This is missing, and the way out."),
        *(Listed(short.label, tuple(_lines(short))) for short in news),
    ]
    link = Link("See for which journeys, after signing in:", page_url(base_url, "/today"), "Open the plan")
    parts += ending(reader, link)
    if mute_url:
        parts.append(Small(f"No more mail about charging times? Turn it off here: {mute_url}"))
    return rendered("Your car will be short of charge", parts)


def _lines(short: ComingShortfall) -> list[str]:
    amount = f"{short.short_kwh:.1f} kWh short, about {short.short_miles:.0f} miles"
    softer = ". The journeys themselves can be driven; it eats into the reserve" if short.is_reserve_only else ""
    return [f"{amount}{softer}.", short.next_step]
