"""Who asks the clock: of several workers one holds a lease on it, and when that one dies another takes over.

A lease is judged by the database's clock alone.  Its token rises whenever it is taken, so a holder that was
paused past its lease finds its token worth nothing, even where the one who took over had the same name.
"""

from __future__ import annotations

import logging
import os
import secrets
import time
from dataclasses import dataclass
from typing import Any

from sqlalchemy import BigInteger, Integer, String, or_, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database, SystemSession
from service.infrastructure.db.types import database_now_ms

log = logging.getLogger(__name__)


class ClockLease(Base):
    """One lease by name; judged by the database's clock, and told apart by its token."""

    __tablename__ = "clock_leases"
    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    holder: Mapped[str] = mapped_column(String(80))
    token: Mapped[int] = mapped_column(Integer)
    lease_until_ms: Mapped[int] = mapped_column(BigInteger)


@dataclass(frozen=True, slots=True)
class Hold:
    """A lease held for a while: its name, who holds it, and the token that proves it."""

    name: str
    holder: str
    token: int


def take(session: SystemSession, name: str, holder: str, *, lease_ms: int) -> Hold | None:
    """Take a lease that nobody holds, or return None while somebody else does; one statement.

    Whose own lease still runs keeps its token and gets a new end.
    """
    insert: Any = postgresql.insert if session.get_bind().dialect.name == "postgresql" else sqlite.insert
    ends = database_now_ms() + lease_ms
    is_over = ClockLease.lease_until_ms < database_now_ms()
    statement = insert(ClockLease).values(name=name, holder=holder, token=1, lease_until_ms=ends)
    statement = statement.on_conflict_do_update(
        index_elements=["name"],
        set_={"holder": holder, "token": ClockLease.token + is_over.cast(Integer), "lease_until_ms": ends},
        where=or_(is_over, ClockLease.holder == holder),
    ).returning(ClockLease.token)
    token = session.scalar(statement.execution_options(populate_existing=True))
    return None if token is None else Hold(name, holder, token)


def renew(session: SystemSession, hold: Hold, *, lease_ms: int) -> bool:
    """Hold on for another while from now; False where the lease ran out, even if nobody has taken it since."""
    is_running = ClockLease.lease_until_ms >= database_now_ms()
    return _change(session, hold, is_running, lease_until_ms=database_now_ms() + lease_ms)


def give_up(session: SystemSession, hold: Hold) -> bool:
    """Let the next one take the lease at once; False where it was no longer held."""
    return _change(session, hold, lease_until_ms=0)


def _change(session: SystemSession, hold: Hold, *conditions: Any, **values: Any) -> bool:
    done = session.execute(
        update(ClockLease)
        .where(
            ClockLease.name == hold.name,
            ClockLease.holder == hold.holder,
            ClockLease.token == hold.token,
            *conditions,
        )
        .values(**values)
        .execution_options(synchronize_session=False)
    )
    return bool(done.rowcount == 1)  # type: ignore[attr-defined]


class LeaseKeeper:
    """One process's side of a lease: takes it when it can, and keeps it while it is asked."""

    def __init__(self, database: Database, name: str, *, lease_s: float) -> None:
        self._database = database
        self._name = name
        self._lease_ms = int(lease_s * 1000)
        self._ask_every_s = lease_s / 3
        self._hold: Hold | None = None
        self._next_look_s = 0.0
        # A process id comes again; the random part never does.
        self.holder = f"{os.getpid()}-{secrets.token_hex(8)}"

    def look(self) -> bool:
        """Keep or take the lease if it is time to, a few times a lease; say whether it was held when last asked."""
        return self.confirm() if time.monotonic() >= self._next_look_s else self._hold is not None

    def confirm(self) -> bool:
        """Ask the database whether the lease is held now, and hold it from now on if it can be."""
        self._next_look_s = time.monotonic() + self._ask_every_s
        hold, self._hold = self._hold, None  # an error on the way leaves nothing held
        with self._database.system(write=True) as session:
            if hold is not None and renew(session, hold, lease_ms=self._lease_ms):
                taken: Hold | None = hold
            else:
                if hold is not None:
                    log.warning("a lease was lost", extra={"lease": self._name, "token": hold.token})
                taken = take(session, self._name, self.holder, lease_ms=self._lease_ms)
        self._hold = taken
        if taken is not None and taken != hold:
            log.info("a lease was taken", extra={"lease": self._name, "token": taken.token, "holder": self.holder})
        return taken is not None

    def give_up(self) -> None:
        """Let another take it at once, where it is held."""
        hold, self._hold = self._hold, None
        self._next_look_s = 0.0
        if hold is not None:
            with self._database.system(write=True) as session:
                give_up(session, hold)
