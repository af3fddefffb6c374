"""Fields of time: wall times, dates and instants, each a string in JSON with a stated form."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import marshmallow as ma

from service.infrastructure.http.strict_schema import described, text_of

EARLIEST_YEAR, LATEST_YEAR = 1970, 2100  # own bound: keeps every zone conversion inside what datetime holds
_CLOCK = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])|(24):(00)")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_INSTANT = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,6})?([Zz]|[+-][0-9]{2}:[0-9]{2})"
)


class LocalTime(ma.fields.Field):
    """A wall time "HH:MM", held as minutes after local midnight.

    ``is_end`` is for the end of a window: midnight ("00:00" or "24:00") is then read as 1440, the end of the day,
    and written as "00:00", which is what a time input in a browser can show.
    """

    def __init__(self, *, step_min: int = 1, is_end: bool = False, **options: Any) -> None:
        minutes = "[0-5][0-9]" if step_min == 1 else "(" + "|".join(f"{m:02d}" for m in range(0, 60, step_min)) + ")"
        midnight = "|24:00" if is_end else ""
        pattern = f"^(([01][0-9]|2[0-3]):{minutes}{midnight})$"
        super().__init__(**described(options, type="string", pattern=pattern, examples=["07:30"]))
        self._step_min, self._is_end = step_min, is_end

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        match = _CLOCK.fullmatch(text_of(value))
        if not match or (match[3] and not self._is_end):
            raise ma.ValidationError("Must be a time of day as HH:MM.")
        minutes = int(value[:2]) * 60 + int(value[3:])
        if minutes % self._step_min:
            raise ma.ValidationError(f"Must be a multiple of {self._step_min} minutes.")
        return minutes or (1440 if self._is_end else 0)

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: int) -> str:
        """Return "HH:MM"; the end of the day is "00:00"."""
        return f"{value // 60 % 24:02d}:{value % 60:02d}"


class CalendarDate(ma.fields.Field):
    """A date "YYYY-MM-DD" between 1970 and 2100."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**described(options, type="string", format="date"))

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> date:
        try:
            found = date.fromisoformat(value) if _DATE.fullmatch(text_of(value)) else None
        except ValueError:
            found = None
        if found is None or not EARLIEST_YEAR <= found.year <= LATEST_YEAR:
            raise ma.ValidationError(f"Must be a date YYYY-MM-DD from {EARLIEST_YEAR} to {LATEST_YEAR}.")
        return found

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else value.isoformat()

    write: Callable[[date], str] = staticmethod(date.isoformat)


class Instant(ma.fields.Field):
    """A moment as RFC 3339 writes it, with an offset; held and written in UTC."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**described(options, type="string", format="date-time"))

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> datetime:
        try:
            found = datetime.fromisoformat(value.upper()) if _INSTANT.fullmatch(text_of(value)) else None
            in_range = found is not None and EARLIEST_YEAR <= found.year <= LATEST_YEAR
            if found is not None and in_range:
                return found.astimezone(UTC)
        except ValueError:
            pass
        raise ma.ValidationError(f"Must be a time with its offset (RFC 3339) from {EARLIEST_YEAR} to {LATEST_YEAR}.")

    def _serialize(self, value: Any, attr: Any, obj: Any, **kwargs: Any) -> Any:
        return None if value is None else self.write(value)

    @staticmethod
    def write(value: datetime) -> str:
        """Return RFC 3339 in UTC; a naive datetime is a fault of the caller."""
        if value.tzinfo is None:
            raise ValueError("an instant must carry its offset")
        return value.astimezone(UTC).isoformat()
