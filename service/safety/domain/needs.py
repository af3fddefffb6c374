"""What an outlet or lead still needs, as words that lists and screens can sort by."""

from __future__ import annotations

from enum import StrEnum


class Need(StrEnum):
    """One thing that is missing before a car may charge."""

    STOP_LIFTED = "stop_lifted"
    OVERRIDE_ENDED = "override_ended"
    EXTENSION_ENDED = "extension_ended"
    INSPECTION = "inspection"
    DOCUMENT = "document"
    ACCEPTANCE = "acceptance"
    READINGS = "readings"
    ANSWERS = "answers"
    REASON = "reason"
    SUPERVISED_CHARGE = "supervised_charge"
    CHECK = "check"
