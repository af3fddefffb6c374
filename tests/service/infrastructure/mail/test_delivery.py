"""From the table to a real mail server: each message by its key once, whatever the server says or who dies."""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from email import message_from_bytes
from email.utils import parsedate_to_datetime
from types import SimpleNamespace
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from sqlalchemy import delete, select, update

from service.common.clock import FixedClock
from service.infrastructure.claims import claim_rows
from service.infrastructure.db.sessions import Database
from service.infrastructure.mail import delivery
from service.infrastructure.mail.delivery import send_due
from service.infrastructure.mail.message import Envelope
from service.infrastructure.mail.queue import RETRY_DELAYS_S, Mail, Postmark, Rendered, queue
from service.infrastructure.mail.smtp import Outcome, OutcomeKind, SmtpSender
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from tests.conftest import NOON
from tests.factories.queues import columns, database_ms, end_lease, make_due
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases

YES = "250 kept"


class SuddenEnd(BaseException):
    """Stands for the end of the process: as with KeyboardInterrupt, nothing may catch it and go on."""


@dataclass
class Server:
    """A real aiosmtpd that answers the end of a message as told, and keeps what it said yes to."""

    port: int
    answers: list[str] = field(default_factory=list)
    contents: list[bytes] = field(default_factory=list)
    recipients: list[str] = field(default_factory=list)

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:  # noqa: N802 - aiosmtpd's name
        answer = self.answers.pop(0) if self.answers else YES
        if answer == YES:
            self.contents.append(envelope.content)
            self.recipients.extend(envelope.rcpt_tos)
        return answer

    @property
    def message_ids(self) -> list[str]:
        """What was accepted, in order."""
        return [str(message_from_bytes(content)["Message-ID"]) for content in self.contents]


@pytest.fixture
def start_server(free_port: int) -> Iterator[Callable[..., Server]]:
    running: list[Controller] = []

    def start(*answers: str) -> Server:
        server = Server(free_port, list(answers))
        controller = Controller(server, hostname="127.0.0.1", port=free_port)
        controller.start()
        running.append(controller)
        return server

    yield start
    for controller in running:
        controller.stop()


@pytest.fixture
def context(settings: Settings, database: Database, clock: FixedClock, free_port: int) -> JobContext:
    clock.move(timedelta(hours=3))  # sending is later than queueing
    settings = replace(settings, smtp_host="127.0.0.1", smtp_port=free_port, smtp_timeout_s=5)
    return JobContext(settings, database, clock, Postmark("k" * 32, "mail.example"))


@pytest.fixture
def write(context: JobContext, scheme: str) -> Callable[..., list[str]]:
    """Queue messages by their keys and return their ids."""

    def queued(*keys: str, recipient: str = "ada@home.example") -> list[str]:
        with context.database.scheme(scheme, write=True) as session:
            rows = [
                queue(
                    session,
                    Rendered(f"Subject of {key}", "Plug in.\n", "<p>Plug in.</p>"),
                    kind="test",
                    dedupe_key=key,
                    recipient=recipient,
                    household_id=None,
                    at=NOON,
                    postmark=context.postmark,
                )
                for key in keys
            ]
            session.flush()
            return [row.id for row in rows if row]

    return queued


@pytest.fixture
def send(context: JobContext) -> Callable[[], int]:
    return lambda: send_due(context, SmtpSender(context.settings))


def rows_of(database: Database, scheme: str) -> list[Mail]:
    with database.scheme(scheme, write=False) as session:
        return list(session.scalars(select(Mail).order_by(Mail.dedupe_key)))


