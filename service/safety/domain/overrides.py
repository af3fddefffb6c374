"""What a safety officer may decide against the evidence: an answer made stricter, or one due date moved once.

Never milder: it lifts no sign, no code and no "not known". A due date moves by at most 14 days, before it has
passed, and with a visit booked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

from service.common.errors import Fault
from service.common.working import Step
from service.households.domain.ranges import in_range, known_word, refuse, text_within
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.verdicts import Part

EXTENSION_MAX: Final = timedelta(days=14)
REASON_MAX: Final = 500
LIMIT_MAX_A: Final = 80  # own bound
OVERRIDE_SOURCE: Final = "a safety officer's decision; it may only be stricter than the evidence: rule of this service"
EXTENSION_SOURCE: Final = (
    "a safety officer's decision: one due date, once, by at most 14 days, with a visit booked: rule of this service"
)


class OverrideKind(StrEnum):
    """What an override does."""

    STRICTER = "stricter"
    EXTENSION = "extension"


class OverrideItem(StrEnum):
    """What an override is of."""

    OUTLET = "outlet"
    LEAD = "lead"


@dataclass(frozen=True, slots=True)
class OverrideDetails:
    """A safety officer's decision as he enters it.

    Stricter: ``clearance``, and ``limit_a`` [A] with "use with limits". Extension: of an outlet's inspection, from
    ``due_on`` to ``new_due_on``, with the visit that is booked. Raises ``Rejected``.
    """

    kind: str
    item_kind: str
    item_id: str
    reason: str
    clearance: str | None = None
    limit_a: int | None = None
    due_on: date | None = None
    new_due_on: date | None = None
    visit_id: str | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, OverrideKind),
            known_word("item_kind", self.item_kind, OverrideItem),
            text_within("reason", self.reason, REASON_MAX, is_required=True),
        )
        refuse(self._stricter_faults() if self.kind == OverrideKind.STRICTER else self._extension_faults())

    def _stricter_faults(self) -> Iterator[Fault]:
        allowed = [each.value for each in Clearance if each is not Clearance.FIT_TO_USE]
        if self.clearance not in allowed:
            yield Fault("clearance", self.clearance, "must be one of: " + ", ".join(allowed))
        is_limited = self.clearance == Clearance.USE_WITH_LIMITS
        if is_limited and self.limit_a is None:
            yield Fault("limit_a", None, "must be given with use_with_limits")
        elif not is_limited and self.limit_a is not None:
            yield Fault("limit_a", self.limit_a, "goes with use_with_limits only")
        if self.limit_a is not None:
            yield from in_range("limit_a", self.limit_a, 1, LIMIT_MAX_A, "A")
        yield from self._empty("due_on", "new_due_on", "visit_id")

    def _extension_faults(self) -> Iterator[Fault]:
        yield from self._empty("clearance", "limit_a")
        if self.item_kind != OverrideItem.OUTLET:
            yield Fault("item_kind", self.item_kind, "only an outlet's inspection can be put off")
        for name in ("due_on", "new_due_on", "visit_id"):
            if getattr(self, name) is None:
                yield Fault(name, None, "is required to put a due date off")
        if self.due_on is not None and self.new_due_on is not None:
            if self.new_due_on <= self.due_on:
                yield Fault("new_due_on", str(self.new_due_on), f"must be after {self.due_on}")
            elif self.new_due_on > self.due_on + EXTENSION_MAX:
                rule = f"must be at most {EXTENSION_MAX.days} days after {self.due_on}"
                yield Fault("new_due_on", str(self.new_due_on), rule)

    def _empty(self, *names: str) -> Iterator[Fault]:
        for name in names:
            value = getattr(self, name)
            if value is not None:
                yield Fault(name, str(value), f"does not go with an override of the kind {self.kind}")


@dataclass(frozen=True, slots=True)
class OverrideRecord:
    """An override as evidence: it holds from ``made_at`` until ``ended_at``, both aware."""

    id: str
    kind: OverrideKind
    item_kind: str
    item_id: str
    clearance: Clearance | None
    limit_a: int | None
    due_on: date | None
    new_due_on: date | None
    reason: str
    made_at: datetime
    ended_at: datetime | None = None

    def holds_at(self, at: datetime) -> bool:
        """Tell whether it had been made, and not ended, at an instant."""
        return self.made_at <= at and (self.ended_at is None or at < self.ended_at)


def stricter_parts(
    overrides: Iterable[OverrideRecord], item_kind: str, item_id: str, *, at: datetime, zone: ZoneInfo
) -> tuple[Part, ...]:
    """Return what overrides that hold at an instant make of an item."""
    return tuple(
        _stricter(each, each.clearance, zone)
        for each in overrides
        if each.kind is OverrideKind.STRICTER
        and (each.item_kind, each.item_id) == (item_kind, item_id)
        and each.clearance is not None
        and each.holds_at(at)
    )


def _stricter(override: OverrideRecord, clearance: Clearance, zone: ZoneInfo) -> Part:
    words = clearance.value.replace("_", " ")
    made_on = override.made_at.astimezone(zone).date()
    inputs = {"made on": str(made_on), "reason": override.reason, "override": override.id}
    if override.limit_a is not None:
        inputs["limit"] = f"{override.limit_a} A"
    step = Step("A safety officer's decision", inputs, "the stricter of evidence and decision", OVERRIDE_SOURCE, words)
    evidence = f"a safety officer decided on {made_on}: {words}, because {override.reason}"
    if clearance.allows_charging:
        return Part(clearance, (step,), evidence, limit_a=override.limit_a)
    return Part(
        clearance,
        (step,),
        evidence,
        ("that the safety officer ends this decision",),
        (Need.OVERRIDE_ENDED,),
        "Do not charge with it: a safety officer of the scheme decided so. Ask the scheme what is to be done.",
    )


def extended_due_on(
    due_on: date, overrides: Iterable[OverrideRecord], outlet_id: str, *, at: datetime, zone: ZoneInfo
) -> tuple[date, OverrideRecord | None]:
    """Return an inspection's due date as an extension moved it, and the extension; one made too late moves nothing."""
    for each in overrides:
        is_of_it = each.kind is OverrideKind.EXTENSION and (each.item_kind, each.item_id) == ("outlet", outlet_id)
        if is_of_it and each.due_on == due_on and each.new_due_on is not None and each.holds_at(at):
            made_on = each.made_at.astimezone(zone).date()
            if made_on < due_on < each.new_due_on <= due_on + EXTENSION_MAX:
                return each.new_due_on, each
    return due_on, None
