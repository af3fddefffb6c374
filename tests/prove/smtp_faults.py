"""Proof: a real worker process against mail servers that refuse, stall, greylist, cut off and fail at TLS.

For each way to fail: what is temporary waits as the table of delays says and is sent once the server is well again;
what is permanent is tried once and stands in the administrator's list with its reason; nothing is lost, and no
message holds the worker for longer than its limit.  Waiting is skipped by moving a message's next try back.

Then the API's latency is measured while the worker fights with a stalling server, and with a good one.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import select, update

from service.accounts import operations as accounts
from service.cli.migrate import migrate
from service.infrastructure.db.sessions import Database
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.mail.queue import RETRY_DELAYS_S, Mail, Postmark, Rendered, queue
from service.reporting.operations.lists import MailFilter, list_mail
from tests.factories.smtp_script import (
    GOOD,
    PASSWORD,
    USER,
    Script,
    ScriptedSmtp,
    Seen,
    free_port,
    has_openssl,
    make_authority,
)
from tests.prove.smtp_latency import measure

SCHEME = "e" * 32
MESSAGES = 6
BUSY_TRIES = 3
TIMEOUT_S = 3
LONGEST_S = TIMEOUT_S + 8
"""The limit, the goodbye's own, and a slow machine: far from what a server that drips could take."""


@dataclass(frozen=True)
class Mode:
    """One way to fail: what the server says (None: nobody listens), and what must become of the messages.

    ``cure`` is what the server says once it is well; ``cured`` are the worker's settings by then, where the fault
    was the operator's.
    """

    name: str
    script: Script | None
    reason: str
    is_final: bool = False
    may_repeat: bool = False
    settings: Mapping[str, str] = field(default_factory=dict)
    cure: Script = GOOD
    cured: Mapping[str, str] | None = None


TLS = Script(has_starttls=True)
SIGN_IN = Script(has_starttls=True, wants_login=True)
SECURED = {"PLUGWARD_SMTP_HOST": "localhost", "PLUGWARD_SMTP_SECURITY": "starttls", "SSL_CERT_FILE": "(ours)"}
DISTRUSTING = {name: value for name, value in SECURED.items() if name != "SSL_CERT_FILE"}
LOGIN = {**SECURED, "PLUGWARD_SMTP_USERNAME": USER, "PLUGWARD_SMTP_PASSWORD": PASSWORD}
WRONG = {**LOGIN, "PLUGWARD_SMTP_PASSWORD": "wrong"}
DENIED = "connecting: SMTPAuthenticationError 535"
LOST = "end of message: SMTPServerDisconnected"
UNTRUSTED = "connecting: SSLCertVerificationError"
MODES = (
    Mode("nobody listens", None, "connecting: ConnectionRefusedError"),
    Mode("421 at the greeting", Script(greeting=b"421 4.3.2 busy"), "connecting: SMTPConnectError 421"),
    Mode("greeting a byte a second", Script(drips="greeting"), "connecting: TimeoutError"),
    Mode("greylisted", Script(first_rcpt=b"451 4.7.1 come back"), "RCPT: 451 4.7.1"),
    Mode("451 after the message", Script(final=b"451 4.3.0 later"), "end of message: 451 4.3.0"),
    Mode("last reply a byte a second", Script(drips="final"), "end of message: TimeoutError", may_repeat=True),
    Mode("cut before the last reply", Script(final=None), LOST, may_repeat=True),
    Mode("550 at the recipient", Script(rcpt=b"550 5.1.1 unknown"), "RCPT: 550 5.1.1", is_final=True),
    Mode("554 after the message", Script(final=b"554 5.7.1 no"), "end of message: 554 5.7.1", is_final=True),
    Mode("TLS not offered", GOOD, "connecting: SMTPNotSupportedError", settings=SECURED, cure=TLS),
    Mode("TLS of an unknown authority", TLS, UNTRUSTED, settings=DISTRUSTING, cure=TLS, cured=SECURED),
    Mode("wrong password", SIGN_IN, DENIED, settings=WRONG, cure=SIGN_IN, cured=LOGIN),
)


