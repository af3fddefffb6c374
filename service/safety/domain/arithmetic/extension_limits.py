"""Figures of an extension lead: its drop and heat, the longest of each size, what a reel's label allows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from service.common.working import Working
from service.safety.domain.arithmetic.cable_tables import TABLES, CableKind
from service.safety.domain.arithmetic.quantities import (
    LENGTH_MAX_M,
    THOUSAND,
    Number,
    checked,
    plain,
    positive,
    with_unit,
)
from service.safety.domain.arithmetic.rules import (
    EXTENSION_LENGTH,
    EXTENSION_REEL,
    EXTENSION_TABLE,
    TABLE_4F3,
)
from service.safety.domain.arithmetic.supply_voltage import DECLARED_V, HIGHEST_V

PLUG_RATING_A: Final = 13  # BS 1363
ADVISED_LENGTH_M: Final = Decimal(15)
LABEL_MAX_W: Final = 4000  # own bound: more than any 13 A plug
# by size [mm2], as quoted from Table 15.4 of an in-service code; longer ones want a 30 mA RCD
LONGEST_M: Final[Mapping[Decimal, Decimal]] = MappingProxyType(
    {Decimal("1.25"): Decimal(12), Decimal("1.5"): Decimal(15), Decimal("2.5"): Decimal(25)}
)


@dataclass(frozen=True, slots=True)
class ExtensionLoss:
    """What a lead takes at a current: drop, its share of 230 V, heat in all and for each metre of length.

    ``is_above_rating``: the flex is not rated for the current, and the true figures are worse.
    """

    volts: Decimal
    percent: Decimal
    heat_w: Decimal
    heat_w_per_m: Decimal
    is_above_rating: bool
    working: Working


@dataclass(frozen=True, slots=True)
class LongestExtension:
    """The longest lead of a size by the table and by the advice, the shorter [m]; None: the table has none."""

    length_m: Decimal | None
    table_m: Decimal | None
    working: Working


@dataclass(frozen=True, slots=True)
class LabelCurrent:
    """The current at which a label's power is not exceeded at any declared voltage [A]."""

    current_a: Decimal
    power_at_highest_v_w: Decimal
    working: Working


def extension_loss(size_mm2: Number, length_m: Number, current_a: Number) -> ExtensionLoss:
    """Return drop and heat of an extension lead [V, %, W], by the flex table at 60 C.

    Raises ``Rejected`` for a size outside the flex table, a current above 13 A, a length out of range.
    """
    row = TABLES[CableKind.FLEX].row(size_mm2)
    current = checked("current_a", current_a, 0, PLUG_RATING_A, "A")
    length = checked("length_m", length_m, 0, LENGTH_MAX_M, "m")
    ohm_per_m = row.mv_per_a_m / THOUSAND
    volts, per_m = ohm_per_m * current * length, ohm_per_m * current * current
    is_above = current > max(row.capacities_a.values())
    percent = volts / DECLARED_V * 100
    step = TABLE_4F3.step(
        "Drop and heat of the extension lead",
        {"size": f"{plain(size_mm2)} mm2", "length": f"{plain(length)} m", "current": f"{plain(current)} A"},
        f"{plain(row.mv_per_a_m)} mV/A/m x I x L; heat = drop x I",
        f"{plain(volts)} V = {plain(percent, 2)} %, {plain(per_m * length)} W"
        + ("; above the flex's rating, so more than that" if is_above else ""),
    )
    return ExtensionLoss(volts, percent, per_m * length, per_m, is_above, Working((step,)))


def longest_extension(size_mm2: Number) -> LongestExtension:
    """Return the longest lead of a size that table and advice allow; sizes outside the table have none [m]."""
    table_m = LONGEST_M.get(Decimal(size_mm2))
    length = None if table_m is None else min(table_m, ADVISED_LENGTH_M)
    size = {"size": f"{plain(size_mm2)} mm2"}
    steps = (
        EXTENSION_TABLE.step("Longest by size", size, "1.25 mm2 12 m, 1.5 15 m, 2.5 25 m", with_unit(table_m, "m")),
        EXTENSION_LENGTH.step("Longest advised", size, "at most 15 m; the shorter holds", with_unit(length, "m")),
    )
    return LongestExtension(length, table_m, Working(steps))


def current_within_label(label_w: Number) -> LabelCurrent:
    """Return the current that a label's power [W] allows at the highest declared voltage, 253 V [A].

    Raises ``Rejected`` unless the label lies above 0 and at most 4000 W.
    """
    label = positive("label_w", label_w, LABEL_MAX_W, "W")
    current = label / HIGHEST_V
    step = EXTENSION_REEL.step(
        "Label of the reel",
        {"unwound": f"{plain(label)} W", "highest voltage": f"{plain(HIGHEST_V)} V"},
        "current = label / 253 V",
        f"{plain(current)} A",
    )
    return LabelCurrent(current, label / DECLARED_V * HIGHEST_V, Working((step,)))
