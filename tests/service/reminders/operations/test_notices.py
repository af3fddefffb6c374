"""A notice is told once, read by its person, and rises to the duty contacts when it goes unread or astray."""

from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import select

from service.accounts.models import Role
from service.common.errors import Conflict, NotFound
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Mail, Rendered, queue
from service.reminders import emails, operations
from service.reminders.models import SafetyNotice
from service.reminders.operations.notices import NOT_ARRIVED, UNREAD, note_told
from tests.factories.reminders import ADDRESS, NOON, POSTMARK, add_home, add_person, queued_mail
from tests.factories.threads import at_once

pytestmark = pytest.mark.both_databases
RENDER = partial(emails.ring_about, base_url="https://charging.example", zone=ZoneInfo("Europe/London"))
DAY = timedelta(hours=24)


@pytest.fixture
def home(session: SchemeSession) -> str:
    return add_home(session, "H-7")


@pytest.fixture
def ada(session: SchemeSession, home: str) -> str:
    """A member; two administrators run the scheme, one of them on duty."""
    add_person(session, "Rowan Ellery", None, Role.ADMINISTRATOR)
    add_person(session, "Jo Marsh", None, Role.ADMINISTRATOR, is_duty_contact=True)
    return add_person(session, "Ada Finch", home, telephone="01632 960 002")


def tell(session: SchemeSession, home: str, account_id: str, key: str = "stop/1") -> SafetyNotice:
    mail = queue(
        session, Rendered("Stop charging at home", "t", "h"), kind="safety_stop", dedupe_key=f"{key}/{account_id}",
        recipient="ada@people.example", household_id=home, at=NOON, postmark=POSTMARK, account_id=account_id,
    )  # fmt: skip
    note_told(
        session, account_id=account_id, household_id=home, kind="stop", subject_key=key,
        subject="Stop charging at home", text="Do this now:", mail=mail, at=NOON,
    )  # fmt: skip
    session.flush()
    return session.scalars(
        select(SafetyNotice).where(SafetyNotice.subject_key == key, SafetyNotice.account_id == account_id)
    ).one()


def rise(session: SchemeSession, at: datetime) -> int:
    session.flush()
    return operations.raise_unread(session, at=at, render=RENDER, postmark=POSTMARK)


def asked(session: SchemeSession) -> list[Mail]:
    return [mail for mail in queued_mail(session) if mail.kind == "safety_ring"]


def test_a_person_is_told_of_a_thing_once(session: SchemeSession, home: str, ada: str) -> None:
    tell(session, home, ada)
    again = note_told(
        session, account_id=ada, household_id=home, kind="stop", subject_key="stop/1", subject="s", text="t", mail=None,
        at=NOON,
    )  # fmt: skip
    assert again is False
    assert operations.list_notices(session, ada, is_unread=None, first=0, limit=9)[1] == 1


def test_only_its_person_reads_it_and_the_first_time_counts(session: SchemeSession, home: str, ada: str) -> None:
    notice = tell(session, home, ada)
    with pytest.raises(NotFound):
        operations.read_notice(session, notice.id, by=add_person(session, "Bo Finch", home), at=NOON)
    for minutes in (5, 10):
        operations.read_notice(session, notice.id, by=ada, at=NOON + timedelta(minutes=minutes))
    assert notice.read_at == NOON + timedelta(minutes=5)
    assert operations.list_notices(session, ada, is_unread=True, first=0, limit=9) == ([], 0)


def test_unread_for_a_day_it_rises_once_to_the_duty_contact(session: SchemeSession, home: str, ada: str) -> None:
    notice = tell(session, home, ada)
    assert rise(session, NOON + DAY - timedelta(seconds=1)) == 0
    assert [rise(session, NOON + DAY), rise(session, NOON + 2 * DAY)] == [1, 0]
    assert (notice.raised_at, notice.raised_why) == (NOON + DAY, UNREAD)
    [mail] = asked(session)
    assert mail.recipient == "jo@people.example"
    assert "H-7: Stop charging at home" in mail.text and "/duty" in mail.text
    assert not any(word in mail.text for word in (ADDRESS, "Ada Finch", "01632"))


def refused(mail: Mail) -> None:
    mail.status = "refused"


def given_up(mail: Mail) -> None:
    mail.status = "given_up"


def bounced(mail: Mail) -> None:
    mail.status, mail.bounced_at = "sent", NOON


@pytest.mark.parametrize("fate", [refused, given_up, bounced])
def test_a_mail_that_did_not_arrive_rises_at_once(
    session: SchemeSession, home: str, ada: str, fate: Callable[[Mail], None]
) -> None:
    notice = tell(session, home, ada)
    fate(session.scalars(select(Mail).where(Mail.id == notice.mail_id)).one())
    assert rise(session, NOON + timedelta(minutes=1)) == 1
    assert notice.raised_why == NOT_ARRIVED


def test_what_was_read_or_told_to_a_leaver_does_not_rise(session: SchemeSession, home: str, ada: str) -> None:
    operations.read_notice(session, tell(session, home, ada).id, by=ada, at=NOON)
    left = tell(session, home, ada, "stop/2")
    session.scalars(select(Mail).where(Mail.id == left.mail_id)).one().status = "suppressed"
    assert rise(session, NOON + 2 * DAY) == 0


def test_the_list_shows_whom_to_ring_until_somebody_rang(session: SchemeSession, home: str, ada: str) -> None:
    notice = tell(session, home, ada)
    rise(session, NOON + DAY)
    [line], total = operations.list_raised(session, is_rung=False, first=0, limit=9)
    assert (line.reference, line.person, line.telephone, total) == ("H-7", "Ada Finch", "01632 960 002", 1)
    jo = add_person(session, "Jay Reed", None, Role.ADMINISTRATOR)
    rung = operations.ring_notice(session, notice.id, "spoke to her", by=jo, at=NOON + DAY)
    assert (rung.rung_by_name, rung.rung_note) == ("Jay Reed", "spoke to her")
    assert operations.list_raised(session, is_rung=False, first=0, limit=9) == ([], 0)
    operations.ring_notice(session, notice.id, "spoke to her", by=jo, at=NOON + 2 * DAY)
    assert notice.rung_at == NOON + DAY
    with pytest.raises(Conflict):
        operations.ring_notice(session, notice.id, "another word", by=ada, at=NOON + 2 * DAY)


def test_what_did_not_rise_cannot_be_rung_about(session: SchemeSession, home: str, ada: str) -> None:
    with pytest.raises(NotFound):
        operations.ring_notice(session, tell(session, home, ada).id, "", by=ada, at=NOON)


def test_two_workers_at_once_raise_each_notice_once(
    database: Database, session: SchemeSession, scheme: str, home: str, ada: str
) -> None:
    for number in range(20):
        tell(session, home, ada, f"stop/{number}")
    session.commit()

    def worker(number: int) -> int:
        with database.scheme(scheme, write=True) as own:
            return rise(own, NOON + DAY)

    counts = at_once(2, worker)
    with database.scheme(scheme, write=False) as after:
        notices = after.scalars(select(SafetyNotice)).all()
        assert sum(counts) == len([each for each in notices if each.raised_at]) == 20
        listed = sum(mail.text.count("H-7: Stop charging at home") for mail in asked(after))
        assert listed == 20