def main(messages: int = MESSAGES, seconds: float = 60.0, *, budget_s: float | None = None) -> int:
    """Print a line for the ways to fail and one for the latency; return 1 if anything is not as it must be."""
    if not has_openssl():
        print("smtp_faults: not run, openssl is missing")
        return int(os.environ.get("CI") == "true")
    began = time.monotonic()
    deadline = None if budget_s is None else began + budget_s * 0.6
    with tempfile.TemporaryDirectory(prefix="plugward-smtp-") as folder:
        rig = Rig(Path(folder), messages)
        try:
            rig.prove_the_ladder()
            for mode in MODES:
                if deadline is None or time.monotonic() < deadline:
                    rig.prove(mode)
            rig.prove_signing_in()
        finally:
            rig.stop()
    told = ", ".join(f"{name} {figures}" for name, figures in rig.figures.items())
    print(
        f"smtp_faults: {len(rig.figures)} of {len(MODES) + 2} ways, {messages} messages each, worker process with a "
        f"limit of {TIMEOUT_S} s; {told}; longest visit {rig.longest_s:.1f} s; {len(rig.faults)} faults; "
        f"{time.monotonic() - began:.0f} s",
        flush=True,
    )
    left_s = seconds if budget_s is None else min(seconds, max(4.0, began + budget_s * 0.85 - time.monotonic()))
    latency = measure(left_s)
    print(f"smtp_faults: {latency.in_words()}", flush=True)
    for fault in rig.faults + latency.faults:
        print(f"smtp_faults: {fault}", file=sys.stderr)
    return int(bool(rig.faults or latency.faults))


