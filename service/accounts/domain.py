"""Rules of signing in: what a password must be, how attempts are throttled, how long a session lives."""

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from service.common.errors import Fault, Rejected

PASSWORD_MIN_LENGTH = 15
"""NIST SP 800-63B-4: a password used alone has at least 15 characters; no composition rules."""

PASSWORD_MAX_LENGTH = 256
SAFETY_OFFICER = "safety_officer"
"""The role of an administrator who accepts inspections: a duty, not a membership of its own."""

TELEPHONE = re.compile(r"\+?[0-9][0-9 ()-]{4,38}")
ATTEMPT_WINDOW = timedelta(minutes=15)
ATTEMPTS_PER_ACCOUNT_AND_SOURCE = 8
ATTEMPTS_PER_ACCOUNT = 100
ATTEMPTS_PER_SOURCE = 60
"""Own choices within NIST SP 800-63B's 100 failures an account.  Few tries from one place, so that a stranger
elsewhere cannot lock a person out; the whole account only slows down under a broad attack."""
GUESSES_PER_PLACE = 60
"""Own choice: more secret addresses that open nothing than anybody opens by mistake from one place in a window."""


@dataclass(frozen=True)
class Duties:
    """What an administrator does for safety: accepts inspections, is rung when a safety notice goes unread."""

    is_safety_officer: bool = False
    is_duty_contact: bool = False
    telephone: str = ""

    def __post_init__(self) -> None:
        number = self.telephone.strip()
        if number and not TELEPHONE.fullmatch(number):
            raise Rejected(Fault("telephone", number, "must be a telephone number of digits, spaces, + and brackets"))
        if self.is_duty_contact and not number:
            raise Rejected(Fault("telephone", number, "must be given: the duty contact is rung"))


@dataclass(frozen=True)
class SessionLife:
    """How long a signed-in browser stays so: idle limit by role, and an absolute one."""

    idle_administrator: timedelta
    idle_member: timedelta
    absolute: timedelta

    def ends_at(self, *, created_at: datetime, seen_at: datetime, is_member_only: bool) -> datetime:
        """Return the instant the session ends if it is not used again: sooner for who sees more than their own home."""
        idle = self.idle_member if is_member_only else self.idle_administrator
        return min(seen_at + idle, created_at + self.absolute)


def throttle_subjects(email: str, source: str | None) -> list[tuple[str, int]]:
    """Return what failed sign-ins count against, each with its limit; hashed, so that no address is kept.

    ``source`` is None where it is not known: behind a proxy that nobody said to trust, everybody has one address.
    """
    account = _hashed(normal_email(email))
    subjects = [(f"account:{account}", ATTEMPTS_PER_ACCOUNT)]
    if source is not None:
        subjects.append((f"both:{_hashed(normal_email(email) + ' ' + source)}", ATTEMPTS_PER_ACCOUNT_AND_SOURCE))
        subjects.append((f"source:{_hashed(source)}", ATTEMPTS_PER_SOURCE))
    else:
        subjects.append((f"both:{account}", ATTEMPTS_PER_ACCOUNT_AND_SOURCE * 4))
    return subjects


def guess_subject(place: str) -> str:
    """Return what secret addresses that open nothing count against: the place, hashed."""
    return f"guess:{_hashed(place)}"


def _hashed(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def normal_email(text: str) -> str:
    """Return the address as it is compared: trimmed, lower case."""
    return text.strip().lower()


def check_password(password: str) -> None:
    """Refuse a password that is too short, too long or one character repeated.

    Raises
    ------
    Rejected
        With the rule, never with the password.
    """
    if not PASSWORD_MIN_LENGTH <= len(password) <= PASSWORD_MAX_LENGTH:
        raise Rejected(Fault("password", "(hidden)", f"has {PASSWORD_MIN_LENGTH} to {PASSWORD_MAX_LENGTH} characters"))
    if len(set(password)) < 4:
        raise Rejected(Fault("password", "(hidden)", "uses at least 4 different characters"))


def new_token() -> str:
    """Return a session token: 256 random bits, URL-safe."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """Return what is stored of a token: its SHA-256, so the table opens no door."""
    return hashlib.sha256(token.encode()).hexdigest()
