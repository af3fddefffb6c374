"""Resistance of plain copper conductors by size and temperature, and of line and protective conductor together.

Values are those of IEC 60228 at 20 C. A size outside the table is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.safety.domain.arithmetic.quantities import Number, checked, plain, row_of
from service.safety.domain.arithmetic.rules import CONDUCTOR, HOT_COPPER, R1_R2

COPPER_C: Final = Decimal("234.5")  # copper's resistance would vanish this far below 0 C, IEC 60228
TABLE_C: Final = Decimal(20)
HOT_MAX_C: Final = 90  # the hottest conductor that any table here is for
HANDBOOK_HOT_FACTOR: Final = Decimal("1.20")  # 20 C to 70 C, as handbooks round it


class ConductorClass(StrEnum):
    """Classes of conductor; 1 and 2, solid and stranded, share their values."""

    SOLID_OR_STRANDED = "class_1_or_2"
    FLEXIBLE = "class_5"


_SIZES: Final = tuple(map(Decimal, ("0.75", "1.0", "1.5", "2.5", "4", "6", "10", "16", "25")))
_OHM_PER_KM: Final[Mapping[ConductorClass, Mapping[Decimal, Decimal]]] = MappingProxyType(
    {
        ConductorClass.SOLID_OR_STRANDED: dict(
            zip(
                _SIZES,
                map(Decimal, ("24.5", "18.1", "12.1", "7.41", "4.61", "3.08", "1.83", "1.15", "0.727")),
                strict=True,
            )
        ),
        ConductorClass.FLEXIBLE: dict(
            zip(
                _SIZES,
                map(Decimal, ("26.0", "19.5", "13.3", "7.98", "4.95", "3.30", "1.91", "1.21", "0.780")),
                strict=True,
            )
        ),
    }
)

# line and protective conductor of flat twin and earth as made [mm2]
_PAIRS: Final = frozenset(
    (Decimal(line), Decimal(cpc))
    for line, cpc in (
        ("1", "1"),
        ("1.5", "1"),
        ("2.5", "1.5"),
        ("4", "1.5"),
        ("6", "2.5"),
        ("10", "4"),
        ("16", "6"),
    )
)


@dataclass(frozen=True, slots=True)
class Resistance:
    """Resistance of a conductor, or of two in series [ohm/km, which is mohm/m]."""

    ohm_per_km: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class TemperatureFactor:
    """Resistance at a temperature over resistance at 20 C."""

    value: Decimal
    working: Working


def conductor_resistance(
    size_mm2: Number, conductor_class: ConductorClass, conductor_c: Number = TABLE_C
) -> Resistance:
    """Return a conductor's resistance at a temperature [ohm/km].

    Raises ``Rejected`` for a size that the table does not hold and outside 0 to 90 C.
    """
    at_20 = row_of("size_mm2", size_mm2, _OHM_PER_KM[conductor_class], f"the sizes of {CONDUCTOR.name}")
    factor = temperature_factor(conductor_c)
    step = CONDUCTOR.step(
        "Resistance of a conductor",
        {"size": f"{plain(size_mm2)} mm2", "class": conductor_class.value, "factor": plain(factor.value, 4)},
        "resistance at 20 C x temperature factor",
        f"{plain(at_20 * factor.value, 4)} ohm/km",
    )
    return Resistance(at_20 * factor.value, factor.working.plus(step))


def temperature_factor(conductor_c: Number) -> TemperatureFactor:
    """Return copper's resistance at a temperature over that at 20 C; raises ``Rejected`` outside 0 to 90 C.

    >>> round(temperature_factor(70).value, 4)
    Decimal('1.1965')
    """
    hot = checked("conductor_c", conductor_c, 0, HOT_MAX_C, "C")
    value = (COPPER_C + hot) / (COPPER_C + TABLE_C)
    inputs = {"conductor": f"{plain(hot)} C"}
    step = HOT_COPPER.step("Temperature factor", inputs, "(234.5 + t) / 254.5", plain(value, 4))
    return TemperatureFactor(value, Working((step,)))


def loop_resistance(line_mm2: Number, cpc_mm2: Number) -> Resistance:
    """Return R1+R2 of flat twin and earth at 20 C [ohm/km]; raises ``Rejected`` for a pair that is not made so.

    >>> loop_resistance(6, Decimal("2.5")).ohm_per_km
    Decimal('10.49')
    """
    line, cpc = Decimal(line_mm2), Decimal(cpc_mm2)
    if (line, cpc) not in _PAIRS:
        made = ", ".join(f"{plain(one)}/{plain(other)}" for one, other in sorted(_PAIRS))
        raise Rejected(Fault("cpc_mm2", f"{line}/{cpc}", f"must be a twin and earth as made: {made}"))
    values = _OHM_PER_KM[ConductorClass.SOLID_OR_STRANDED]
    total = values[line] + values[cpc]
    step = R1_R2.step(
        "Line and protective conductor in series",
        {"line": f"{plain(line)} mm2", "cpc": f"{plain(cpc)} mm2"},
        "R1 + R2 at 20 C",
        f"{plain(total)} mohm/m",
    )
    return Resistance(total, Working((step,)))
