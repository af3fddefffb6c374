"""What the carriers of work forget: events long done, and the words of messages long sent.

A message's row stays as the delivery record; its text, which holds charging times, does not.
"""

from datetime import timedelta

from sqlalchemy import delete, exists, select, update

from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Delivery, Event
from service.infrastructure.tasks import JobContext

KEEP_EVENTS = timedelta(days=30)
KEEP_MAIL_TEXT = timedelta(days=7)
"""Own choices: long enough to look into a complaint, short because of what they say about a home."""


def clear_events_and_mail_text(context: JobContext) -> int:
    """Delete events whose deliveries are all done, and blank the text of messages sent days ago."""
    now = context.clock.now()
    with context.database.system(write=False) as session:
        is_open = exists().where(
            Delivery.scheme_id == Event.scheme_id, Delivery.event_id == Event.id, Delivery.status != "done"
        )
        events = session.execute(
            select(Event.scheme_id, Event.id)
            .where(Event.happened_at < now - KEEP_EVENTS, Event.is_fanned_out.is_(True), ~is_open)
            .limit(2_000)
        ).all()
    with context.database.system(write=True) as session:
        for scheme_id, event_id in events:
            session.execute(delete(Event).where(Event.scheme_id == scheme_id, Event.id == event_id))
        session.execute(
            update(Mail)
            .where(Mail.status == "sent", Mail.sent_at < now - KEEP_MAIL_TEXT, Mail.text != "")
            .values(text="", html="", subject="", calendar=None)
        )
    return len(events)
