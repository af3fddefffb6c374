"""Builds one message to one person, and proves before it leaves that it says nothing more than was meant.

The standard library's generator turns an encoded word with a line end inside into a real header, and folds some
long subjects into other texts (both seen on Python 3.11.7).  So values are cleaned and the header lines written
here, in RFC 5322 and RFC 2047; its parsers then read the finished bytes and must find what was meant, and no more.
"""

from __future__ import annotations

import base64
import hashlib
import quopri
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email import message_from_bytes
from email.message import Message
from email.policy import compat32, default
from email.utils import format_datetime, parseaddr

EXTRA_HEADERS = frozenset({"Reply-To", "List-Unsubscribe", "List-Unsubscribe-Post", "In-Reply-To", "References"})
PART_HEADERS = ["content-transfer-encoding", "content-type"]
CALENDAR_HEADERS = ["content-disposition", *PART_HEADERS]
CALENDAR_NAME = "dates.ics"
LONGEST_SUBJECT = 200
LONGEST_PLAIN = 60  # beyond this a header text is written in encoded words, which fold without loss
BYTES_PER_WORD = 42  # 56 characters of base64 and 12 of frame: inside the 75 of RFC 2047 section 2
# Control characters, line and paragraph separators, half surrogates, and marks that turn the reading direction.
_UNSAFE = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\u200e\u200f\u202a-\u202e\u2066-\u2069]+")
_UNSAFE_IN_BODY = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
_ADDRESS = re.compile(r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?")
_MESSAGE_ID = re.compile(r"<[A-Za-z0-9._-]{1,128}@[A-Za-z0-9.-]{1,128}>")


class UnsafeMessageError(ValueError):
    """The message would say more than was meant, or go to another than the one recipient; never send it."""


@dataclass(frozen=True)
class Envelope:
    """A finished message with the two addresses that SMTP is told; nothing is read back out of the headers."""

    sender: str
    recipient: str
    content: bytes


def compose(
    *,
    sender: str,
    to: str,
    subject: str,
    text: str,
    html: str,
    message_id: str,
    written_at: datetime | None = None,
    headers: Mapping[str, str] | None = None,
    calendar: str | None = None,
) -> Envelope:
    """Write the message, check its bytes, and address the envelope.

    The same values give the same bytes; ``written_at`` is this moment where it is left out, so a message that may
    be sent twice should name the moment it was queued.  ``calendar`` is attached as a file (RFC 5545).

    Raises
    ------
    UnsafeMessageError
        If an address or the Message-ID is not plain, a header is not allowed, or the finished bytes do not read
        as exactly what was meant.
    """
    sender_name, sender_address = parseaddr(sender)
    shown_subject = clean(subject)[:LONGEST_SUBJECT].strip()
    recipient = checked_address(to)
    lines = {
        "From": f"{_phrase(clean(sender_name))} <{checked_address(sender_address)}>".strip(),
        "To": recipient,
        "Subject": header_text(shown_subject),
        "Date": format_datetime(written_at or datetime.now(UTC)),
        "Message-ID": _checked_message_id(message_id),
        "Auto-Submitted": "auto-generated",  # RFC 3834: keeps holiday replies away
        **_extra_headers(headers or {}),
        "MIME-Version": "1.0",
    }
    content = b"\r\n".join([*_header_lines(lines), *_content_lines(text, html, calendar, message_id)])
    _check_reading(content, lines, shown_subject, recipient, has_calendar=calendar is not None)
    return Envelope(sender_address, recipient, content)


def header_text(text: str) -> str:
    """Return a cleaned text as a header writes it: plain where short ASCII, else RFC 2047 encoded words.

    >>> header_text("New times"), header_text("Für heute")
    ('New times', '=?utf-8?b?RsO8ciBoZXV0ZQ==?=')
    """
    if text.isascii() and len(text) <= LONGEST_PLAIN:
        return text
    words = (base64.b64encode(chunk).decode() for chunk in _chunks(text))
    return "\r\n ".join(f"=?utf-8?b?{word}?=" for word in words)


def clean(value: str) -> str:
    """Return a header value on one line, with nothing in it that reads as an encoded word.

    >>> clean("Plan=?UTF-8?Q?=0ABcc:_x@y?=")
    'Plan= ?UTF-8?Q?=0ABcc:_x@y?='
    """
    text = _UNSAFE.sub(" ", value).replace("=?", "= ?")
    return re.sub(r" {2,}", " ", text).strip()


def clean_body(value: str) -> str:
    """Return a body with plain line ends and without control characters."""
    return _UNSAFE_IN_BODY.sub("", value.replace("\r\n", "\n").replace("\r", "\n"))


def checked_address(address: str) -> str:
    """Return a plain ASCII address; quoted local parts, comments, groups and lists are refused."""
    if not _ADDRESS.fullmatch(address) or ".." in address or len(address) > 254:
        raise UnsafeMessageError("the address is not one plain ASCII address")
    return address


def _boundary_of(message_id: str) -> str:
    """Return the line between the parts: quoted-printable writes '=' as '=3D', so no part can hold it."""
    return "=_" + hashlib.sha256(message_id.encode()).hexdigest()[:32]


def _header_lines(headers: Mapping[str, str]) -> list[bytes]:
    return [f"{name}: {value}".encode("ascii") for name, value in headers.items()]


def _content_lines(text: str, html: str, calendar: str | None, message_id: str) -> Iterator[bytes]:
    """Yield the bodies, with the calendar as a file beside them where there is one."""
    inner = _boundary_of(message_id)
    if calendar is None:
        yield from _body_lines(text, html, inner)
        return
    outer = _boundary_of(f"mixed {message_id}")
    yield b"Content-Type: multipart/mixed;"
    yield f' boundary="{outer}"'.encode()
    yield b""
    yield f"--{outer}".encode()
    yield from _body_lines(text, html, inner)
    yield f"--{outer}".encode()
    yield b'Content-Type: text/calendar; charset="utf-8"; method=PUBLISH'
    yield f'Content-Disposition: attachment; filename="{CALENDAR_NAME}"'.encode()
    yield b"Content-Transfer-Encoding: base64"
    yield b""
    yield base64.encodebytes(calendar.encode()).replace(b"\n", b"\r\n")
    yield f"--{outer}--".encode()
    yield b""


def _body_lines(text: str, html: str, boundary: str) -> Iterator[bytes]:
    """Yield the last header and the text and the HTML as alternatives."""
    yield b"Content-Type: multipart/alternative;"
    yield f' boundary="{boundary}"'.encode()
    yield b""
    for kind, body in (("plain", text), ("html", html)):
        yield f"--{boundary}".encode()
        yield f'Content-Type: text/{kind}; charset="utf-8"'.encode()
        yield b"Content-Transfer-Encoding: quoted-printable"
        yield b""
        yield quopri.encodestring(clean_body(body).encode()).replace(b"\n", b"\r\n")
    yield f"--{boundary}--".encode()
    yield b""


def _chunks(text: str) -> Iterator[bytes]:
    """Cut text into pieces that one encoded word holds, never inside a character."""
    piece = b""
    for character in text:
        encoded = character.encode()
        if len(piece) + len(encoded) > BYTES_PER_WORD:
            yield piece
            piece = b""
        piece += encoded
    yield piece


def _phrase(name: str) -> str:
    """Return a display name: quoted where it is ASCII, else encoded."""
    if not name:
        return ""
    if not name.isascii() or len(name) > LONGEST_PLAIN:
        return header_text(name if not name.isascii() else name[:LONGEST_PLAIN])
    return '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _extra_headers(headers: Mapping[str, str]) -> dict[str, str]:
    found = {}
    for name, value in headers.items():
        if name not in EXTRA_HEADERS:
            raise UnsafeMessageError(f"the header {clean(name)[:40]!r} is not one that may be added")
        found[name] = clean(value)
        if not found[name].isascii() or len(found[name]) > 900:  # RFC 5322 section 2.1.1 ends a line at 998
            raise UnsafeMessageError(f"the header {name} must be ASCII on one line")
    return found


def _checked_message_id(message_id: str) -> str:
    if not _MESSAGE_ID.fullmatch(message_id):
        raise UnsafeMessageError("the Message-ID is not <letters@domain>")
    return message_id


def _check_reading(
    content: bytes, headers: Mapping[str, str], subject: str, recipient: str, *, has_calendar: bool = False
) -> None:
    """Read the finished bytes with both parsers of the standard library; they must find what was meant."""
    plain = message_from_bytes(content, policy=compat32)
    if sorted(plain.keys()) != sorted([*headers, "Content-Type"]):
        raise UnsafeMessageError("the finished message has other headers than it should")
    bodies = plain
    if has_calendar:
        bodies, file = _two_parts(plain)
        if bodies.keys() != ["Content-Type"] or _header_names(file) != CALENDAR_HEADERS:
            raise UnsafeMessageError("the attached calendar has other headers than it should")
    if any(_header_names(part) != PART_HEADERS for part in _two_parts(bodies)):
        raise UnsafeMessageError("a part of the finished message has other headers than it should")
    read = message_from_bytes(content, policy=default)
    if [address.addr_spec for address in read["To"].addresses] != [recipient]:
        raise UnsafeMessageError("the finished message is addressed to others than its recipient")
    if len(read["From"].addresses) != 1 or read["Subject"] != subject:
        raise UnsafeMessageError("the finished message's subject or sender does not read as it was meant")


def _two_parts(message: Message) -> list[Message]:
    parts = message.get_payload()
    if not isinstance(parts, list) or len(parts) != 2 or any(isinstance(part, str) for part in parts):
        raise UnsafeMessageError("the finished message has other parts than it should")
    return parts  # type: ignore[return-value]


def _header_names(part: Message) -> list[str]:
    return sorted(name.lower() for name in part.keys())  # noqa: SIM118 - a message yields its keys by this alone
