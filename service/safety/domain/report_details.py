"""What people say of incidents, withdrawals and tests of leads, checked as it is put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from service.common.errors import Fault
from service.households.domain.ranges import known_word, refuse, text_within
from service.safety.domain.cold_check import NOTE_LENGTH_MAX
from service.safety.domain.evidence import LeadTestKind
from service.safety.domain.signs import REPORTABLE, SIGNS, Reach

REASON_LENGTH_MAX = 500


@dataclass(frozen=True)
class IncidentDetails:
    """A sign that somebody saw or something that happened; ``seen_at`` None: now.

    What the sign acts on may be left unnamed: it then acts on every item of that kind in the home. An item
    that it does not act on must not be named.
    """

    sign: str
    outlet_id: str | None = None
    lead_id: str | None = None
    seen_at: datetime | None = None
    note: str = ""

    def __post_init__(self) -> None:
        refuse(self._faults(), text_within("note", self.note, NOTE_LENGTH_MAX))

    def _faults(self) -> Iterator[Fault]:
        if self.sign not in REPORTABLE:
            yield Fault("sign", self.sign, "must be one of: " + ", ".join(REPORTABLE))
            return
        row = SIGNS[self.sign]
        if row.outlets is Reach.NONE and self.outlet_id is not None:
            yield Fault("outlet_id", self.outlet_id, "this sign is of a lead: name no outlet")
        if not row.acts_on_lead and self.lead_id is not None:
            yield Fault("lead_id", self.lead_id, "this sign is not of a lead: name none")


@dataclass(frozen=True)
class WithdrawalDetails:
    """Why a report was a mistake; ``file_id`` names a photo of what was taken for the sign."""

    reason: str
    file_id: str | None = None

    def __post_init__(self) -> None:
        refuse(text_within("reason", self.reason, REASON_LENGTH_MAX, is_required=True))


@dataclass(frozen=True)
class LeadTestDetails:
    """A test of a lead with its result, or that a new lead took its place."""

    kind: str
    done_at: datetime
    tested_by: str
    is_passed: bool = True
    reference: str = ""

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, LeadTestKind),
            text_within("tested_by", self.tested_by, 120, is_required=True),
            text_within("reference", self.reference, 120),
            self._result_faults(),
        )

    def _result_faults(self) -> Iterator[Fault]:
        if self.kind == LeadTestKind.REPLACEMENT and not self.is_passed:
            yield Fault("is_passed", self.is_passed, "a replacement has no result to fail")


def check_not_later(field: str, instant: datetime | None, *, at: datetime) -> None:
    """Refuse an instant that has not come yet; raises ``Rejected``."""
    if instant is not None and instant > at:
        refuse([Fault(field, instant.isoformat(), "must not be in the future")])
