"""Tabulated current-carrying capacities and voltage drops, as read: every row is a row of the book.

A run of flat twin and earth is read in Table 4D5 and nothing else is; armoured cable and flexible cord have
tables of their own. Capacities are for 30 C ambient, one circuit, no insulation beyond the method's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from service.common.errors import Fault, Rejected
from service.safety.domain.arithmetic.editions import Rule
from service.safety.domain.arithmetic.quantities import Number, row_of
from service.safety.domain.arithmetic.rules import TABLE_4D5, TABLE_4E4, TABLE_4F3


class CableKind(StrEnum):
    """The kinds of cable whose tables were read."""

    TWIN_AND_EARTH = "twin_and_earth"
    ARMOURED_90C = "armoured_90c"
    FLEX = "flex"


class Method(StrEnum):
    """How a cable is installed, by the book's letter or number."""

    CLIPPED = "C"
    CONDUIT_IN_INSULATED_WALL = "A"
    CEILING_TO_100_MM = "100"
    CEILING_ABOVE_100_MM = "101"
    STUD_WALL_TOUCHING = "102"
    STUD_WALL_NOT_TOUCHING = "103"
    BURIED = "D"
    FREE_AIR = "E"
    FLEXIBLE_CORD = "flexible_cord"


# reference methods 100 to 103 already reckon with insulation
METHODS_IN_INSULATION: Final = frozenset(
    {
        Method.CEILING_TO_100_MM,
        Method.CEILING_ABOVE_100_MM,
        Method.STUD_WALL_TOUCHING,
        Method.STUD_WALL_NOT_TOUCHING,
    }
)


@dataclass(frozen=True, slots=True)
class TableRow:
    """One size: capacity by method [A] and voltage drop, go and return, single phase [mV/A/m]."""

    capacities_a: Mapping[Method, Decimal]
    mv_per_a_m: Decimal


@dataclass(frozen=True, slots=True)
class CableTable:
    """One table: its rule, its rows by size [mm2], and the conductor temperature its figures are for [C]."""

    rule: Rule
    rows: Mapping[Decimal, TableRow]
    conductor_c: Decimal

    def row(self, size_mm2: Number) -> TableRow:
        """Return the row of a size; raises ``Rejected`` for a size that the table does not hold."""
        return row_of("size_mm2", size_mm2, self.rows, f"the sizes of {self.rule.name}")

    def capacity_a(self, size_mm2: Number, method: Method) -> Decimal:
        """Return the tabulated capacity It [A]; raises ``Rejected`` for a size or method not in the table."""
        row = self.row(size_mm2)
        if method not in row.capacities_a:
            named = ", ".join(known.value for known in row.capacities_a)
            raise Rejected(Fault("method", method.value, f"must be one of the methods of {self.rule.name}: {named}"))
        return row.capacities_a[method]


def _rows(methods: tuple[Method, ...], *lines: str) -> Mapping[Decimal, TableRow]:
    """Read lines of: size, a capacity for each method, drop."""
    rows = {}
    for line in lines:
        size, *capacities, drop = (Decimal(text) for text in line.split())
        rows[size] = TableRow(MappingProxyType(dict(zip(methods, capacities, strict=True))), drop)
    return MappingProxyType(rows)


_TWIN_AND_EARTH_METHODS: Final = (
    Method.CLIPPED,
    Method.CONDUIT_IN_INSULATED_WALL,
    Method.CEILING_TO_100_MM,
    Method.CEILING_ABOVE_100_MM,
    Method.STUD_WALL_TOUCHING,
    Method.STUD_WALL_NOT_TOUCHING,
)

TABLES: Final[Mapping[CableKind, CableTable]] = MappingProxyType(
    {
        CableKind.TWIN_AND_EARTH: CableTable(
            TABLE_4D5,
            _rows(
                _TWIN_AND_EARTH_METHODS,
                "1.0  16  11.5  13  10.5  13   8   44",
                "1.5  20  14.5  16    13  16  10   29",
                "2.5  27    20  21    17  21  13.5 18",
                "4    37    26  27    22  27  17.5 11",
                "6    47    32  34    27  35  23.5 7.3",
                "10   64    44  45    36  47  32   4.4",
                "16   85    57  57    46  63  42.5 2.8",
            ),
            Decimal(70),
        ),
        # 90 C rating only if the terminations allow it, which is for the electrician to say
        CableKind.ARMOURED_90C: CableTable(
            TABLE_4E4,
            _rows(
                (Method.CLIPPED, Method.BURIED, Method.FREE_AIR),
                "1.5  27  25  29  31",
                "2.5  36  33  39  19",
                "4    49  46  52  12",
                "6    62  53  66  7.9",
                "10   85  71  90  4.7",
                "16  110  91 115  2.9",
            ),
            Decimal(90),
        ),
        CableKind.FLEX: CableTable(
            TABLE_4F3,
            _rows(
                (Method.FLEXIBLE_CORD,),
                "0.5   3 93",
                "0.75  6 62",
                "1.0  10 46",
                "1.25 13 37",
                "1.5  16 32",
                "2.5  25 19",
                "4    32 12",
            ),
            Decimal(60),
        ),
    }
)
