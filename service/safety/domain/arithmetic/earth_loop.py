"""Earth fault loop: greatest Zs for a device, a cold reading against 80 % of it, Zs of a run, and RA on TT.

Books before 2015 reckon without the factor 0.95; the edition stays with the limit, so that old work is read
against its own book.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Working
from service.safety.domain.arithmetic.answers import Answer, answer_of
from service.safety.domain.arithmetic.quantities import LENGTH_MAX_M, THOUSAND, Number, checked, plain, positive, row_of
from service.safety.domain.arithmetic.resistance import HANDBOOK_HOT_FACTOR, Resistance
from service.safety.domain.arithmetic.rules import (
    COLD_READING,
    MAX_ZS,
    MAX_ZS_1362,
    MAX_ZS_BEFORE_2015,
    R1_R2_HOT,
    TT_EARTH,
)
from service.safety.domain.arithmetic.supply_voltage import DECLARED_V

CMIN: Final = Decimal("0.95")
COLD_SHARE: Final = Decimal("0.8")
RATING_MIN_A, RATING_MAX_A = 6, 63  # the ratings that the table was read for
LOOP_MAX_OHM: Final = 100_000  # own bound; no meter reads a loop so high
TOUCH_VOLTAGE_V: Final = Decimal(50)
UNSTABLE_ABOVE_OHM: Final = Decimal(200)
_TWO_PLACES: Final = Decimal("0.01")


class Curve(StrEnum):
    """Types of circuit-breaker."""

    B = "B"
    C = "C"
    D = "D"


class ZsBook(StrEnum):
    """Which book a limit is of."""

    WITH_CMIN = "with_cmin"
    BEFORE_2015 = "before_2015"


_INSTANT_MULTIPLE: Final = {Curve.B: 5, Curve.C: 10, Curve.D: 20}
_FUSE_1362_OHM: Final = {Decimal("0.4"): Decimal("2.30"), Decimal(5): Decimal("3.64")}


@dataclass(frozen=True, slots=True)
class LoopLimit:
    """The greatest Zs of a device at working temperature, exact and as printed to two decimals [ohm]."""

    max_ohm: Decimal
    book: ZsBook
    working: Working

    @property
    def printed_ohm(self) -> Decimal:
        """Return the limit rounded to two decimals, a half up."""
        return self.max_ohm.quantize(_TWO_PLACES, ROUND_HALF_UP)

    @property
    def cold_ohm(self) -> Decimal:
        """Return 80 % of the printed limit, to which a cold reading is held."""
        return self.printed_ohm * COLD_SHARE


@dataclass(frozen=True, slots=True)
class ReadingVerdict:
    """Whether a reading keeps its limit."""

    answer: Answer
    working: Working


@dataclass(frozen=True, slots=True)
class LoopImpedance:
    """Zs of a run at working temperature and cold [ohm]."""

    hot_ohm: Decimal
    cold_ohm: Decimal
    working: Working


@dataclass(frozen=True, slots=True)
class EarthVerdict:
    """Whether an RCD gives fault protection on an earth electrode, and whether its reading may be unstable."""

    answer: Answer
    max_ohm: Decimal
    may_be_unstable: bool
    working: Working


def max_zs(rating_a: Number, curve: Curve, book: ZsBook = ZsBook.WITH_CMIN) -> LoopLimit:
    """Return the greatest Zs of a circuit-breaker, 0.95 x 230 / (k In) [ohm].

    Raises ``Rejected`` outside 6 to 63 A, for which it was read.

    >>> max_zs(32, Curve.B).printed_ohm
    Decimal('1.37')
    """
    rating = checked("rating_a", rating_a, RATING_MIN_A, RATING_MAX_A, "A")
    multiple = _INSTANT_MULTIPLE[curve]
    minimum = CMIN if book is ZsBook.WITH_CMIN else Decimal(1)
    limit = minimum * DECLARED_V / (multiple * rating)
    rule = MAX_ZS if book is ZsBook.WITH_CMIN else MAX_ZS_BEFORE_2015
    step = rule.step(
        "Greatest earth fault loop impedance",
        {"device": f"type {curve.value}, {plain(rating)} A"},
        f"max Zs = {plain(minimum)} x 230 / ({multiple} x In)",
        f"{plain(limit, 2)} ohm",
    )
    return LoopLimit(limit, book, Working((step,)))


def max_zs_13a_fuse(disconnection_s: Number) -> LoopLimit:
    """Return the greatest Zs of a 13 A fuse to BS 1362 for 0.4 s or 5 s [ohm]; other times are refused."""
    limit = row_of("disconnection_s", disconnection_s, _FUSE_1362_OHM, "the times of the table")
    step = MAX_ZS_1362.step(
        "Greatest earth fault loop impedance",
        {"device": "13 A fuse to BS 1362", "time": f"{plain(disconnection_s)} s"},
        "the row of the time",
        f"{plain(limit)} ohm",
    )
    return LoopLimit(limit, ZsBook.WITH_CMIN, Working((step,)))


def cold_zs_verdict(reading_ohm: Number, limit: LoopLimit) -> ReadingVerdict:
    """Return whether a Zs read on cold conductors keeps 80 % of the limit; raises ``Rejected`` below 0."""
    reading = checked("reading_ohm", reading_ohm, 0, LOOP_MAX_OHM, "ohm")
    answer = answer_of(reading <= limit.cold_ohm)
    step = COLD_READING.step(
        "Cold reading of Zs",
        {"reading": f"{plain(reading)} ohm", "max Zs": f"{plain(limit.printed_ohm)} ohm"},
        "reading <= 0.8 x max Zs",
        f"{answer.value}: limit {plain(limit.cold_ohm)} ohm",
    )
    return ReadingVerdict(answer, limit.working.plus(step))


def run_zs(ze_ohm: Number, pair: Resistance, length_m: Number) -> LoopImpedance:
    """Return Zs = Ze + (R1+R2) L x 1.20 / 1000 of a run, and the same cold [ohm]; ``pair`` is R1+R2 at 20 C."""
    ze = checked("ze_ohm", ze_ohm, 0, LOOP_MAX_OHM, "ohm")
    length = checked("length_m", length_m, 0, LENGTH_MAX_M, "m")
    cold = pair.ohm_per_km * length / THOUSAND
    hot = cold * HANDBOOK_HOT_FACTOR
    step = R1_R2_HOT.step(
        "Zs of the run",
        {"Ze": f"{plain(ze)} ohm", "R1+R2": f"{plain(pair.ohm_per_km)} mohm/m", "length": f"{plain(length)} m"},
        "Zs = Ze + (R1+R2) x L x 1.20 / 1000; cold without 1.20",
        f"{plain(ze + hot)} ohm, cold {plain(ze + cold)} ohm",
    )
    return LoopImpedance(ze + hot, ze + cold, pair.working.plus(step))


def longest_cold_loop_m(limit_ohm: Number, ze_ohm: Number, pair: Resistance) -> Decimal:
    """Return the longest run whose cold Zs keeps a limit [m]; raises ``Rejected`` if Ze alone exceeds it."""
    limit = positive("limit_ohm", limit_ohm, LOOP_MAX_OHM, "ohm")
    ze = checked("ze_ohm", ze_ohm, 0, LOOP_MAX_OHM, "ohm")
    if ze > limit:
        raise Rejected(Fault("ze_ohm", str(ze), f"must not exceed the limit, {plain(limit)} ohm"))
    return (limit - ze) * THOUSAND / pair.ohm_per_km


def earth_electrode_verdict(ra_ohm: Number, idn_ma: Number) -> EarthVerdict:
    """Return whether RA x IDn <= 50 V holds for an earth electrode RA [ohm] and an RCD IDn [mA].

    Above 200 ohm a reading may be unstable, which is said whatever the answer. Raises ``Rejected`` unless RA and
    IDn lie above 0, IDn at most 500 mA.
    """
    ra = positive("ra_ohm", ra_ohm, LOOP_MAX_OHM, "ohm")
    idn = positive("idn_ma", idn_ma, 500, "mA")
    allowed = TOUCH_VOLTAGE_V * THOUSAND / idn
    answer = answer_of(ra <= allowed)
    may_be_unstable = ra > UNSTABLE_ABOVE_OHM
    step = TT_EARTH.step(
        "Earth electrode with an RCD",
        {"RA": f"{plain(ra)} ohm", "IDn": f"{plain(idn)} mA"},
        "RA x IDn <= 50 V; above 200 ohm a reading may be unstable",
        f"{answer.value}: at most {plain(allowed, 0)} ohm" + ("; may be unstable" if may_be_unstable else ""),
    )
    return EarthVerdict(answer, allowed, may_be_unstable, Working((step,)))
