"""The errors that the service raises on purpose.

A class is a kind of refusal with a fixed ``title``; ``detail`` says what to do about this one.
Status codes are not known here: infrastructure/http maps class to status in one table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


class ServiceError(Exception):
    """The request cannot be served."""

    title: ClassVar[str] = "The request cannot be served"

    def __init__(self, detail: str = "") -> None:
        super().__init__(detail or self.title)
        self.detail = detail or self.title


class NotFound(ServiceError):
    """Nothing by that name exists here; also what a foreign scheme's id answers."""

    title = "Not found"


class Forbidden(ServiceError):
    """The signed-in person's role does not allow this."""

    title = "Not allowed for this role"


class Gone(ServiceError):
    """It was here and has ended: an expired, revoked or spent link."""

    title = "No longer open"


class Conflict(ServiceError):
    """The state of what is stored does not allow this now."""

    title = "Conflict with what is stored"


class Unauthenticated(ServiceError):
    """Nobody is signed in, or the sign-in has ended."""

    title = "Sign in first"


class TooMany(ServiceError):
    """Asked too often; ``retry_after_s`` is the least number of seconds to wait."""

    title = "Too many attempts"

    def __init__(self, retry_after_s: int, detail: str = "") -> None:
        super().__init__(detail or f"Try again in {retry_after_s} seconds.")
        self.retry_after_s = retry_after_s


@dataclass(frozen=True)
class Fault:
    """One value that breaks one rule.

    ``field`` is a dotted path from the root of the input, list positions as numbers
    ("sheets.0.bands.1.windows.0.starts_at"); "" means the input as a whole.
    """

    field: str
    value: object
    rule: str

    def under(self, prefix: str) -> Fault:
        """Return the same fault as seen from a parent that holds the input at ``prefix``."""
        path = ".".join(part for part in (prefix, self.field) if part)
        return Fault(path, self.value, self.rule)


class Rejected(ServiceError):
    """Input broke one or more rules of the domain; every fault found is named."""

    title = "The input was rejected"

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(_line(fault) for fault in faults))
        self.faults: tuple[Fault, ...] = faults


def _line(fault: Fault) -> str:
    return f"{fault.field}: {fault.rule}" if fault.field else fault.rule
