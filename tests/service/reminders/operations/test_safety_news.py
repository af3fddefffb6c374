"""Everybody concerned is told of a stop once, at any hour, each in their own words."""

from datetime import date, datetime, timedelta
from functools import partial
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.models import Role
from service.households import operations as homes
from service.households.domain.equipment_details import CircuitDetails, RunDetails
from service.households.domain.events import OutletsChanged
from service.households.domain.home_details import SupplyDetails
from service.households.models import Outlet
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.mail.queue import Mail
from service.infrastructure.outbox import Event
from service.reminders import emails, operations
from service.reminders.models import SafetyNotice
from service.safety.domain.events import ExtensionStopped, UseStopped
from service.safety.domain.extension_use import ExtensionDetails
from service.safety.domain.report_details import IncidentDetails, WithdrawalDetails
from service.safety.models import SupervisedCharge
from service.safety.operations import (
    end_extension,
    household_clearances,
    record_extension,
    report_incident,
    withdraw_sign,
)
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
from tests.factories.safety import claim, inspect, look_after, make_counting

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


@pytest.fixture
def inspected(session: SchemeSession, home: str) -> str:
    """The home's socket, known and inspected: a car may charge from it."""
    outlet = session.scalars(select(Outlet.id).where(Outlet.household_id == home)).one()
    writing: dict[str, Any] = {"by": None, "at": NIGHT - timedelta(days=30)}
    runs = (RunDetails("radial", device_a=20),)
    circuit = homes.add_circuit(session, home, CircuitDetails("garage", runs), **writing)
    known = {"circuit_id": circuit.id, "serial_or_batch": "S-1", "limit_a": 8}
    homes.change_outlet(session, home, outlet, known, **writing)
    homes.put_supply(session, home, SupplyDetails(earthing="tn_s"), **writing)
    inspect(session, home, outlet, inspected_on=date(2026, 11, 1))
    return outlet


def tell_edits(session: SchemeSession, *, at: datetime = NIGHT) -> int:
    """Hand every edit announced so far to the telling, as the outbox gives it back; return how many are new."""
    session.flush()
    events = session.scalars(select(Event).where(Event.name == "OutletsChanged").order_by(Event.id)).all()
    return sum(
        operations.tell_outlets_lost(
            session,
            OutletsChanged(**event.payload),
            at=at,
            render_member=partial(emails.stopped_at_home, base_url=URL),
            render_administrator=partial(emails.stopped_in_scheme, base_url=URL),
            postmark=POSTMARK,
        )
        for event in events
    )


def edit(session: SchemeSession, home: str, outlet: str, *, at: datetime = NIGHT, **changes: Any) -> None:
    homes.change_outlet(session, home, outlet, changes, by=None, at=at)


@pytest.mark.both_databases
@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"serial_or_batch": "S-2"}, "serial or batch"),
        ({"circuit_id": None}, "circuit"),
        ({"limit_a": 10}, "current raised"),
    ],
)
def test_of_an_edit_that_ends_an_inspection_in_use_everybody_is_told_once_what_changed_and_not_to_charge(
    session: SchemeSession, home: str, inspected: str, changes: dict[str, Any], what: str
) -> None:
    edit(session, home, inspected, **changes)
    assert (tell_edits(session), tell_edits(session)) == (2, 0)
    member, administrator = to(session, "ada"), to(session, "bram")
    assert member.subject == "Do not charge at home until it has been looked at"
    assert words(member).startswith("Hello Ada Finch, Do this now: - Do not charge from it, and end a charge under way")
    assert "in the home H-7" in words(administrator)
    for mail in (member, administrator):
        assert f"Garage <socket>: something that its last inspection rests on was changed: {what}" in words(mail)
        assert "not known until an electrician has looked; do not charge from it" in words(mail)
        assert "lifted by - an electrician's inspection of this outlet, made after the change" in words(mail)
        html = " ".join(mail.html.split())
        assert f"Garage &lt;socket&gt;: something that its last inspection rests on was changed: {what}" in html
        for word in (ADDRESS, POSTCODE):
            assert word not in mail.text + mail.html + mail.subject
    notices = session.scalars(select(SafetyNotice).where(SafetyNotice.household_id == home)).all()
    assert [(notice.kind, notice.read_at, bool(notice.mail_id)) for notice in notices] == [("stop", None, True)] * 2
    assert all(f"was changed: {what}" in notice.text for notice in notices)


