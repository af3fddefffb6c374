"""What became of a member's claim: no day, place or purpose of a trip stands in it."""

from __future__ import annotations

from service.infrastructure.mail.queue import Rendered
from service.reimbursement.domain.words import CAUTION
from service.reminders.domain.claim_news import ClaimNews, ClaimTurn
from service.reminders.domain.news import Reader
from service.reminders.emails.layout import Link, Paragraph, Part, Small, greeting, page_url, rendered

WORDS = {
    ClaimTurn.QUERIED: ("There is a question about your claim", "somebody has a question. Read it and answer it."),
    ClaimTurn.APPROVED: ("Your claim was approved", "it was approved. It goes on the next statement for payroll."),
    ClaimTurn.REFUSED: (
        "Your claim was refused",
        "it was refused. Read why; its trips can be changed and claimed again.",
    ),
}


def claim_news(news: ClaimNews, reader: Reader, *, base_url: str) -> Rendered:
    """Tell a member what became of a claim; what was asked or said about it is read after signing in."""
    subject, told = WORDS[news.turn]
    pounds, pence = divmod(abs(news.total_pence), 100)
    money = f"{'-' if news.total_pence < 0 else ''}{pounds}.{pence:02d} pounds"
    who = ", ".join(reader.contacts)
    parts: list[Part] = [
        greeting(reader),
        Paragraph(f"Your claim of business miles for {news.month}, {money}: {told}"),
        Link("See it, after signing in:", page_url(base_url, f"/miles/{news.claim_id}"), "Open the claim"),
        Small(CAUTION),
        Small(f"Anything unclear? Ask those who run your scheme{': ' if who else ''}{who}."),
    ]
    return rendered(subject, parts)
