"""What background work is given, and how an event names its handlers.

The worker is the composition root; features' jobs see only this context.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from service.common.clock import Clock
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Postmark
from service.infrastructure.settings import Settings


@dataclass(frozen=True)
class JobContext:
    """The running worker's parts."""

    settings: Settings
    database: Database
    clock: Clock
    postmark: Postmark


@dataclass(frozen=True)
class Subscription:
    """One handler of one event: its effect is committed together with the delivery's end."""

    event: type
    handler: Callable[[JobContext, SchemeSession, Any], None]

    @property
    def name(self) -> str:
        """Return the handler's stable name, as deliveries store it."""
        return f"{self.handler.__module__.split('.')[1]}.{self.handler.__name__}"


@dataclass(frozen=True)
class ClockJob:
    """Something the clock asks for; it finds out itself what is due and does it once."""

    name: str
    every_s: int
    run: Callable[[JobContext], int]
