"""Where the present comes from: an argument, never a call to the system from a rule."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    """Anything that can say what time it is."""

    def now(self) -> datetime:
        """Return the present instant, aware, in UTC."""
        ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        """Return the present instant, aware, in UTC."""
        return datetime.now(UTC)


class FixedClock:
    """A clock that stands still until it is moved, for tests and simulated years."""

    def __init__(self, instant: datetime) -> None:
        if instant.tzinfo is None:
            raise ValueError("a clock needs an aware instant")
        self._instant = instant.astimezone(UTC)

    def now(self) -> datetime:
        """Return the instant the clock stands at."""
        return self._instant

    def move(self, by: timedelta) -> datetime:
        """Move the clock, forwards or back, and return the new instant."""
        self._instant += by
        return self._instant
