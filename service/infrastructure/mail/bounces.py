"""Reports that a message did not arrive (RFC 3464): read, matched by our Message-ID, and kept in the delivery record.

A report is matched by the Message-ID of what it returns, which only somebody who got the message, or carried it,
can know.  Of its words only codes are kept: a server's sentence may repeat an address.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from email import message_from_bytes
from email.message import Message
from email.policy import compat32

from sqlalchemy import select, update

from service.infrastructure.db.sessions import Database
from service.infrastructure.mail.queue import Mail

LONGEST_FILE = 64 * 1024 * 1024
_FROM_LINE = re.compile(rb"(?m)^From .*\r?\n")
_MESSAGE_ID = re.compile(r"<[A-Za-z0-9._-]{1,128}@[A-Za-z0-9.-]{1,128}>")
_STATUS = re.compile(r"\b([245])\.(\d{1,3})\.(\d{1,3})\b")
_REPLY = re.compile(r"\b([45]\d\d)\b")


@dataclass(frozen=True)
class Bounce:
    """That one of our messages did not arrive, and the codes that say why."""

    message_id: str
    reason: str


@dataclass(frozen=True)
class BounceCount:
    """What became of a file of reports."""

    messages: int
    bounces: int
    recorded: int
    known: int


def read_bounces(content: bytes) -> tuple[list[Bounce], int]:
    """Return the bounces in a message or an mbox, and how many messages there were.

    Reports of a delay or of success are no bounces, nor is mail that is no report.
    """
    messages = list(_messages(content))
    return [bounce for message in messages if (bounce := _bounce(message)) is not None], len(messages)


def record_bounces(database: Database, content: bytes, *, at: datetime) -> BounceCount:
    """Mark the messages that did not arrive; one marked before keeps its first report.

    Raises
    ------
    ValueError
        If the file is larger than what is read at once.
    """
    if len(content) > LONGEST_FILE:
        raise ValueError(f"at most {LONGEST_FILE} bytes are read at once: split the file")
    bounces, count = read_bounces(content)
    recorded = known = 0
    for bounce in bounces:
        with database.system(write=True) as session:
            found = session.execute(
                select(Mail.scheme_id, Mail.id, Mail.bounced_at).where(Mail.message_id == bounce.message_id)
            ).first()
            if found is None:
                continue
            scheme_id, mail_id, bounced_at = found
            if bounced_at is not None:
                known += 1
                continue
            session.execute(
                update(Mail)
                .where(Mail.scheme_id == scheme_id, Mail.id == mail_id, Mail.bounced_at.is_(None))
                .values(bounced_at=at, reason=bounce.reason)
                .execution_options(synchronize_session=False)
            )
            recorded += 1
    return BounceCount(count, len(bounces), recorded, known)


def _messages(content: bytes) -> Iterator[Message]:
    """Yield the messages of an mbox, or the one message that the file is."""
    if not content.startswith(b"From "):
        if content.strip():
            yield message_from_bytes(content, policy=compat32)
        return
    for part in _FROM_LINE.split(content):
        if part.strip():
            # A line of the text that begins with "From " was written with a mark before it.
            yield message_from_bytes(re.sub(rb"(?m)^>(>*From )", rb"\1", part), policy=compat32)


def _bounce(message: Message) -> Bounce | None:
    if message.get_content_type() != "multipart/report":
        return None
    failed = [fields for fields in _recipient_fields(message) if _plain(fields, "Action").lower() == "failed"]
    message_id = _returned_id(message)
    if not failed or message_id is None:
        return None
    return Bounce(message_id, _reason(failed[0]))


def _recipient_fields(message: Message) -> Iterator[Message]:
    """Yield the groups of fields of the report; the ones about a recipient carry an Action."""
    for part in message.walk():
        if part.get_content_type() == "message/delivery-status" and isinstance(part.get_payload(), list):
            yield from (group for group in part.get_payload() if isinstance(group, Message))  # type: ignore[union-attr]


def _returned_id(message: Message) -> str | None:
    """Return the Message-ID of what the report returns, whole or as its headers alone."""
    for part in message.walk():
        kind = part.get_content_type()
        returned: object = None
        if kind == "message/rfc822" and isinstance(part.get_payload(), list):
            returned = part.get_payload()[0]  # type: ignore[index]
        elif kind == "text/rfc822-headers":
            payload = part.get_payload(decode=True)
            returned = message_from_bytes(payload, policy=compat32) if isinstance(payload, bytes) else None
        if isinstance(returned, Message):
            found = _MESSAGE_ID.search(_plain(returned, "Message-ID"))
            if found:
                return found[0]
    return None


def _reason(fields: Message) -> str:
    status = _STATUS.search(_plain(fields, "Status"))
    reply = _REPLY.search(_plain(fields, "Diagnostic-Code"))
    codes = " ".join(found[0] for found in (reply, status) if found)
    return f"bounced: {codes or 'no code given'}"


def _plain(message: Message, name: str) -> str:
    return str(message.get(name, "")).strip()
