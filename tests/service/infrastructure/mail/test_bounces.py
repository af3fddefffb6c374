"""Reports of mail that did not arrive, as mail servers write them, matched with the delivery record."""

from datetime import timedelta

import pytest
from click.testing import CliRunner
from sqlalchemy import select

from service.cli import main
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.bounces import Bounce, read_bounces, record_bounces
from service.infrastructure.mail.queue import Mail, Postmark, Rendered, queue
from tests.conftest import NOON

POSTMARK = Postmark("a secret of at least thirty-two characters", "mail.example")


def report(
    message_id: str, *, action: str = "failed", status: str = "5.1.1", returned: str = "message/rfc822",
    diagnostic: str = "smtp; 550 5.1.1 <ada@people.example>: no such person",
) -> bytes:  # fmt: skip
    """Return a delivery status notification in the layout of RFC 3464 appendix A."""
    return f"""From: Mail Delivery <postmaster@relay.example>
To: charging@demo.example
Subject: Undelivered mail
Message-ID: <report.1@relay.example>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="b1"

--b1
Content-Type: text/plain; charset=us-ascii

Your message could not be delivered. <ada@people.example> Status: 9.9.9

--b1
Content-Type: message/delivery-status

Reporting-MTA: dns; relay.example
Arrival-Date: Wed, 25 Nov 2026 12:00:00 +0000

Final-Recipient: rfc822; ada@people.example
Action: {action}
Status: {status}
Diagnostic-Code: {diagnostic}

--b1
Content-Type: {returned}

From: charging@demo.example
To: ada@people.example
Subject: A recheck is due
Message-ID: {message_id}

words

--b1--
""".encode()


@pytest.fixture
def mail(session: SchemeSession) -> Mail:
    found = queue(
        session, Rendered("s", "t", "h"), kind="k", dedupe_key="k/1", recipient="ada@people.example", household_id=None,
        at=NOON, postmark=POSTMARK,
    )  # fmt: skip
    assert found is not None
    session.commit()
    return found


@pytest.mark.parametrize("returned", ["message/rfc822", "text/rfc822-headers"])
def test_a_failure_is_read_with_its_codes_and_without_the_address(returned: str) -> None:
    bounces, count = read_bounces(report("<abc@mail.example>", returned=returned))
    assert (bounces, count) == ([Bounce("<abc@mail.example>", "bounced: 550 5.1.1")], 1)


@pytest.mark.parametrize("action", ["delayed", "delivered", "relayed", "expanded"])
def test_other_reports_are_no_bounces(action: str) -> None:
    assert read_bounces(report("<abc@mail.example>", action=action)) == ([], 1)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\r\n",
        b"Subject: hello\n\nwords\n",
        b"\xff\xfe\x00",
        report("no id"),
        report("<a@b>").split(b"--b1\nContent-Type: message/r")[0],
    ],
)
def test_what_is_no_report_is_left_alone(content: bytes) -> None:
    assert read_bounces(content)[0] == []


def test_a_mailbox_of_several_is_read_one_by_one() -> None:
    mbox = b"".join(
        b"From postmaster Wed Nov 25 12:00:00 2026\n" + report(f"<m{number}@mail.example>") + b"\n>From here on\n"
        for number in range(3)
    )
    bounces, count = read_bounces(mbox)
    assert count == 3 and [each.message_id for each in bounces] == [f"<m{n}@mail.example>" for n in range(3)]


def test_a_report_without_a_code_says_so() -> None:
    [bounce] = read_bounces(report("<abc@mail.example>", status="", diagnostic="x"))[0]
    assert bounce.reason == "bounced: no code given"


def test_the_message_is_marked_once_and_another_servers_mail_never(
    database: Database, session: SchemeSession, mail: Mail
) -> None:
    found = record_bounces(database, report(mail.message_id), at=NOON)
    assert (found.messages, found.bounces, found.recorded, found.known) == (1, 1, 1, 0)
    again = record_bounces(database, report(mail.message_id, status="5.2.2"), at=NOON + timedelta(days=1))
    assert (again.recorded, again.known) == (0, 1)
    strange = record_bounces(database, report("<strange@elsewhere.example>"), at=NOON)
    assert (strange.bounces, strange.recorded, strange.known) == (1, 0, 0)
    with database.scheme(session.scheme_id, write=False) as after:
        row = after.scalars(select(Mail)).one()
        assert (row.bounced_at, row.reason) == (NOON, "bounced: 550 5.1.1")


def test_the_command_reads_standard_input_and_says_what_it_found(
    database: Database, session: SchemeSession, mail: Mail, monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    monkeypatch.setenv("PLUGWARD_DATABASE_URL", database.engine.url.render_as_string(hide_password=False))
    done = CliRunner().invoke(main, ["bounces", "-"], input=report(mail.message_id))
    assert done.exit_code == 0, done.output
    assert "1 messages read, 1 bounces: 1 recorded" in done.output
