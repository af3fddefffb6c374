"""An extension lead between socket and charging lead: do not use, unless an inspection names that one lead.

Coiled, chained, with several sockets, or outdoors without being rated for it can never be lifted. What is not
known counts as the worse answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from service.common.working import Step, Working
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, Place, YesNo
from service.households.domain.ranges import refuse, text_within
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind
from service.safety.domain.arithmetic.extension_limits import (
    LABEL_MAX_W,
    ExtensionLoss,
    current_within_label,
    extension_loss,
    longest_extension,
)
from service.safety.domain.arithmetic.pilot import LEAST_A
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, LENGTH_MAX_M, plain, positive, with_unit
from service.safety.domain.arithmetic.rules import EXTENSION_DEFAULT, EXTENSION_MARGIN, EXTENSION_PLUG, LEAD_SETTING

TEXT_LENGTH_MAX = 300  # own bound
NOT_NAMED = "no inspection names this lead"
PLUG_FLEX_MAX_MM2 = Decimal("1.5")  # BS 1363: a standard 13 A plug is made for flex up to this


class ExtensionUse(StrEnum):
    """What may be done with an extension lead; there is no better answer."""

    DO_NOT_USE = "do_not_use"
    USE_WITH_LIMITS = "use_with_limits"


@dataclass(frozen=True)
class ExtensionLead:
    """An extension lead as it is used; ``size_mm2`` and ``length_m`` are None where not known.

    ``reel_unwound_w`` is the unwound figure of a reel's label [W]; None where there is no reel.
    """

    identity: str
    size_mm2: Decimal | None
    length_m: Decimal | None
    is_coiled: YesNo
    is_chained: YesNo
    has_several_sockets: YesNo
    place: Place
    is_outdoor_rated: YesNo
    reel_unwound_w: Decimal | None = None

    def __post_init__(self) -> None:
        if self.size_mm2 is not None:
            TABLES[CableKind.FLEX].row(self.size_mm2)
        if self.length_m is not None:
            positive("length_m", self.length_m, LENGTH_MAX_M, "m")
        if self.reel_unwound_w is not None:
            positive("reel_unwound_w", self.reel_unwound_w, LABEL_MAX_W, "W")


@dataclass(frozen=True)
class NamedInspection:
    """An accepted inspection that names one extension lead, by identity, size and length.

    ``instructions_allow``: the charging lead's instructions allow an extension. ``reason`` is the electrician's.
    """

    identity: str
    size_mm2: Decimal
    length_m: Decimal
    limit_a: Decimal
    instructions_allow: YesNo
    reason: str

    def __post_init__(self) -> None:
        positive("limit_a", self.limit_a, CURRENT_MAX_A, "A")
        refuse(
            text_within("identity", self.identity, TEXT_LENGTH_MAX, is_required=True),
            text_within("reason", self.reason, TEXT_LENGTH_MAX, is_required=True),
        )


@dataclass(frozen=True)
class ExtensionVerdict:
    """What may be done, at most at ``limit_a`` [A].

    ``reasons`` say why not; ``can_be_lifted`` is false for the four uses that no inspection lifts. ``cautions``
    go with the answer; ``loss`` is at the setting that the lead's own limits allow.
    """

    use: ExtensionUse
    limit_a: Decimal | None
    reasons: tuple[str, ...]
    can_be_lifted: bool
    cautions: tuple[str, ...]
    loss: ExtensionLoss | None
    working: Working


def extension_verdict(
    lead: ExtensionLead, inspection: NamedInspection | None, settings_a: Sequence[Decimal]
) -> ExtensionVerdict:
    """Return what may be done with an extension lead.

    Parameters
    ----------
    lead : ExtensionLead
        The lead as it is used.
    inspection : NamedInspection or None
        The one accepted inspection that names it, if there is one.
    settings_a : sequence of Decimal
        The currents that the charging lead or car can be set to [A]; its present one alone if it cannot be set.

    Notes
    -----
    The greatest setting is taken that the inspection, the socket for hours (10 A), the flex with a margin and a
    reel's label at 253 V all allow. Size and length must keep the table and the 15 m advised, the shorter holds.
    """
    never = _never_lifted(lead)
    reasons = [*never, *_inspection_reasons(lead, inspection)]
    steps = [_default_step(lead, inspection, reasons)]
    if lead.size_mm2 is not None and lead.length_m is not None:
        longest = longest_extension(lead.size_mm2)
        steps.extend(longest.working.steps)
        if longest.length_m is None:
            reasons.append("no length is tabulated for its size")
        elif lead.length_m > longest.length_m:
            reasons.append(f"longer than {plain(longest.length_m)} m for its size")
    limit = None
    if lead.size_mm2 is not None:
        limit, limit_steps = _setting(lead, lead.size_mm2, inspection, settings_a)
        steps.extend(limit_steps)
        if limit is None:
            reasons.append("no setting is low enough for this lead")
    return _verdict(lead, limit, tuple(reasons), tuple(steps), can_be_lifted=not never)


def _verdict(
    lead: ExtensionLead,
    limit: Decimal | None,
    reasons: tuple[str, ...],
    steps: tuple[Step, ...],
    *,
    can_be_lifted: bool,
) -> ExtensionVerdict:
    use = ExtensionUse.DO_NOT_USE if reasons or limit is None else ExtensionUse.USE_WITH_LIMITS
    loss = None
    if lead.size_mm2 is not None and lead.length_m is not None and limit is not None:
        loss = extension_loss(lead.size_mm2, lead.length_m, limit)
        steps = (*steps, *loss.working.steps)
    allowed = limit if use is ExtensionUse.USE_WITH_LIMITS else None
    return ExtensionVerdict(use, allowed, reasons, can_be_lifted, _cautions(lead), loss, Working(steps))


def _never_lifted(lead: ExtensionLead) -> list[str]:
    is_unrated_outdoors = lead.place is Place.OUTDOORS and lead.is_outdoor_rated is YesNo.NO
    found = {
        "coiled": lead.is_coiled is YesNo.YES,
        "chained to another": lead.is_chained is YesNo.YES,
        "several sockets": lead.has_several_sockets is YesNo.YES,
        "outdoors and not rated for it": is_unrated_outdoors,
    }
    return [reason for reason, holds in found.items() if holds]


def _inspection_reasons(lead: ExtensionLead, inspection: NamedInspection | None) -> list[str]:
    answers = {
        "is coiled": lead.is_coiled,
        "is chained": lead.is_chained,
        "has several sockets": lead.has_several_sockets,
    }
    reasons = [f"not known whether it {name}" for name, answer in answers.items() if answer is YesNo.NOT_KNOWN]
    if lead.place is Place.NOT_KNOWN and lead.is_outdoor_rated is not YesNo.YES:
        reasons.append("not known whether it is outdoors and rated for it")
    if lead.place is Place.OUTDOORS and lead.is_outdoor_rated is YesNo.NOT_KNOWN:
        reasons.append("not known whether it is rated for outdoors")
    if lead.size_mm2 is None or lead.length_m is None:
        reasons.append("size or length is not known")
    if inspection is None:
        return [*reasons, NOT_NAMED]
    named = (_mark(inspection.identity), inspection.size_mm2, inspection.length_m)
    if named != (_mark(lead.identity), lead.size_mm2, lead.length_m):
        reasons.append("the inspection names another lead, size or length")
    if inspection.instructions_allow is not YesNo.YES:
        reasons.append("the charging lead's instructions are not known to allow an extension")
    return reasons


def _mark(identity: str) -> str:
    """Return a mark as it is compared: two people write the same one with other capitals and spaces."""
    return " ".join(identity.split()).casefold()


def _setting(
    lead: ExtensionLead, size: Decimal, inspection: NamedInspection | None, settings_a: Sequence[Decimal]
) -> tuple[Decimal | None, list[Step]]:
    rated = TABLES[CableKind.FLEX].capacity_a(size, next(iter(TABLES[CableKind.FLEX].row(size).capacities_a)))
    most = (
        Decimal(SOCKET_SUSTAINED_LIMIT_A)
        if inspection is None
        else min(Decimal(SOCKET_SUSTAINED_LIMIT_A), inspection.limit_a)
    )
    steps: list[Step] = []
    if lead.reel_unwound_w is not None:
        label = current_within_label(lead.reel_unwound_w)
        steps.extend(label.working.steps)
        most = min(most, label.current_a)
    allowed = [setting for setting in settings_a if LEAST_A <= setting <= most and setting < rated]
    setting = max(allowed, default=None)
    margin = EXTENSION_MARGIN.step(
        "Margin of the flex",
        {"flex": f"{plain(size)} mm2, {plain(rated)} A", "at most": f"{plain(most)} A"},
        "for hours the current stays below the flex's rating",
        with_unit(setting, "A") if setting is not None else "no setting is low enough",
    )
    shown = ", ".join(plain(value) for value in sorted(settings_a)) or "none"
    chosen = LEAD_SETTING.step(
        "Setting with this extension lead",
        {"settings": f"{shown} A"},
        "the greatest setting that every limit allows, 6 A at least",
        "none" if setting is None else f"{plain(setting)} A",
    )
    return setting, [*steps, margin, chosen]


def _cautions(lead: ExtensionLead) -> tuple[str, ...]:
    cautions = ["the plug's temperature sensor watches the trailing socket; the wall socket is unwatched"]
    if lead.size_mm2 is not None and lead.size_mm2 > PLUG_FLEX_MAX_MM2:
        cautions.append(f"a flex this thick often does not clamp in a 13 A plug ({EXTENSION_PLUG.cited})")
    if lead.reel_unwound_w is not None:
        cautions.append("the whole reel must be unwound; its cut-out is not to be relied on")
    return tuple(cautions)


def _default_step(lead: ExtensionLead, inspection: NamedInspection | None, reasons: Sequence[str]) -> Step:
    return EXTENSION_DEFAULT.step(
        "Extension lead",
        {
            "lead": lead.identity or "not known",
            "size": with_unit(lead.size_mm2, "mm2"),
            "length": with_unit(lead.length_m, "m"),
            "coiled": lead.is_coiled.value,
            "chained": lead.is_chained.value,
            "several sockets": lead.has_several_sockets.value,
            "place": lead.place.value,
            "outdoor-rated": lead.is_outdoor_rated.value,
            "inspection": "none" if inspection is None else f"names {inspection.identity}: {inspection.reason}",
        },
        "do not use, unless an inspection names this one lead and the charging lead's instructions allow it",
        f"do not use: {'; '.join(reasons)}" if reasons else "may be used with limits",
    )
