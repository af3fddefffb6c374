"""Messages: cleaned, checked by reading them again, and equal for equal input."""

import random
from datetime import UTC, datetime
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from typing import Any

import pytest

from service.infrastructure.mail.message import (
    BYTES_PER_WORD,
    LONGEST_SUBJECT,
    Envelope,
    UnsafeMessageError,
    _check_reading,
    clean,
    compose,
    header_text,
)

SENDER = "Plugward <charging@scheme.example>"
EXPECTED_HEADERS = [
    "From",
    "To",
    "Subject",
    "Date",
    "Message-ID",
    "Auto-Submitted",
    "MIME-Version",
    "Content-Type",
]
PIECES = [
    "=?utf-8?Q?=0ABcc:_x@y?=",
    "=?",
    "?=",
    "=?UTF-8?B?",
    "=0A",
    "=0D=0A",
    "\r\nBcc: x@y.example\r\n",
    "\r",
    "\n",
    "\u2028",
    "\u2029",
    "\x85",
    "\x0b",
    "\x00",
    "\ud800",
    "\u202e",
    "Bcc: a@b.example",
    " ",
    "\t",
    ",",
    ";",
    ":",
    "<",
    ">",
    '"',
    "\\",
    "(",
    ")",
    "ü",
    "漢",
    "😀",
    "=",
    "?",
    "a" * 40,
    "@",
    "\r\n\r\nbody",
    "%0d%0a",
]


def letter(**changed: Any) -> Envelope:
    values = {
        "sender": SENDER,
        "to": "member@home.example",
        "subject": "New charging times",
        "text": "Plug in by 18:00.\n",
        "html": "<p>Plug in by 18:00.</p>",
        "message_id": "<abc123@scheme.example>",
        "written_at": datetime(2026, 11, 25, 17, 30, tzinfo=UTC),
        **changed,
    }
    return compose(**values)


def read(envelope: Envelope) -> EmailMessage:
    return message_from_bytes(envelope.content, policy=default)


def body(envelope: Envelope, kind: str) -> str:
    part = read(envelope).get_body((kind,))
    assert part is not None
    return str(part.get_content()).replace("\r\n", "\n")


def test_a_message_reads_as_it_was_meant() -> None:
    message = read(letter(headers={"List-Unsubscribe": "<https://scheme.example/stop>"}))
    assert message["Subject"] == "New charging times"
    assert message["From"] == SENDER
    assert message["Message-ID"] == "<abc123@scheme.example>"
    assert message["Date"] == "Wed, 25 Nov 2026 17:30:00 +0000"
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["List-Unsubscribe"] == "<https://scheme.example/stop>"
    assert message.get_content_type() == "multipart/alternative"
    assert body(letter(), "plain").rstrip() == "Plug in by 18:00."
    assert body(letter(), "html").rstrip() == "<p>Plug in by 18:00.</p>"


def test_the_envelope_holds_exactly_the_two_addresses() -> None:
    envelope = letter()
    assert (envelope.sender, envelope.recipient) == ("charging@scheme.example", "member@home.example")


def test_the_same_letter_gives_the_same_bytes() -> None:
    assert letter() == letter()


def test_lines_end_with_crlf_and_stay_inside_998_octets() -> None:
    content = letter(subject="ü" * 300, text="x" * 5000 + "\n" + "ü" * 3000, html="<p>" + "y" * 9000 + "</p>").content
    assert content.count(b"\n") == content.count(b"\r\n") == content.count(b"\r")
    assert max(map(len, content.split(b"\r\n"))) <= 78
    content.decode("ascii")


@pytest.mark.parametrize(
    "text",
    [
        "",
        ".",
        "..\n.a\n.",
        "trailing space \nnext",
        "tab\t\n",
        "=3D=\n",
        "From here\n",
        "--=_x\n",
        "ü漢😀\n",
        "a\rb\r\nc",
    ],
)
def test_bodies_survive_the_way_through_quoted_printable(text: str) -> None:
    expected = text.replace("\r\n", "\n").replace("\r", "\n")
    for kind in ("plain", "html"):
        assert body(letter(text=text, html=text), kind).removesuffix("\n") == expected.removesuffix("\n")


