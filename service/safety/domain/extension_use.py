"""Extension leads in use: what is recorded of one, and what that makes of the outlet it is plugged into.

While such a use is recorded the outlet is not to be used that way, unless the inspection that counts for it names
that very lead and the charging lead's instructions allow one; then at best with limits. Another use is another
record, so that each instant has its answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from decimal import Decimal
from typing import Final

from service.common.errors import Fault
from service.common.working import Step
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, OutletKind, Place, YesNo
from service.households.domain.homes import OutletInputs
from service.households.domain.ranges import LABEL_LENGTH_MAX, known_word, of_decimals, refuse, text_within
from service.safety.domain.arithmetic.extension_lead import (
    NOT_NAMED,
    TEXT_LENGTH_MAX,
    ExtensionLead,
    NamedInspection,
    extension_verdict,
)
from service.safety.domain.arithmetic.pilot import LEAST_A
from service.safety.domain.counting import recorded_as
from service.safety.domain.evidence import InspectionRecord
from service.safety.domain.inspection_answers import IDENTITY_MAX
from service.safety.domain.levels import Clearance
from service.safety.domain.needs import Need
from service.safety.domain.verdicts import Part

SIZE_DECIMALS, LENGTH_DECIMALS = 2, 1
EXTENSION_STEP: Final = (
    "Do not charge through the extension lead. Plug the charging lead straight into the outlet, and record that the "
    "extension lead is not used any more."
)
DO_NOW: Final = (
    "End the charge at the car.",
    "Touch nothing that is hot, scorched, wet or crackling: report it in the app instead.",
    "Take the extension lead out of use: no charging through it.",
    "Once it is not used any more, record that in the app; the outlet itself is checked as usual.",
)
POINT_SOURCE: Final = "own choice: nothing lengthens the cable of a charging point"
NAMED_SOURCE: Final = (
    "rule of this service: an electrician allows one extension lead by its mark, size and length, with his limit and "
    "his reason"
)
NO_POINT: Final = "the cable of a charging point is never lengthened"
# What a car or lead can be set to in whole amperes; whether it is, the pair of lead and outlet says.
_WHOLE_AMPERES: Final = tuple(Decimal(each) for each in range(int(LEAST_A), SOCKET_SUSTAINED_LIMIT_A + 1))


@dataclass(frozen=True)
class ExtensionDetails:
    """An extension lead that is used at an outlet, as somebody who lives there states it.

    ``mark`` is what tells it from others, "" where it bears none; ``size_mm2`` and ``length_m`` are None where nobody
    knows. Raises ``Rejected`` for what cannot be.
    """

    outlet_id: str
    label: str = "Extension lead"
    mark: str = ""
    size_mm2: Decimal | None = None
    length_m: Decimal | None = None
    is_coiled: str = YesNo.NOT_KNOWN
    is_chained: str = YesNo.NOT_KNOWN
    has_several_sockets: str = YesNo.NOT_KNOWN
    place: str = Place.NOT_KNOWN
    is_outdoor_rated: str = YesNo.NOT_KNOWN
    reel_unwound_w: int | None = None

    def __post_init__(self) -> None:
        words = ("is_coiled", "is_chained", "has_several_sockets", "is_outdoor_rated")
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            text_within("mark", self.mark, IDENTITY_MAX),
            known_word("place", self.place, Place),
            *(known_word(name, getattr(self, name), YesNo) for name in words),
            _decimals("size_mm2", self.size_mm2, SIZE_DECIMALS),
            _decimals("length_m", self.length_m, LENGTH_DECIMALS),
        )
        self.lead()

    def lead(self) -> ExtensionLead:
        """Return the lead as the arithmetic reads it."""
        reel = None if self.reel_unwound_w is None else Decimal(self.reel_unwound_w)
        return ExtensionLead(
            self.mark, self.size_mm2, self.length_m, YesNo(self.is_coiled), YesNo(self.is_chained),
            YesNo(self.has_several_sockets), Place(self.place), YesNo(self.is_outdoor_rated), reel,
        )  # fmt: skip


EXTENSION_FIELDS: Final = tuple(field.name for field in fields(ExtensionDetails))


@dataclass(frozen=True)
class ExtensionRecord:
    """A recorded use; it stands from when it was recorded until somebody recorded its end (aware instants)."""

    id: str
    details: ExtensionDetails
    recorded_at: datetime
    ended_at: datetime | None = None

    def stands_at(self, at: datetime) -> bool:
        """Tell whether the lead was in use at an instant, by what was known then."""
        return self.recorded_at <= at and (self.ended_at is None or at < self.ended_at)


@dataclass(frozen=True)
class ExtensionAnswer:
    """What may be done with one extension lead at its outlet, and the part of the outlet's clearance that it is.

    ``limit_a`` [A] is None where nothing may be charged through it, and ``reasons`` say why not; ``can_be_lifted`` is
    false where no inspection lifts it.
    """

    limit_a: int | None
    reasons: tuple[str, ...]
    can_be_lifted: bool
    part: Part


def extension_parts(
    outlet: OutletInputs, uses: Iterable[ExtensionRecord], inspection: InspectionRecord | None, *, at: datetime
) -> Iterator[Part]:
    """Yield what each extension lead in use makes of an outlet; ``inspection`` counts for it and is in date."""
    for use in uses:
        if use.details.outlet_id == outlet.id and use.stands_at(at):
            yield extension_answer(outlet, use.details, inspection).part


def extension_answer(
    outlet: OutletInputs, details: ExtensionDetails, inspection: InspectionRecord | None
) -> ExtensionAnswer:
    """Return what may be done with an extension lead at an outlet.

    Parameters
    ----------
    outlet : OutletInputs
        Where it is plugged in.
    details : ExtensionDetails
        The lead as it is used.
    inspection : InspectionRecord or None
        The one that counts for the outlet and is in date, if there is one; a sampled, partial or unaccepted one is
        none.
    """
    named, lacks = _named(inspection)
    verdict = extension_verdict(details.lead(), named, _WHOLE_AMPERES)
    can_be_lifted = verdict.can_be_lifted and outlet.kind == OutletKind.SOCKET_13A
    reasons, steps = list(verdict.reasons), list(verdict.working.steps)
    if lacks:
        reasons = [lacks, *(reason for reason in reasons if reason != NOT_NAMED)]
        rule = "he names the lead, sets a limit in amperes and gives his reason"
        steps.append(Step("Extension lead that the inspection names", {}, rule, NAMED_SOURCE, lacks))
    if outlet.kind != OutletKind.SOCKET_13A:
        reasons = [NO_POINT, *reasons]
        inputs = {"outlet": outlet.kind.replace("_", " ")}
        steps.append(Step("Outlet of an extension lead", inputs, "a 13 A socket alone", POINT_SOURCE, "do not use"))
    if inspection is None or reasons or verdict.limit_a is None:
        return ExtensionAnswer(None, tuple(reasons), can_be_lifted, _stop(details, reasons, steps, can_be_lifted))
    limit_a = int(verdict.limit_a)
    evidence = (
        f"through the extension lead “{details.label}” at most {limit_a} A; it is named by the inspection "
        f"{recorded_as(inspection)}; {'; '.join(verdict.cautions)}"
    )
    part = Part(Clearance.USE_WITH_LIMITS, tuple(steps), evidence, limit_a=limit_a)
    return ExtensionAnswer(limit_a, (), can_be_lifted, part)


def _named(inspection: InspectionRecord | None) -> tuple[NamedInspection | None, str]:
    """Return the extension lead that an inspection names, or what it lacks for naming one, "" where it names none."""
    found = None if inspection is None else inspection.answers.extension
    if inspection is None or found is None:
        return None, ""
    if inspection.limit_a is None:
        return None, "the inspection names an extension lead and sets no limit in amperes"
    if not inspection.limit_reason.strip():
        return None, "the inspection names an extension lead and gives no reason"
    named = NamedInspection(
        found.identity, found.size_mm2, found.length_m, Decimal(inspection.limit_a), found.instructions_allow,
        inspection.limit_reason.strip()[:TEXT_LENGTH_MAX],
    )  # fmt: skip
    return named, ""


def _stop(details: ExtensionDetails, reasons: Sequence[str], steps: Sequence[Step], can_be_lifted: bool) -> Part:
    missing = f"that the extension lead “{details.label}” is not used any more"
    if can_be_lifted:
        missing += ", or an accepted inspection that names this very one: mark, size, length, limit and reason"
    return Part(
        Clearance.DO_NOT_USE,
        tuple(steps),
        f"used through the extension lead “{details.label}”, which may not be used: {', '.join(reasons)}",
        (missing,),
        (Need.EXTENSION_ENDED,),
        EXTENSION_STEP,
    )


def _decimals(field: str, value: Decimal | None, decimals: int) -> Iterator[Fault]:
    if value is not None:
        yield from of_decimals(field, value, decimals)
