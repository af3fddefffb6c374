"""JSON shapes of notices, calendars, mail settings and the delivery record's actions."""

from __future__ import annotations

import marshmallow as ma

from service.infrastructure.http.fields import Choice, Flag, Id, StrictSchema, Text
from service.infrastructure.http.paging import PageQuery
from service.infrastructure.http.time_fields import Instant
from service.infrastructure.mail.queue import MAIL_STATES
from service.reminders.domain.mail_choices import LONGEST_NUMBER
from service.reminders.models import FEED_KINDS, NOTICE_KINDS

words = ma.fields.String


class NoticeQuery(PageQuery):
    """Which of one's own notices."""

    unread = Flag(load_default=None, is_query=True)


class NoticeSchema(StrictSchema):
    """One thing that concerns safety, as one person was told of it."""

    id = Id(required=True)
    household_id = Id(required=True)
    kind = Choice(NOTICE_KINDS, required=True)
    subject = words(required=True)
    text = words(required=True, metadata={"description": "Lines; what to do now stands first. '- ' begins a list's"})
    told_at = Instant(required=True)
    read_at = Instant(required=True, allow_none=True)
    raised_at = Instant(required=True, allow_none=True)


class RaisedQuery(PageQuery):
    """Which of the notices that rose: still to ring, or done."""

    rung = Flag(load_default=None, is_query=True)


class RaisedNoticeSchema(StrictSchema):
    """Whom to ring: who, of which home, what they were told and when; and who rang."""

    id = Id(required=True)
    household_id = Id(required=True)
    reference = words(required=True)
    person = words(required=True)
    telephone = words(required=True, metadata={"description": "Empty where nobody entered one"})
    kind = Choice(NOTICE_KINDS, required=True)
    subject = words(required=True)
    text = words(required=True)
    told_at = Instant(required=True)
    read_at = Instant(required=True, allow_none=True)
    raised_at = Instant(required=True)
    raised_why = words(required=True)
    rung_at = Instant(required=True, allow_none=True)
    rung_by = words(required=True, allow_none=True, attribute="rung_by_name")
    rung_note = words(required=True)


class RingingSchema(StrictSchema):
    """What came of the call."""

    note = Text(load_default="", max_length=300)


class FeedEntrySchema(StrictSchema):
    """Which calendar to make."""

    kind = Choice(FEED_KINDS, required=True)


class FeedSchema(StrictSchema):
    """A calendar by a secret address; the address itself is told when it is made, and never again."""

    id = Id(required=True)
    kind = Choice(FEED_KINDS, required=True)
    made_at = Instant(required=True)
    revoked_at = Instant(required=True, allow_none=True)


class NewFeedSchema(FeedSchema):
    """A calendar that was just made, with its address."""

    url = words(required=True, metadata={"description": "Told this once; whoever has it reads the calendar"})


class FeedsSchema(StrictSchema):
    """One's own calendars."""

    items = ma.fields.List(ma.fields.Nested(FeedSchema), required=True)


class MailSettingsEntrySchema(StrictSchema):
    """What a person chooses about mail to them."""

    tips_muted = Flag(required=True, metadata={"description": "Safety notices and reminders of rechecks go on"})
    telephone = Text(required=True, max_length=LONGEST_NUMBER, metadata={"description": "Empty: none"})


class MailSettingsSchema(StrictSchema):
    """What a person has chosen about mail to them."""

    tips_muted = ma.fields.Boolean(required=True)
    tips_muted_at = Instant(required=True, allow_none=True)
    telephone = words(required=True)


class ResentSchema(StrictSchema):
    """The new row of the delivery record."""

    id = Id(required=True)
    resend_of_id = Id(required=True)
    kind = words(required=True)
    status = Choice(MAIL_STATES, required=True)
    queued_at = Instant(required=True)
