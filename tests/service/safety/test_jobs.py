"""What the worker does for safety after a home changed."""

from typing import Any

from sqlalchemy import select

from service.households.domain.events import HouseholdChanged
from service.households.operations import add_outlet
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.settings import Settings
from service.infrastructure.tasks import JobContext
from service.safety.jobs import refresh_standing_after_household_change
from service.safety.models import ClearanceStatus
from tests.factories.households import WRITING, furnished_home, outlet_details
from tests.factories.safety import inspect


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
