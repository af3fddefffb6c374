"""Rules of signing in: what a password must be, how attempts are throttled, how long a session lives."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from service.common.errors import Fault, Rejected

PASSWORD_MIN_LENGTH = 15
"""NIST SP 800-63B-4: a password used alone has at least 15 characters; no composition rules."""

PASSWORD_MAX_LENGTH = 256
ATTEMPT_WINDOW = timedelta(minutes=15)
ATTEMPTS_PER_ACCOUNT = 8
ATTEMPTS_PER_SOURCE = 40
"""Own choice: far below the 100 consecutive failures of NIST SP 800-63B; a window, never a lock-out."""


@dataclass(frozen=True)
class SessionLife:
    """How long a signed-in browser stays so: idle limit by role, and an absolute one."""

    idle_administrator: timedelta
    idle_member: timedelta
    absolute: timedelta

    def ends_at(self, *, created_at: datetime, seen_at: datetime, is_administrator: bool) -> datetime:
        """Return the instant the session ends if it is not used again."""
        idle = self.idle_administrator if is_administrator else self.idle_member
        return min(seen_at + idle, created_at + self.absolute)


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