def test_the_known_header_injection_is_closed() -> None:
    # Python 3.11.7 writes this subject as a real Bcc line (CVE-2024-6923 and its follow-ups).
    attack = "=?UTF-8?Q?=0ABcc:_thief@evil.example?="
    envelope = letter(subject=attack)
    assert read(envelope).keys() == EXPECTED_HEADERS
    assert b"\nBcc" not in envelope.content
    named = letter(sender=f'"{attack}" <charging@scheme.example>')
    assert read(named).keys() == EXPECTED_HEADERS


@pytest.mark.faults
def test_random_hostile_subjects_and_names_never_change_what_is_sent() -> None:
    seed = 20261125
    print(f"seed {seed}")
    choose = random.Random(seed)
    for _ in range(500):
        hostile = "".join(choose.choice(PIECES) for _ in range(choose.randint(1, 12)))
        envelope = letter(subject=hostile, text=hostile, html=hostile)
        message = read(envelope)
        assert message.keys() == EXPECTED_HEADERS
        assert message["Subject"] == clean(hostile)[:LONGEST_SUBJECT].strip()
        assert [address.addr_spec for address in message["To"].addresses] == ["member@home.example"]


@pytest.mark.parametrize(
    "name", ["Plugward", 'A "quoted" name', "back\\slash", "Größe, Ltd.", "x" * 100, "漢" * 100, "a@b", "(comment)", ""]
)
def test_any_display_name_leaves_one_sender_address(name: str) -> None:
    quoted = name.replace("\\", "\\\\").replace('"', '\\"')
    message = read(letter(sender=f'"{quoted}" <charging@scheme.example>'))
    assert [address.addr_spec for address in message["From"].addresses] == ["charging@scheme.example"]
    # Python 3.11's reader of display names puts a space between two encoded words, which RFC 2047 6.2 does not.
    shown = message["From"].addresses[0].display_name.replace(" ", "")
    assert shown in (clean(name).replace(" ", ""), clean(name)[:60])


@pytest.mark.parametrize(
    "address",
    [
        "",
        "a",
        "a@",
        "@b.example",
        "a@b.example, c@d.example",
        "A <a@b.example>",
        "a@b.example\nBcc: c@d.example",
        '"a b"@b.example',
        "a(c)@b.example",
        "ü@b.example",
        "a@bü.example",
        "a@b.example ",
        "a..b@c.example",
        "a@b.example>",
        "a@[127.0.0.1]",
        "x" * 65 + "@b.example",
        "a@" + "b" * 260,
    ],
)
def test_anything_but_one_plain_address_is_refused(address: str) -> None:
    with pytest.raises(UnsafeMessageError):
        letter(to=address)


@pytest.mark.parametrize("message_id", ["", "abc@b.example", "<abc>", "<a@b.example>\r\nBcc: x@y", "<a b@c>", "<ü@b>"])
def test_an_odd_message_id_is_refused(message_id: str) -> None:
    with pytest.raises(UnsafeMessageError):
        letter(message_id=message_id)


@pytest.mark.parametrize(
    "headers",
    [
        {"Bcc": "a@b.example"},
        {"bcc": "a"},
        {"X-Anything": "1"},
        {"Subject": "again"},
        {"To": "a@b.example"},
        {"Reply-To": "ü"},
        {"Reply-To": "x" * 1000},
        {"Reply-To\r\nBcc": "x"},
    ],
)
def test_only_listed_headers_may_be_added(headers: dict[str, str]) -> None:
    with pytest.raises(UnsafeMessageError):
        letter(headers=headers)


def test_an_added_header_cannot_bring_another() -> None:
    message = read(letter(headers={"Reply-To": "a@b.example\r\nBcc: c@d.example"}))
    assert "Bcc" not in message
    assert len(message.keys()) == len(EXPECTED_HEADERS) + 1


