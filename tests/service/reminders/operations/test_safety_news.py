"""Everybody concerned is told of a stop once, at any hour, each in their own words."""

from functools import partial
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import Role
from service.households.models import Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail
from service.reminders import emails, operations
from service.reminders.models import SafetyNotice
from service.safety.domain.events import ExtensionStopped, UseStopped
from service.safety.domain.extension_use import ExtensionDetails
from service.safety.domain.report_details import IncidentDetails, WithdrawalDetails
from service.safety.operations import end_extension, record_extension, report_incident, withdraw_sign
from tests.factories.reminders import (
    ADDRESS,
    NOON,
    POSTCODE,
    POSTMARK,
    add_home,
    add_lead,
    add_outlet,
    add_person,
    queued_mail,
)

URL = "https://plugward.example"
NIGHT = NOON.replace(hour=2)


@pytest.fixture
def home(session: SchemeSession) -> str:
    """A home with a member, and an administrator."""
    home = add_home(session, "H-7")
    add_outlet(session, home, "Garage <socket>")
    add_lead(session, home)
    add_person(session, "Ada Finch", home)
    add_person(session, "Bram Ode", None, Role.ADMINISTRATOR)
    return home


def stop(session: SchemeSession, home: str, sign: str = "warm", **named: Any) -> str:
    return report_incident(session, home, IncidentDetails(sign, note="a private note", **named), by=None, at=NIGHT)


def tell(session: SchemeSession, home: str, *reports: str) -> int:
    return operations.tell_use_stopped(
        session,
        UseStopped(home, list(reports)),  # type: ignore[arg-type]  # as the outbox gives it back
        at=NIGHT,
        render_member=partial(emails.stopped_at_home, base_url=URL),
        render_administrator=partial(emails.stopped_in_scheme, base_url=URL),
        postmark=POSTMARK,
    )


def to(session: SchemeSession, name: str) -> Mail:
    (mail,) = [mail for mail in queued_mail(session) if mail.recipient.startswith(name)]
    return mail


def words(mail: Mail) -> str:
    return " ".join(mail.text.split())


def test_member_and_administrator_are_told_at_night_what_was_seen_stopped_and_lifts_it(
    session: SchemeSession, home: str
) -> None:
    assert tell(session, home, stop(session, home)) == 2
    for name in ("ada", "bram"):
        mail = to(session, name)
        assert (mail.kind, mail.household_id, mail.queued_at) == ("safety_stop", home, NIGHT)
        assert "Plug or socket warmer than just noticeable" in words(mail)
        assert "Garage <socket>: lifted by - an electrician's inspection" in words(mail)
        assert "Blue lead: lifted by - a test that this lead passed" in words(mail)
        assert "Garage &lt;socket&gt;" in mail.html


def test_a_member_reads_what_to_do_first(session: SchemeSession, home: str) -> None:
    tell(session, home, stop(session, home))
    mail = to(session, "ada")
    assert mail.subject == "Stop charging at home"
    assert words(mail).startswith("Hello Ada Finch, Do this now: - End the charge at the car.")
    assert f"{URL}/notices" in mail.text
    assert "H-7" not in mail.text


def test_an_administrator_reads_the_reference_and_no_address(session: SchemeSession, home: str) -> None:
    tell(session, home, stop(session, home))
    mail = to(session, "bram")
    assert mail.subject == "Stop charging in a home of the scheme"
    assert "in the home H-7" in words(mail)
    assert f"{URL}/households/{home}" in mail.text
    for word in (ADDRESS, POSTCODE, "Ada Finch", "private note"):
        assert word not in mail.text + mail.html + mail.subject


def test_after_a_shock_the_mail_sends_nobody_to_the_car(session: SchemeSession, home: str) -> None:
    tell(session, home, stop(session, home, "tingle"))
    text = words(to(session, "ada"))
    assert "Touch nothing: not the car, not the lead, not the plug." in text
    assert "End the charge at the car" not in text


def test_what_is_only_not_known_is_no_alarm(session: SchemeSession, home: str) -> None:
    tell(session, home, stop(session, home, "house_moved"))
    assert to(session, "ada").subject == "Do not charge at home until it has been looked at"


def test_the_same_reports_are_told_once_and_others_again(session: SchemeSession, home: str) -> None:
    first, second = stop(session, home), stop(session, home, "loose")
    assert (tell(session, home, first, second), tell(session, home, second, first)) == (2, 0)
    assert tell(session, home, stop(session, home, "buzzing")) == 2
    assert len({mail.dedupe_key for mail in queued_mail(session)}) == 4


def test_who_runs_the_scheme_and_lives_there_reads_the_members_message_alone(session: SchemeSession, home: str) -> None:
    from service.accounts.operations import add_membership, list_administrators

    (bram,) = list_administrators(session)
    add_membership(session, account_id=bram.account_id, role=Role.MEMBER, household_id=home, now=NOON)
    session.flush()
    assert tell(session, home, stop(session, home)) == 2
    assert to(session, "bram").subject == "Stop charging at home"


def test_nobody_is_told_of_withdrawn_reports_or_of_a_home_that_is_gone(session: SchemeSession, home: str) -> None:
    report = stop(session, home)
    withdraw_sign(session, home, report, WithdrawalDetails("a mistake"), by=None, at=NIGHT)
    assert tell(session, home, report) == 0
    assert tell(session, "0" * 32, report) == 0
    assert queued_mail(session) == []


def tell_extension(session: SchemeSession, home: str, extension_id: str) -> int:
    return operations.tell_extension_stopped(
        session,
        ExtensionStopped(home, extension_id),
        at=NIGHT,
        render_member=partial(emails.stopped_at_home, base_url=URL),
        render_administrator=partial(emails.stopped_in_scheme, base_url=URL),
        postmark=POSTMARK,
    )


def test_of_an_extension_lead_in_use_everybody_is_told_once_why_it_may_not_be_used_and_what_lifts_it(
    session: SchemeSession, home: str
) -> None:
    outlet = session.scalars(select(Outlet.id).where(Outlet.household_id == home)).one()
    used = ExtensionDetails(outlet, "Orange drum", is_coiled="yes")
    made = record_extension(session, home, used, by=None, at=NIGHT).row.id
    assert (tell_extension(session, home, made), tell_extension(session, home, made)) == (2, 0)
    member, administrator = words(to(session, "ada")), words(to(session, "bram"))
    assert "Do this now: - End the charge at the car. - Touch nothing that is hot" in member
    for text in (member, administrator):
        assert "Orange drum, an extension lead, is used at Garage <socket>" in text
        assert "- coiled" in text
        assert "lifted by - that the extension lead “Orange drum” is not used any more" in text
    notices = session.scalars(select(SafetyNotice.kind).where(SafetyNotice.household_id == home)).all()
    assert notices == ["stop", "stop"]


def test_nobody_is_told_of_an_extension_lead_that_is_not_used_any_more(session: SchemeSession, home: str) -> None:
    outlet = session.scalars(select(Outlet.id).where(Outlet.household_id == home)).one()
    made = record_extension(session, home, ExtensionDetails(outlet), by=None, at=NIGHT).row.id
    end_extension(session, home, made, by=None, at=NIGHT)
    assert (tell_extension(session, home, made), tell_extension(session, "0" * 32, made)) == (0, 0)
    assert queued_mail(session) == []