@pytest.mark.both_databases
@pytest.mark.parametrize("part", ["circuit", "supply"])
def test_of_an_edit_of_its_circuit_or_of_the_earthing_too(
    session: SchemeSession, home: str, inspected: str, part: str
) -> None:
    if part == "supply":
        homes.put_supply(session, home, SupplyDetails(earthing="tt"), by=None, at=NIGHT)
    else:
        (circuit,) = homes.list_circuits(session, home)
        other = CircuitDetails("garage", (RunDetails("radial", device_a=32),))
        homes.change_circuit(session, home, circuit.id, other, by=None, at=NIGHT)
    assert tell_edits(session) == 2
    told = {"supply": "earthing of the home", "circuit": "circuit: rating of the device"}[part]
    assert f"was changed: {told}" in words(to(session, "ada"))


def test_of_a_socket_put_on_another_circuit_too_as_it_was_usable_on_its_own(
    session: SchemeSession, home: str, inspected: str
) -> None:
    other = homes.add_circuit(session, home, CircuitDetails("kitchen", (RunDetails("radial"),)), by=None, at=NIGHT)
    edit(session, home, inspected, circuit_id=other.id)
    assert tell_edits(session) == 2


@pytest.mark.both_databases
def test_two_edits_saved_in_one_go_are_told_once_and_one_after_them_took_nothing_away(
    session: SchemeSession, home: str, inspected: str
) -> None:
    edit(session, home, inspected, serial_or_batch="S-2")
    homes.put_supply(session, home, SupplyDetails(earthing="tt"), by=None, at=NIGHT)
    edit(session, home, inspected, at=NIGHT + timedelta(hours=1), serial_or_batch="S-3")
    assert tell_edits(session, at=NIGHT + timedelta(hours=1)) == 2


@pytest.mark.both_databases
def test_nobody_is_told_of_an_edit_of_an_outlet_that_could_not_be_used_before(
    session: SchemeSession, home: str
) -> None:
    outlet = session.scalars(select(Outlet.id).where(Outlet.household_id == home)).one()
    writing: dict[str, Any] = {"at": NIGHT - timedelta(hours=1)}
    edit(session, home, outlet, **writing, serial_or_batch="S-1")
    edit(session, home, outlet, serial_or_batch="S-2")
    assert session.scalars(select(Event).where(Event.name == "OutletsChanged")).one()
    assert tell_edits(session) == 0
    assert queued_mail(session) == []


def test_nobody_is_told_of_an_edit_that_only_tightens_or_of_a_home_that_is_gone(
    session: SchemeSession, home: str, inspected: str
) -> None:
    edit(session, home, inspected, limit_a=6)
    assert tell_edits(session) == 0
    event = OutletsChanged("0" * 32, ["0" * 32], {})
    renders: dict[str, Any] = {
        "render_member": partial(emails.stopped_at_home, base_url=URL),
        "render_administrator": partial(emails.stopped_in_scheme, base_url=URL),
    }
    assert operations.tell_outlets_lost(session, event, at=NIGHT, **renders, postmark=POSTMARK) == 0


def test_an_edited_outlet_with_a_sign_on_it_meanwhile_is_never_told_of_in_milder_words(
    session: SchemeSession, home: str, inspected: str
) -> None:
    edit(session, home, inspected, serial_or_batch="S-2")
    stop(session, home, outlet_id=inspected)
    assert tell_edits(session) == 2
    mail = to(session, "ada")
    assert mail.subject == "Stop charging at home"
    assert "Garage <socket>: do not use" in words(mail)
    assert "not known until" not in words(mail)
    lifted = words(mail).partition("lifted by")[2]
    assert "on a later day than the report" in lifted and "(serial or batch): get it checked" in lifted


def test_nobody_is_told_late_of_an_outlet_that_a_new_inspection_gave_back(
    session: SchemeSession, home: str, inspected: str
) -> None:
    edit(session, home, inspected, serial_or_batch="S-2")
    tomorrow = NIGHT + timedelta(days=1)
    row = make_counting(session, claim(session, home, inspected).id)
    row.inspected_on, row.recorded_at, row.accepted_at = tomorrow.date(), tomorrow, tomorrow
    look_after(session, home, inspected, at=tomorrow)
    anew = dict.fromkeys(("started_at", "first_felt_at", "later_felt_at", "ended_at"), tomorrow)
    cool: dict[str, Any] = {"first_answer": "cool", "later_answer": "cool", "is_clear": True, "current_a": 10}
    session.add(SupervisedCharge(household_id=home, outlet_id=inspected, **anew, **cool))
    session.flush()
    later = tomorrow + timedelta(hours=1)
    assert household_clearances(session, home, at=later)[0].clearance.allows_charging
    assert tell_edits(session, at=later) == 0
    assert queued_mail(session) == []
