"""Rows of the queue tables for tests, and a look at the database's clock."""

from __future__ import annotations

import time

from sqlalchemy import select, update

from service.common.ids import new_id
from service.infrastructure.claims import Claim
from service.infrastructure.db.sessions import Database
from service.infrastructure.db.types import database_now_ms
from service.infrastructure.outbox import Delivery, Event
from tests.conftest import NOON


def add_deliveries(database: Database, scheme_id: str, count: int, *, handler: str = "test.nothing") -> list[str]:
    """Write events that are fanned out already, with one waiting delivery each; return the deliveries' ids."""
    with database.scheme(scheme_id, write=True) as session:
        events = [Event(id=new_id(), name="X", payload={}, happened_at=NOON, is_fanned_out=True) for _ in range(count)]
        session.add_all(events)
        session.flush()
        deliveries = [Delivery(id=new_id(), event_id=event.id, handler=handler) for event in events]
        session.add_all(deliveries)
        return [delivery.id for delivery in deliveries]


def database_ms(database: Database) -> int:
    """Return the database's own time [ms since 1970]."""
    with database.system(write=False) as session:
        return session.scalars(select(database_now_ms())).one()


def await_lease_end(database: Database, model: type, row_id: str) -> None:
    """Wait until a row's lease has run out by the database's clock."""
    ends = time.monotonic() + 10
    while time.monotonic() < ends:
        with database.system(write=False) as session:
            lease_until_ms = session.scalars(select(model.lease_until_ms).where(model.id == row_id)).one()  # type: ignore[attr-defined]
        if database_ms(database) > lease_until_ms:
            return
        time.sleep(0.01)
    raise AssertionError("the lease does not end")


def end_lease(database: Database, model: type, row_id: str) -> None:
    """Let a row's lease have run out just now, for tests that are not about waiting for it."""
    with database.system(write=True) as session:
        session.execute(update(model).where(model.id == row_id).values(lease_until_ms=0))  # type: ignore[attr-defined]


def make_due(database: Database, model: type) -> None:
    """Let every waiting row be due now."""
    with database.system(write=True) as session:
        session.execute(update(model).where(model.status == "waiting").values(not_before_ms=0))  # type: ignore[attr-defined]


def columns(database: Database, model: type, claim: Claim | str) -> dict[str, object]:
    """Return a queue row as it is stored."""
    row_id = claim if isinstance(claim, str) else claim.id
    table = model.__table__  # type: ignore[attr-defined]
    with database.engine.connect() as connection:
        return dict(connection.execute(select(table).where(table.c.id == row_id)).one()._mapping)
