"""Two safety officers act on the same put-off date at once: neither waits for the other for ever."""

import threading
import time
from collections.abc import Callable
from datetime import date, timedelta

import pytest

from service.households.operations import hold_household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.safety import operations
from service.safety.domain.overrides import OverrideDetails
from service.safety.domain.visit_details import VisitMove
from service.safety.models import Override, Visit
from tests.factories.households import NOON, WRITING, furnished_home
from tests.factories.safety import inspect

pytestmark = pytest.mark.both_databases

DUE = date(2026, 12, 10)
HELD_S = 0.5


def test_a_visit_called_off_while_its_extension_is_ended_by_hand(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        inspect(session, home.id, home.outlet_id, next_due_on=DUE)
        visit = Visit(
            household_id=home.id, outlet_ids=[home.outlet_id], state="date_agreed", asked_at=NOON, agreed_on=DUE
        )
        session.add(visit)
        session.flush()
        details = OverrideDetails(
            kind="extension", item_kind="outlet", item_id=home.outlet_id, reason="booked", due_on=DUE,
            new_due_on=DUE + timedelta(days=7), visit_id=visit.id,
        )  # fmt: skip
        visit_id, override_id = visit.id, operations.make_override(session, home.id, details, **WRITING).id
    is_held = threading.Event()
    failed: list[str] = []

    def call_off(session: SchemeSession) -> None:
        hold_household(session, home.id)
        is_held.set()
        time.sleep(HELD_S)
        operations.move_visit(session, visit_id, VisitMove("cancelled"), by=None, at=NOON)

    def end(session: SchemeSession) -> None:
        operations.end_override(session, home.id, override_id, by=None, at=NOON)

    def act(doing: Callable[[SchemeSession], None]) -> None:
        try:
            with database.scheme(scheme, write=True) as session:
                doing(session)
        except Exception as error:  # a thread's failure would be lost
            failed.append(repr(error))

    first = threading.Thread(target=act, args=(call_off,))
    second = threading.Thread(target=act, args=(end,))
    first.start()
    assert is_held.wait(10)
    second.start()
    for thread in (first, second):
        thread.join(30)
    assert failed == []
    with database.scheme(scheme, write=False) as session:
        assert session.get_one(Override, (scheme, override_id)).ended_at == NOON