class Rig:
    """A database with messages to send, a port for the mail server, and a real worker process on both."""

    def __init__(self, folder: Path, messages: int) -> None:
        self.folder, self.messages = folder, messages
        self.port = free_port()
        self.figures: dict[str, str] = {}
        self.faults: list[str] = []
        self.longest_s = 0.0
        self._process: subprocess.Popen[bytes] | None = None
        self._settings: Mapping[str, str] = {}
        self.authority, self.tls = make_authority(folder, "known")
        self.database = Database(f"sqlite:///{folder / 'plugward.sqlite3'}")
        migrate(self.database)
        with self.database.system(write=True) as session:
            accounts.create_scheme(session, scheme_id=SCHEME, name="Faults", now=datetime.now(UTC))

    # --- one way to fail ---------------------------------------------------------------------

    def prove(self, mode: Mode) -> None:
        """Let the messages meet the failing server, look at them, heal it, and look at them again."""
        ids = self._queue(mode.name, self.messages)
        server = None if mode.script is None else ScriptedSmtp(self.port, mode.script, tls=self.tls)
        self._work_with(mode.settings)
        self._await_rest(mode.name)
        rows, before = self._rows(mode.name), Seen() if server is None else server.seen
        self._check_failure(mode, rows)
        if mode.is_final:
            self._tell(mode, rows, before, Seen())
        else:
            server = server or ScriptedSmtp(self.port, tls=self.tls)
            server.seen, server.script = Seen(recipients=before.recipients), mode.cure
            self._work_with(mode.settings if mode.cured is None else mode.cured)
            self._retry_now()
            self._await_sent(mode.name)
            self._check_cure(mode, ids, self._rows(mode.name), server.seen)
            self._tell(mode, rows, before, server.seen)
        if server is not None:
            server.close()

    def _check_failure(self, mode: Mode, rows: list[Mail]) -> None:
        reasons = {row.reason for row in rows if row.reason}
        self._must(mode, len(rows) == self.messages, "every message is still there")
        self._must(mode, bool(reasons) and all(each.startswith(mode.reason) for each in reasons), f"reason {reasons}")
        if mode.is_final:
            self._must(mode, {(row.status, row.attempts) for row in rows} == {("refused", 1)}, "refused at one try")
            self._check_visible(mode, {row.id for row in rows})
            return
        self._must(mode, {row.status for row in rows} == {"waiting"}, "all wait")
        self._must(mode, max(row.attempts for row in rows) == 1, "tried once so far")
        # Those that were put back untried, as no server could be spoken to, wait as long as the first delay.
        ahead_s = [(row.not_before_ms - self._now_ms()) / 1000 for row in rows]
        is_first_delay = all(RETRY_DELAYS_S[0] - 40 < ahead <= RETRY_DELAYS_S[0] + 1 for ahead in ahead_s)
        self._must(mode, is_first_delay, f"wait {[round(each) for each in ahead_s]} s")

    def _check_visible(self, mode: Mode, ids: set[str]) -> None:
        """See that the administrator's list of problems names each of these with its reason."""
        with self.database.scheme(SCHEME, write=False) as session:
            lines, _count = list_mail(session, MailFilter(is_problem=True), is_problem_first=True, first=0, limit=1000)
        shown = {line.id for line in lines if line.reason and line.reason.startswith(mode.reason)}
        self._must(mode, ids <= shown, "each stands in the list of problems with its reason")

    def _check_cure(self, mode: Mode, ids: list[str], rows: list[Mail], seen: Seen) -> None:
        self._must(
            mode, {row.status for row in rows} == {"sent"}, f"all are sent {Counter(row.status for row in rows)}"
        )
        self._must(mode, sorted(seen.kept) == sorted(ids), "the server has each of them")
        self._must(mode, set(seen.kept.values()) == {1}, "and has it once")

    def _tell(self, mode: Mode, rows: list[Mail], before: Seen, after: Seen) -> None:
        self.longest_s = max(self.longest_s, before.longest_s)
        lost = sum(before.unanswered.values())
        self._must(mode, mode.may_repeat or not lost, "no message went out whose answer was lost")
        self._must(mode, before.longest_s < LONGEST_S, f"no visit longer than {LONGEST_S} s")
        self._must(mode, before.unsecured == after.unsecured == 0, "no password without TLS")
        if mode.is_final:
            self.figures[mode.name] = f"refused {len(rows)} at one try each"
        else:
            self.figures[mode.name] = f"sent {len(after.kept)} after all" + (f", repeated {lost}" if lost else "")

    # --- more of the same --------------------------------------------------------------------

    def prove_the_ladder(self) -> None:
        """Let one message fail until it is given up, and see that each wait is the table's."""
        mode = Mode("busy for ever", Script(rcpt=b"450 4.2.0 busy"), "RCPT: 450 4.2.0")
        self._queue(mode.name, 1)
        server = ScriptedSmtp(self.port, mode.script or GOOD)
        self._work_with({})
        waits = []
        for _ in RETRY_DELAYS_S:
            self._await_rest(mode.name)
            waits.append((self._rows(mode.name)[0].not_before_ms - self._now_ms()) / 1000)
            self._retry_now()
        self._await_rest(mode.name)
        (row,) = self._rows(mode.name)
        is_table = all(table - 40 < wait <= table + 1 for wait, table in zip(waits, RETRY_DELAYS_S, strict=True))
        self._must(mode, is_table, f"waits {waits}")
        self._must(mode, (row.status, row.attempts) == ("given_up", len(waits) + 1), f"{row.status} at the end")
        self._check_visible(mode, {row.id})
        self.figures[mode.name] = f"given up after {row.attempts} tries"
        server.close()

    def prove_signing_in(self) -> None:
        """Send over STARTTLS with the right password to a server whose authority is trusted."""
        mode = Mode("STARTTLS and password right", SIGN_IN, "")
        ids = self._queue(mode.name, self.messages)
        server = ScriptedSmtp(self.port, SIGN_IN, tls=self.tls)
        self._work_with(LOGIN)
        self._await_sent(mode.name)
        self._check_cure(mode, ids, self._rows(mode.name), server.seen)
        self._must(mode, server.seen.logins >= 1 and server.seen.unsecured == 0, "signed in, and only under TLS")
        self.figures[mode.name] = f"sent {len(server.seen.kept)} at once"
        server.close()

    # --- parts -------------------------------------------------------------------------------

    def _must(self, mode: Mode, holds: bool, what: str) -> None:
        if not holds:
            self.faults.append(f"{mode.name}: it does not hold: {what}")

    def _queue(self, name: str, count: int) -> list[str]:
        """Queue messages and return their Message-IDs."""
        postmark, rendered = Postmark("x" * 32, "demo.example"), Rendered("A subject", "Some words.\n", "<p>Words.</p>")
        with self.database.scheme(SCHEME, write=True) as session:
            mails = [
                queue(
                    session,
                    rendered,
                    kind="proof",
                    dedupe_key=f"{name}/{number}",
                    recipient=f"reader{number}@{name.replace(' ', '-')}.example",
                    household_id=None,
                    at=datetime.now(UTC),
                    postmark=postmark,
                )
                for number in range(count)
            ]
            return [mail.message_id for mail in mails if mail is not None]

    def _work_with(self, settings: Mapping[str, str]) -> None:
        """Have a real worker process with these settings, started as an operator does; the one there is, if it has."""
        if self._process is not None and self._settings == settings:
            return
        self.stop()
        environment = {
            **os.environ,
            "PLUGWARD_DATA_DIR": str(self.folder),
            "PLUGWARD_SMTP_HOST": "127.0.0.1",
            "PLUGWARD_SMTP_PORT": str(self.port),
            "PLUGWARD_SMTP_TIMEOUT_S": str(TIMEOUT_S),
            "PLUGWARD_LEASE_S": "30",
            "PLUGWARD_LOG_LEVEL": "ERROR",
            **settings,
        }
        if "SSL_CERT_FILE" in settings:
            environment["SSL_CERT_FILE"] = str(self.authority)
        self._settings = settings
        self._process = subprocess.Popen([sys.executable, "-m", "service.cli", "worker"], env=environment)

    def stop(self) -> None:
        """Stop the worker process, which must end by itself."""
        process, self._process = self._process, None
        if process is not None:
            process.send_signal(signal.SIGTERM)
            if code := process.wait(timeout=60):
                self.faults.append(f"the worker ended with {code}")

    def _await_rest(self, name: str) -> None:
        """Wait until no message is being sent or due."""
        ends = time.monotonic() + 180
        while time.monotonic() < ends:
            if self._process is not None and self._process.poll() is not None:
                raise RuntimeError(f"{name}: the worker ended by itself")
            now_ms = self._now_ms()
            if not any(
                row.status == "claimed" or (row.status == "waiting" and row.not_before_ms <= now_ms)
                for row in self._rows(name)
            ):
                return
            time.sleep(0.1)
        raise RuntimeError(f"{name}: the worker does not come to rest")

    def _await_sent(self, name: str) -> None:
        """Wait until all are sent; on a machine so busy that even a good server is too slow, after some more tries."""
        for _ in range(BUSY_TRIES):
            self._await_rest(name)
            if all(row.status == "sent" for row in self._rows(name)):
                return
            self._retry_now()
        self._await_rest(name)

    def _rows(self, name: str) -> list[Mail]:
        with self.database.scheme(SCHEME, write=False) as session:
            return list(session.scalars(select(Mail).where(Mail.dedupe_key.startswith(f"{name}/"))))

    def _now_ms(self) -> int:
        with self.database.system(write=False) as session:
            return session.scalars(select(database_now_ms())).one()

    def _retry_now(self) -> None:
        with self.database.system(write=True) as session:
            session.execute(update(Mail).where(Mail.status == "waiting").values(not_before_ms=0))


if __name__ == "__main__":
    sys.exit(main())
