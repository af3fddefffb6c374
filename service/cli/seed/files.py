"""Values of seed files that know where they stand, so that a fault names file, place and rule.

Dates are relative to the day of loading ("-200d", "+4d"), so that the demo is never out of date.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from service.common.errors import Rejected
from service.common.slots import instant_at

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_WEEKDAY_NAMES = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_DAYS = re.compile(r"([+-]?[0-9]{1,4})d")
_HOURS = re.compile(r"([+-]?[0-9]{1,4})h")
_WALL = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")
_PLAIN_NUMBER = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,3})?")

Value = TypeVar("Value")


class SeedError(ValueError):
    """A seed file breaks a rule; the message names the file, the place in it and the rule."""


def stable_id(*names: str) -> str:
    """Return the id of a seeded row: the same names give the same id on every machine."""
    return hashlib.sha256("/".join(("plugward demo", *names)).encode()).hexdigest()[:32]


@dataclass(frozen=True)
class Moment:
    """The instant of loading and the zone in which its date is "today"."""

    now: datetime
    zone: ZoneInfo

    @property
    def today(self) -> date:
        """Return the local date of loading."""
        return self.now.astimezone(self.zone).date()


@dataclass(frozen=True)
class Node:
    """One value of a file, and the dotted path to it."""

    file: str
    path: str
    value: Any

    def fault(self, rule: str) -> SeedError:
        """Return the fault to raise for this value."""
        return SeedError(f"{self.file}: {self.path or 'the whole file'} {rule}")

    def object(self, *names: str, optional: tuple[str, ...] = ()) -> Node:
        """Return self, once it is known to be an object with these names and no others."""
        if not isinstance(self.value, dict):
            raise self.fault("must be an object")
        missing = [name for name in names if name not in self.value]
        strangers = [name for name in self.value if name not in (*names, *optional)]
        if missing or strangers:
            lists = (("lacks", missing), ("has no place for", strangers))
            raise self.fault(" and ".join(f"{words} {', '.join(names)}" for words, names in lists if names))
        return self

    def at(self, name: str) -> Node:
        """Return the value under a name; None where an optional name is absent."""
        return Node(self.file, f"{self.path}.{name}".lstrip("."), self.value.get(name))

    def items(self, name: str) -> list[Node]:
        """Return the members of the list under a name; an absent list is empty."""
        node = self.at(name)
        if node.value is None:
            return []
        if not isinstance(node.value, list):
            raise node.fault("must be a list")
        return [Node(self.file, f"{node.path}.{position}", value) for position, value in enumerate(node.value)]

    def text(self, name: str) -> str:
        """Return a text, which may be empty."""
        node = self.at(name)
        if not isinstance(node.value, str):
            raise node.fault("must be text")
        return node.value

    def name(self, name: str) -> str:
        """Return a text that is not empty."""
        text = self.text(name)
        if not text.strip():
            raise self.at(name).fault("must not be empty")
        return text

    def whole(self, name: str) -> int:
        """Return a whole number."""
        node = self.at(name)
        if not isinstance(node.value, int) or isinstance(node.value, bool):
            raise node.fault("must be a whole number")
        return node.value

    def decimal(self, name: str) -> Decimal:
        """Return a plain decimal number, which stands as text so that it is exact."""
        node = self.at(name)
        if not isinstance(node.value, str) or not _PLAIN_NUMBER.fullmatch(node.value):
            raise node.fault('must be a plain number as text, such as "3.6"')
        return Decimal(node.value)

    def flag(self, name: str) -> bool:
        """Return true or false."""
        node = self.at(name)
        if not isinstance(node.value, bool):
            raise node.fault("must be true or false")
        return node.value

    def word(self, name: str, known: type[Value]) -> Value:
        """Return a member of an enumeration, by its word."""
        node = self.at(name)
        try:
            return known(node.value)  # type: ignore[call-arg]
        except ValueError:
            raise node.fault(f"must be one of {', '.join(known)}") from None  # type: ignore[arg-type]

    def wall_minutes(self, name: str) -> int:
        """Return a wall time "07:30" in minutes after midnight; "24:00" is the day's end."""
        return self.at(name).as_wall_minutes()

    def as_wall_minutes(self) -> int:
        """Return this value, a wall time as ``wall_minutes`` reads it."""
        match = _WALL.fullmatch(self.value) if isinstance(self.value, str) else None
        if self.value == "24:00":
            return 24 * 60
        if match is None:
            raise self.fault('must be a wall time such as "07:30"')
        return int(match[1]) * 60 + int(match[2])

    def day(self, name: str, moment: Moment) -> date:
        """Return a date given as days from today: "-200d", "+4d"."""
        node = self.at(name)
        match = _DAYS.fullmatch(node.value) if isinstance(node.value, str) else None
        if match is None:
            raise node.fault('must be days from today, such as "-200d" or "+4d"')
        return moment.today + timedelta(days=int(match[1]))

    def instant(self, name: str, moment: Moment, zone: ZoneInfo) -> datetime:
        """Return an instant: "-3h", or "+2d 06:40" or "friday 15:30" (the next one) on the zone's clock."""
        node = self.at(name)
        text = node.value if isinstance(node.value, str) else ""
        if match := _HOURS.fullmatch(text):
            return moment.now + timedelta(hours=int(match[1]))
        on, _, wall = text.partition(" ")
        days, minutes = _DAYS.fullmatch(on), _WALL.fullmatch(wall)
        if minutes and days:
            return instant_at(moment.today + timedelta(days=int(days[1])), _minutes(minutes), zone)
        if minutes and on in _WEEKDAY_NAMES:
            ahead = (_WEEKDAY_NAMES.index(on) - moment.today.weekday()) % 7
            day = moment.today + timedelta(days=ahead)
            # On the day itself the hour may be past: then the next week's is meant.
            is_past = instant_at(day, _minutes(minutes), zone) <= moment.now
            return instant_at(day + timedelta(days=7 * is_past), _minutes(minutes), zone)
        raise node.fault('must be such as "-3h", "+2d 06:40" or "friday 15:30"')

    def or_none(self, read: Callable[[str], Value], name: str) -> Value | None:
        """Return what ``read`` makes of a name, or None where the value is null or absent."""
        return None if self.value.get(name) is None else read(name)

    @contextmanager
    def checked(self) -> Iterator[None]:
        """Turn a refusal of the domain into a fault of this place in the file."""
        try:
            yield
        except Rejected as rejected:
            first = rejected.faults[0]
            raise replace(self, path=f"{self.path}.{first.field}".strip(".")).fault(first.rule) from rejected


def _minutes(match: re.Match[str]) -> int:
    return int(match[1]) * 60 + int(match[2])


def read_json(folder: Path, file: str) -> Node:
    """Return the root of a JSON file of the seed folder."""
    try:
        return Node(file, "", json.loads((folder / file).read_text(encoding="utf-8"), object_pairs_hook=_no_repeats))
    except OSError as error:
        raise SeedError(f"{file}: cannot be read ({error.strerror})") from error
    except ValueError as error:
        raise SeedError(f"{file}: is not JSON ({error})") from error


def _no_repeats(pairs: list[tuple[str, Any]]) -> Mapping[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("an object names the same thing twice")
    return found


def files_in(folder: Path, below: str) -> list[str]:
    """Return the JSON files of a folder of the seed, in order of their names."""
    found = sorted(f"{below}/{path.name}" for path in (folder / below).glob("*.json"))
    if not found:
        raise SeedError(f"{below}: holds no JSON files")
    return found