def test_a_queued_message_reaches_the_server_and_is_marked_sent(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server()
    write("a", "b")
    assert [send(), send()] == [2, 0]
    rows = rows_of(context.database, scheme)
    assert [(row.status, row.attempts, row.sent_at, row.reason) for row in rows] == [
        ("sent", 1, NOON + timedelta(hours=3), None)
    ] * 2
    assert server.recipients == ["ada@home.example"] * 2
    assert sorted(server.message_ids) == sorted(row.message_id for row in rows)


def test_a_message_bears_the_date_it_was_queued_on(start_server: Any, write: Any, send: Any) -> None:
    server = start_server()
    write("a")
    send()
    assert parsedate_to_datetime(message_from_bytes(server.contents[0])["Date"]) == NOON


def test_a_passing_refusal_is_tried_again_later_with_the_very_same_message(
    context: JobContext, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server("451 4.3.0 not now", YES)
    (row_id,) = write("a")
    before_ms = database_ms(context.database)
    assert send() == 1
    row = columns(context.database, Mail, row_id)
    assert (row["status"], row["attempts"], row["reason"]) == ("waiting", 1, "end of message: 451 4.3.0")
    wait_ms = RETRY_DELAYS_S[0] * 1000
    assert before_ms + wait_ms <= row["not_before_ms"] <= database_ms(context.database) + wait_ms  # type: ignore[operator]
    assert send() == 0
    make_due(context.database, Mail)
    assert send() == 1
    assert columns(context.database, Mail, row_id)["status"] == "sent"
    assert server.message_ids == [row["message_id"]]


def test_a_lasting_refusal_is_the_end_after_one_try_and_says_why(
    context: JobContext, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server("550 5.1.1 <ada@home.example> is unknown", YES)
    first, second = sorted(write("a", "b"))
    assert send() == 2
    make_due(context.database, Mail)
    assert send() == 0
    rows = [columns(context.database, Mail, row_id) for row_id in (first, second)]
    assert sorted((row["status"], row["attempts"], row["reason"]) for row in rows) == [
        ("refused", 1, "end of message: 550 5.1.1"),
        ("sent", 1, None),
    ]
    assert len(server.contents) == 1


def test_while_nobody_listens_messages_wait_and_go_out_when_somebody_does(
    context: JobContext, start_server: Any, write: Any, send: Any
) -> None:
    ids = write("a", "b", "c")
    assert send() == 3
    rows = [columns(context.database, Mail, row_id) for row_id in ids]
    # One was tried; the others go back as they were, rather than each wait for a server that is away.
    assert sorted((row["status"], row["attempts"]) for row in rows) == [
        *[("waiting", 0)] * (len(rows) - 1),
        ("waiting", 1),
    ]
    assert {row["reason"] for row in rows} == {"connecting: ConnectionRefusedError", None}
    server = start_server()
    make_due(context.database, Mail)
    assert send() == 3
    assert sorted(server.message_ids) == sorted(str(row["message_id"]) for row in rows)


def test_after_the_last_delay_a_message_is_given_up_and_kept(
    context: JobContext, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server(*["450 4.2.0 later"] * (len(RETRY_DELAYS_S) + 1))
    (row_id,) = write("a")
    waits_ms = []
    for _ in RETRY_DELAYS_S:
        assert send() == 1
        row = columns(context.database, Mail, row_id)
        assert row["status"] == "waiting"
        waits_ms.append(row["not_before_ms"] - database_ms(context.database))  # type: ignore[operator]
        make_due(context.database, Mail)
    assert send() == 1
    for delay_s, wait_ms in zip(RETRY_DELAYS_S, waits_ms, strict=True):
        assert delay_s - 30 < wait_ms / 1000 <= delay_s
    make_due(context.database, Mail)
    assert send() == 0
    assert columns(context.database, Mail, row_id)["status"] == "given_up"
    assert server.contents == []


@pytest.mark.faults
@pytest.mark.parametrize(("point", "accepted"), [("mail.claimed", 1), ("mail.sent", 2), ("mail.marked", 1)])
def test_a_worker_that_ends_at_any_point_loses_nothing_and_repeats_only_the_same_message(
    context: JobContext,
    start_server: Any,
    write: Any,
    send: Any,
    monkeypatch: pytest.MonkeyPatch,
    point: str,
    accepted: int,
) -> None:
    def end(name: str) -> None:
        if name == point:
            raise SuddenEnd

    server = start_server()
    (row_id,) = write("a")
    monkeypatch.setattr(delivery, "failpoint", end)
    with pytest.raises(SuddenEnd):
        send()
    monkeypatch.undo()
    end_lease(context.database, Mail, row_id)
    assert send() == (0 if point == "mail.marked" else 1)
    assert columns(context.database, Mail, row_id)["status"] == "sent"
    assert len(server.contents) == accepted
    assert len(set(server.contents)) == 1, "a repeat must be the same message to the last byte"
    assert set(server.message_ids) == {columns(context.database, Mail, row_id)["message_id"]}


def test_workers_that_send_together_send_each_message_once(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server()
    write(*(f"{number:02d}" for number in range(30)))

    def work(_: int) -> int:
        total = 0
        while took := send():
            total += took
        return total

    assert sum(at_once(4, work)) == 30
    assert {row.status for row in rows_of(context.database, scheme)} == {"sent"}
    assert len(server.message_ids) == len(set(server.message_ids)) == 30


class Overtaken(SmtpSender):
    """Takes so long over its first message that another worker takes the rest of the batch over."""

    def __init__(self, context: JobContext, monkeypatch: pytest.MonkeyPatch) -> None:
        super().__init__(context.settings)
        self._context, self._monkeypatch = context, monkeypatch
        self.sent: list[str] = []

    def send(self, envelope: Envelope) -> Outcome:
        self.sent.append(envelope.recipient)
        if len(self.sent) == 1:
            an_hour_on_s = time.monotonic() + 3600
            self._monkeypatch.setattr(delivery, "time", SimpleNamespace(monotonic=lambda: an_hour_on_s))
            with self._context.database.system(write=True) as session:
                session.execute(update(Mail).values(lease_until_ms=0))
                claim_rows(session, Mail, limit=10, lease_ms=60_000)
        return super().send(envelope)


def test_what_another_worker_took_over_meanwhile_is_left_to_it(
    context: JobContext, scheme: str, start_server: Any, write: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    server = start_server()
    write("a", "b", "c")
    sender = Overtaken(context, monkeypatch)
    assert send_due(context, sender) == 3
    monkeypatch.undo()
    assert len(sender.sent) == len(server.contents) == 1
    assert {(row.status, row.token) for row in rows_of(context.database, scheme)} == {("claimed", 2)}


def test_the_lease_outlasts_the_longest_time_one_message_may_take(
    context: JobContext, start_server: Any, write: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    start_server()
    (row_id,) = write("a")
    left_ms: list[int] = []

    class Looking(SmtpSender):
        def send(self, envelope: Envelope) -> Outcome:
            lease_until_ms = columns(context.database, Mail, row_id)["lease_until_ms"]
            assert isinstance(lease_until_ms, int)
            left_ms.append(lease_until_ms - database_ms(context.database))
            return super().send(envelope)

    send_due(context, Looking(context.settings))
    assert left_ms[0] > context.settings.smtp_timeout_s * 1000


def test_a_message_to_an_impossible_address_is_refused_and_holds_up_no_other(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server()
    write("a", recipient="ada@home.example, eve@elsewhere.example")
    write("b")
    assert send() == 2
    first, second = rows_of(context.database, scheme)
    assert (first.status, first.reason) == ("refused", "not sent: the address is not one plain ASCII address")
    assert second.status == "sent"
    assert server.recipients == ["ada@home.example"]


def test_a_message_that_is_gone_when_its_turn_comes_holds_up_no_other(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def vanish(name: str) -> None:
        if name == "mail.claimed":
            with context.database.scheme(scheme, write=True) as session:
                session.execute(delete(Mail).where(Mail.dedupe_key == "a"))

    server = start_server()
    write("a", "b")
    monkeypatch.setattr(delivery, "failpoint", vanish)
    assert send() == 2
    assert [row.status for row in rows_of(context.database, scheme)] == ["sent"]
    assert len(server.contents) == 1


def set_all(context: JobContext, scheme: str, **values: Any) -> None:
    with context.database.scheme(scheme, write=True) as session:
        session.execute(update(Mail).values(**values))


def test_a_tip_carries_the_one_click_headers_and_other_mail_none(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server()
    write("a")
    set_all(context, scheme, unsubscribe_url="https://plugward.example/api/v1/mute/x")
    send()
    write("b")
    send()
    tip, other = (message_from_bytes(content) for content in server.contents)
    assert tip["List-Unsubscribe"] == "<https://plugward.example/api/v1/mute/x>"
    assert tip["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert other["List-Unsubscribe"] is None and other["List-Unsubscribe-Post"] is None


def test_who_is_not_to_be_written_to_any_more_is_suppressed_with_the_reason(
    context: JobContext, scheme: str, start_server: Any, write: Any
) -> None:
    server = start_server()
    write("a", "b")
    sender = SmtpSender(context.settings)
    send_due(context, sender, why_not=lambda _, mail: "they left" if mail.dedupe_key == "a" else None)
    assert [(row.status, row.reason) for row in rows_of(context.database, scheme)] == [
        ("suppressed", "they left"), ("sent", None),
    ]  # fmt: skip
    assert len(server.contents) == 1


def test_a_calendar_is_sent_along(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    server = start_server()
    write("a")
    set_all(context, scheme, calendar="BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")
    send()
    assert b"Content-Type: text/calendar" in server.contents[0]


def test_a_secret_told_once_is_sent_and_its_words_are_not_kept(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any
) -> None:
    start_server()
    write("a")
    set_all(context, scheme, kind="inspection_link")
    send()
    [row] = rows_of(context.database, scheme)
    assert (row.status, row.text, row.html) == ("sent", "", "")


def test_a_secret_that_may_have_arrived_is_unknown_and_not_repeated_another_kind_is(
    context: JobContext, scheme: str, write: Any
) -> None:
    class Lost:
        def send(self, envelope: Envelope) -> Outcome:
            return Outcome(OutcomeKind.TRY_AGAIN, "end of message: lost", may_have_arrived=True)

        def __enter__(self) -> Any:
            return self

        def __exit__(self, *args: object) -> None:
            return None

    for kind, status in (("inspection_link", "unknown"), ("recheck_due", "waiting")):
        [mail_id] = write(kind)
        set_all(context, scheme, kind=kind)
        send_due(context, Lost())  # type: ignore[arg-type]
        row = next(row for row in rows_of(context.database, scheme) if row.id == mail_id)
        assert row.status == status
        set_all(context, scheme, kind="done", status="sent")


def test_a_secret_whose_sender_died_is_unknown_and_not_repeated(
    context: JobContext, scheme: str, start_server: Any, write: Any, send: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    server = start_server()
    write("a")
    set_all(context, scheme, kind="inspection_link")

    def die(name: str) -> None:
        if name == "mail.sent":
            raise SuddenEnd

    monkeypatch.setattr(delivery, "failpoint", die)
    with pytest.raises(SuddenEnd):
        send()
    monkeypatch.undo()
    [row] = rows_of(context.database, scheme)
    end_lease(context.database, Mail, row.id)
    send()
    [row] = rows_of(context.database, scheme)
    assert (row.status, len(server.contents)) == ("unknown", 1)
    assert row.reason is not None and "not sent twice" in row.reason
