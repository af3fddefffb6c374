"""The states of a visit and how it may move between them; the kinds of link."""

from __future__ import annotations

from enum import StrEnum


class VisitState(StrEnum):
    """Where a visit stands."""

    ASKED = "asked"
    DATE_AGREED = "date_agreed"
    NO_ACCESS = "no_access"
    DONE = "done"
    RECORDED = "recorded"
    ACCEPTED = "accepted"
    CANCELLED = "cancelled"


class LinkKind(StrEnum):
    """What a link is for."""

    VISIT = "visit"
    CORRECTION = "correction"