def test_the_second_reading_notices_what_the_writing_should_never_do() -> None:
    good = letter().content
    headers = dict.fromkeys([name for name in EXPECTED_HEADERS if name != "Content-Type"], "")
    subject, recipient = "New charging times", "member@home.example"
    _check_reading(good, headers, subject, recipient)
    spoilt = [
        good.replace(b"Subject:", b"Bcc: x@y.example\r\nSubject:", 1),
        good.replace(b"To: member@home.example", b"To: member@home.example, x@y.example", 1),
        good.replace(b"To: member@home.example", b"To: x@y.example", 1),
        good.replace(b"Subject: New", b"Subject: Old", 1),
        good.replace(b"\r\nSubject", b"\r\n\r\nSubject", 1),
        good.replace(b"Content-Transfer-Encoding", b"X-Other: 1\r\nContent-Transfer-Encoding", 1),
        good.replace(b"From: ", b"From: x@y.example, ", 1),
        good.replace(b"--=_", b"--==", 1),
    ]
    for content in spoilt:
        assert content != good
        with pytest.raises(UnsafeMessageError):
            _check_reading(content, headers, subject, recipient)


@pytest.mark.parametrize("text", ["", "short", "x" * 61, "Für heute", "漢字" * 100, "😀" * 50, "a" * 41 + "ü" * 20])
def test_long_and_foreign_header_texts_are_encoded_words_that_read_back(text: str) -> None:
    written = header_text(text)
    for word in written.split("\r\n "):
        assert len(word) <= 75  # RFC 2047 section 2
    assert read(letter(subject=text))["Subject"] == text[:LONGEST_SUBJECT]
    assert BYTES_PER_WORD % 3 == 0


@pytest.mark.parametrize(
    ("value", "cleaned"),
    [
        ("a\r\nb", "a b"),
        ("a =?x?= b", "a = ?x?= b"),
        ("  a  b ", "a b"),
        ("=\u202e?", "= ?"),
        ("==??", "== ??"),
        ("\ud800", ""),
    ],
)
def test_cleaning_leaves_one_line_without_encoded_words(value: str, cleaned: str) -> None:
    assert clean(value) == cleaned
    assert clean(cleaned) == cleaned


CALENDAR = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nSUMMARY:Für später\r\nEND:VCALENDAR\r\n"


def test_a_calendar_goes_along_as_a_file_and_reads_back_whole() -> None:
    message = read(letter(calendar=CALENDAR))
    assert message.get_content_type() == "multipart/mixed"
    [file] = list(message.iter_attachments())
    assert (file.get_content_type(), file.get_filename()) == ("text/calendar", "dates.ics")
    assert file.get_param("method") == "PUBLISH"
    assert file.get_payload(decode=True) == CALENDAR.encode()
    assert body(letter(calendar=CALENDAR), "plain").rstrip() == "Plug in by 18:00."
    assert letter(calendar=CALENDAR) == letter(calendar=CALENDAR)


def test_a_calendars_words_cannot_end_the_file_or_forge_a_header() -> None:
    nasty = CALENDAR + "\r\n--=_x\r\nBcc: x@y.example\r\n\r\n.\r\n"
    message = read(letter(calendar=nasty))
    assert [file.get_payload(decode=True) for file in message.iter_attachments()] == [nasty.encode()]
    assert sorted(message.keys()) == sorted(EXPECTED_HEADERS)


def test_the_second_reading_looks_at_the_file_too() -> None:
    good = letter(calendar=CALENDAR).content
    headers = dict.fromkeys([name for name in EXPECTED_HEADERS if name != "Content-Type"], "")
    subject, recipient = "New charging times", "member@home.example"
    _check_reading(good, headers, subject, recipient, has_calendar=True)
    spoilt = [
        good.replace(b"Content-Disposition", b"X-Other: 1\r\nContent-Disposition", 1),
        good.replace(b"Content-Type: multipart/alternative", b"X-Other: 1\r\nContent-Type: multipart/alternative", 1),
        letter().content,
    ]
    for content in spoilt:
        with pytest.raises(UnsafeMessageError):
            _check_reading(content, headers, subject, recipient, has_calendar=True)
