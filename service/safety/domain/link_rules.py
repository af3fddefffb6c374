"""The rules of an inspection link: its secret, how long it holds, on which day a home opens, whose address is whose.

A link is spent by submitting, never by opening: mail scanners open everything.
"""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from service.common.errors import Fault
from service.households.domain.ranges import in_range, refuse
from service.safety.domain.visit_details import of_address

TOKEN_BYTES: Final = 32  # 256 random bits
EXPIRES_MAX_DAYS: Final = 60  # own bound
VISITS_MAX: Final = 40  # own bound: a firm's list of some days
CORRECTION_DAYS: Final = 7
DRAFT_MAX_BYTES: Final = 131_072  # own bound
_PLUS_PART: Final = re.compile(r"\+[^@]*")


@dataclass(frozen=True)
class LinkRequest:
    """For which visits a link is sent, to whom, for how many days."""

    visit_ids: tuple[str, ...]
    sent_to: str
    expires_in_days: int
    electrician_id: str | None = None

    def __post_init__(self) -> None:
        refuse(
            _visit_faults(self.visit_ids),
            of_address("sent_to", self.sent_to),
            in_range("expires_in_days", self.expires_in_days, 1, EXPIRES_MAX_DAYS, "days"),
        )


def new_secret() -> str:
    """Return the secret of a new link: 256 random bits, as an address may hold them."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def hash_of(secret: str) -> str:
    """Return what is kept of a secret, so that the table opens no door."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def same_mailbox(address: str) -> str:
    """Return an address as it is compared: lower case, and without what stands behind a plus sign.

    >>> same_mailbox(" Ada+inspection@Home.example ")
    'ada@home.example'
    """
    return _PLUS_PART.sub("", address.strip().lower(), count=1)


def is_address_of_home(sent_to: str, home_addresses: Iterable[str]) -> bool:
    """Say whether mail to an address reaches somebody who lives, or lived, in the home."""
    return same_mailbox(sent_to) in {same_mailbox(address) for address in home_addresses}


def is_open(opens_on: date, *, at: datetime, zone: ZoneInfo) -> bool:
    """Say whether a home's day has come at an instant, in the home's own zone."""
    return at.astimezone(zone).date() >= opens_on


def correction_ends_at(recorded_at: datetime, zone: ZoneInfo) -> datetime:
    """Return the local midnight that ends the seventh day after the day on which an inspection was recorded."""
    day = recorded_at.astimezone(zone).date() + timedelta(days=CORRECTION_DAYS + 1)
    return datetime.combine(day, time(), zone).astimezone(UTC)


def _visit_faults(visit_ids: tuple[str, ...]) -> Iterable[Fault]:
    if not 1 <= len(visit_ids) <= VISITS_MAX:
        yield Fault("visit_ids", len(visit_ids), f"must name 1 to {VISITS_MAX} visits")
    for position, visit_id in enumerate(visit_ids):
        if visit_id in visit_ids[:position]:
            yield Fault(f"visit_ids.{position}", visit_id, "is named already")
