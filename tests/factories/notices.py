"""A safety notice that waits for a call, a message that was refused and a calendar: rows of one person."""

from datetime import timedelta

from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail
from service.reminders.models import FeedAddress, SafetyNotice
from tests.conftest import NOON


def add_told_person(session: SchemeSession, household_id: str, account_id: str) -> dict[str, str]:
    """Add the rows and return their ids by the names paths use."""
    earlier = NOON - timedelta(days=2)
    mail = Mail(
        kind="safety_stop", dedupe_key=f"made/{account_id}", household_id=household_id, recipient="told@people.example",
        subject="Stop charging at home", text="words\n", html="<p>words</p>", message_id=f"<{account_id}@made.example>",
        queued_at=earlier, status="refused", reason="RCPT: 550", account_id=account_id,
    )  # fmt: skip
    feed = FeedAddress(
        account_id=account_id, household_id=None, kind="rechecks", token_hash=account_id * 2, made_at=earlier
    )
    session.add_all([mail, feed])
    session.flush()
    notice = SafetyNotice(
        account_id=account_id, household_id=household_id, kind="stop", subject_key="stop/made",
        subject="Stop charging at home", text="Do this now:\n- End the charge at the car.", mail_id=mail.id,
        told_at=earlier, raised_at=earlier, raised_why="the mail did not arrive",
    )  # fmt: skip
    session.add(notice)
    session.flush()
    return {"notice_id": notice.id, "mail_id": mail.id, "feed_id": feed.id}
