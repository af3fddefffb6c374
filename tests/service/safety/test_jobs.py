"""What the worker does for safety after a home changed."""

import os
from datetime import timedelta
from typing import Any

from sqlalchemy import select

from service.households.domain.events import HouseholdChanged
from service.households.operations import add_outlet
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.files import FilesOnDisk
from service.infrastructure.mail.queue import Mail, Postmark
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from service.safety.jobs import (
    forget_sent_links,
    refresh_standing_after_household_change,
    set_recheck_dates_anew,
    sweep_unnamed_files,
)
from service.safety.models import ClearanceStatus, SchemeRule
from tests.factories.households import WRITING, furnished_home, outlet_details
from tests.factories.safety import inspect
from tests.factories.visits import agreed_visit, sent_link


def test_an_outlet_added_later_is_seen_in_the_standing(
    session: SchemeSession, database: Database, settings: Settings, clock: Any
) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    add_outlet(session, home.id, outlet_details(label="porch"), **WRITING)
    status = session.scalars(select(ClearanceStatus)).one()
    assert status.clearance == "fit_to_use"
    context = JobContext(settings, database, clock, Postmark("x" * 32, "demo.example"))
    refresh_standing_after_household_change(context, session, HouseholdChanged(home.id, 1))
    assert status.clearance == "not_known"
    refresh_standing_after_household_change(context, session, HouseholdChanged("0" * 32, 1))


def test_a_message_with_a_link_is_blanked_once_it_has_left(
    database: Database, scheme: str, settings: Settings, clock: Any
) -> None:
    context = JobContext(settings, database, clock, Postmark("x" * 32, "demo.example"))
    with database.scheme(scheme, write=True) as session:
        made = sent_link(session, agreed_visit(session, furnished_home(session)))
    assert forget_sent_links(context) == 0
    with database.scheme(scheme, write=True) as session:
        (mail,) = session.scalars(select(Mail)).all()
        assert made.url in mail.text
        mail.status, mail.sent_at = "sent", clock.now()
    assert forget_sent_links(context) == 1
    with database.scheme(scheme, write=False) as session:
        (mail,) = session.scalars(select(Mail)).all()
    assert (mail.text, mail.html, mail.subject != "") == ("", "", True)


def test_an_upload_without_a_row_is_swept_after_a_day(
    database: Database, scheme: str, settings: Settings, clock: Any
) -> None:
    context = JobContext(settings, database, clock, Postmark("x" * 32, "demo.example"))
    disk = FilesOnDisk(settings.files_dir)
    disk.put(scheme, "0" * 64, b"lost")
    path = disk.folder / scheme / ("0" * 64)
    for hours, swept in ((23, 0), (25, 1)):
        then = (clock.now() - timedelta(hours=hours)).timestamp()
        os.utime(path, (then, then))
        assert sweep_unnamed_files(context) == swept
    assert not path.exists()


def test_a_rule_that_comes_into_force_moves_dates_by_the_daily_look_and_nothing_else_does(
    session: SchemeSession, database: Database, settings: Settings, clock: Any
) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    session.commit()
    context = JobContext(settings, database, clock, Postmark("x" * 32, "demo.example"))
    set_recheck_dates_anew(context)
    assert set_recheck_dates_anew(context) == 0
    now = clock.now()
    with database.scheme(session.scheme_id, write=True) as other:
        shorter = SchemeRule(rule_name="report_not_known", interval_months=1, from_on=now.date(), made_at=now)
        other.add(shorter)
    assert set_recheck_dates_anew(context) == 1
    assert set_recheck_dates_anew(context) == 0
