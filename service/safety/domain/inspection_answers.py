"""What an electrician recorded of one outlet and its circuit, item by item; "not tested, because" is an answer.

Units and ranges are checked as the value is put together. A reading outside its limit is accepted and fails the
item; what was not recorded is named, and leaves the outlet not known. ``reading_limits`` holds the limits.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from functools import cached_property
from typing import Any, Final, TypeVar

from service.common.errors import Fault, Rejected
from service.households.domain.equipment import DeviceKind, Earthing, OutletKind, Place, RcdType, YesNo
from service.households.domain.ranges import in_range, known_word, of_decimals, of_phases, refuse, text_within
from service.safety.domain.arithmetic.earth_loop import LOOP_MAX_OHM
from service.safety.domain.arithmetic.lost_pen import LostPenAnswer
from service.safety.domain.arithmetic.quantities import LENGTH_MAX_M
from service.safety.domain.arithmetic.readings import MOHM_MAX, TIME_MAX_MS
from service.safety.domain.reading_limits import Failure as Failure
from service.safety.domain.reading_limits import failures_of, missing_of

RCD_MAX_MA: Final = 1000  # own bound
DEVICE_MAX_A: Final = 125  # own bound: more than any device of a home's final circuit
FLEX_MAX_MM2: Final = 16  # own bound
READING_DECIMALS: Final = 4
TEXT_MAX: Final = 300
IDENTITY_MAX: Final = 120

Word = TypeVar("Word", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading, or why there is none; both empty: nothing was recorded."""

    value: Decimal | None = None
    not_tested_because: str = ""

    def __post_init__(self) -> None:
        refuse(self._faults())

    def _faults(self) -> Iterator[Fault]:
        yield from text_within("not_tested_because", self.not_tested_because, TEXT_MAX)
        if self.value is not None and self.not_tested_because.strip():
            yield Fault("not_tested_because", self.not_tested_because, "must be empty where a reading is given")

    @property
    def is_taken(self) -> bool:
        """Tell whether there is a reading."""
        return self.value is not None


@dataclass(frozen=True, slots=True)
class ExtensionNamed:
    """The one extension lead that he names: its mark or number, size [mm2] and length [m].

    ``instructions_allow``: whether the charging lead's instructions allow an extension, as he read them.
    """

    identity: str
    size_mm2: Decimal
    length_m: Decimal
    instructions_allow: YesNo = YesNo.NOT_KNOWN

    def __post_init__(self) -> None:
        refuse(
            text_within("identity", self.identity, IDENTITY_MAX, is_required=True),
            _above_zero("size_mm2", self.size_mm2, FLEX_MAX_MM2, "mm2"),
            _above_zero("length_m", self.length_m, LENGTH_MAX_M, "m"),
        )


@dataclass(frozen=True)
class InspectionAnswers:
    """Each item as recorded; the defaults say that nothing was.

    ``polarity`` and ``terminals_tight`` are "yes" where they were found right. ``rcd_time_ms`` is at the rated
    current [ms]: of a device that did not trip, the longest time waited. ``zs_corrected`` says how Zs was
    corrected: ``WORKING_TEMPERATURE`` holds it to the full limit, anything else to that of a cold reading.
    ``ring_ends_ohm`` holds the end-to-end readings as written. ``car_place`` is where the car stands.

    Raises ``Rejected`` for a value out of range, naming the field.
    """

    ev_mark: YesNo = YesNo.NOT_KNOWN
    own_rcd: YesNo = YesNo.NOT_KNOWN
    rcd_type: RcdType = RcdType.NOT_KNOWN
    rcd_ma: int | None = None
    rcd_time_ms: Reading = Reading()
    earthing: Earthing = Earthing.NOT_KNOWN
    car_place: Place = Place.NOT_KNOWN
    lost_pen: LostPenAnswer = LostPenAnswer.NOT_RECORDED
    supply_phases: int = 1
    is_ring: YesNo = YesNo.NOT_KNOWN
    polarity: YesNo = YesNo.NOT_KNOWN
    terminals_tight: YesNo = YesNo.NOT_KNOWN
    socket_removed: YesNo = YesNo.NOT_KNOWN
    zs_ohm: Reading = Reading()
    zs_corrected: str = ""
    ze_ohm: Reading = Reading()
    r1r2_ohm: Reading = Reading()
    ring_ends_ohm: str = ""
    insulation_mohm: Reading = Reading()
    device_kind: DeviceKind = DeviceKind.NOT_KNOWN
    device_a: int | None = None
    extension: ExtensionNamed | None = None

    def __post_init__(self) -> None:
        refuse(
            in_range("rcd_ma", self.rcd_ma, 1, RCD_MAX_MA, "mA") if self.rcd_ma is not None else (),
            in_range("device_a", self.device_a, 1, DEVICE_MAX_A, "A") if self.device_a is not None else (),
            of_phases("supply_phases", self.supply_phases),
            text_within("zs_corrected", self.zs_corrected, TEXT_MAX),
            text_within("ring_ends_ohm", self.ring_ends_ohm, TEXT_MAX),
            _reading("rcd_time_ms", self.rcd_time_ms, TIME_MAX_MS, "ms", above_zero=True),
            _reading("insulation_mohm", self.insulation_mohm, MOHM_MAX, "Mohm"),
            *(_reading(name, getattr(self, name), LOOP_MAX_OHM, "ohm") for name in ("zs_ohm", "ze_ohm", "r1r2_ohm")),
        )

    def failures(self) -> tuple[Failure, ...]:
        """Return each item that fails, a reading outside its limit among them, with its working."""
        return self._failures

    def missing(self, kind: OutletKind) -> tuple[str, ...]:
        """Return in words what an outlet of a kind needs recorded and is not."""
        return self._missing[kind]

    # Worked out once: the same answers are asked in every planning of their home.
    @cached_property
    def _failures(self) -> tuple[Failure, ...]:
        return failures_of(self)

    @cached_property
    def _missing(self) -> dict[OutletKind, tuple[str, ...]]:
        return {kind: missing_of(self, kind) for kind in OutletKind}

    def to_json(self) -> dict[str, Any]:
        """Return the answers as a value that json.dumps accepts; figures are text, so that they stay exact."""
        return {field.name: _to_json(getattr(self, field.name)) for field in fields(self)}

    @classmethod
    def from_json(cls, value: Mapping[str, Any]) -> InspectionAnswers:
        """Return the answers that ``to_json`` wrote, or a form sent; what is left out was not recorded.

        Raises ``Rejected`` for a field that does not exist, a word that is not one of the list, a figure that is
        no number, or a value out of range.
        """
        faults: list[Fault] = [Fault(name, value[name], "is not a field") for name in value if name not in _READERS]
        found: dict[str, Any] = {}
        for name, read in _READERS.items():
            if name in value:
                try:
                    found[name] = read(name, value[name])
                except Rejected as error:
                    faults.extend(error.faults)
        refuse(faults)
        return cls(**found)


def _above_zero(field: str, value: Decimal, high: int, unit: str) -> Iterator[Fault]:
    yield from in_range(field, value, 0, high, unit)
    if value == 0:
        yield Fault(field, str(value), f"must be above 0 {unit}")


def _reading(field: str, reading: Reading, high: int, unit: str, *, above_zero: bool = False) -> Iterator[Fault]:
    if reading.value is not None:
        yield from in_range(field, reading.value, 0, high, unit)
        yield from of_decimals(field, reading.value, READING_DECIMALS)
        if above_zero and reading.value == 0:
            yield Fault(field, str(reading.value), f"must be above 0 {unit}")


def _to_json(value: Any) -> Any:
    if isinstance(value, Reading):
        return {"value": _to_json(value.value), "not_tested_because": value.not_tested_because}
    if isinstance(value, ExtensionNamed):
        return {field.name: _to_json(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, StrEnum):
        return value.value
    return str(value) if isinstance(value, Decimal) else value


def _word(words: type[Word]) -> Any:
    def read(field: str, value: Any) -> Word:
        refuse(known_word(field, value, words))
        return words(value)

    return read


def _text(field: str, value: Any) -> str:
    if not isinstance(value, str):
        raise Rejected(Fault(field, value, "must be text"))
    return value


def _whole(field: str, value: Any) -> int | None:
    if value is not None and (isinstance(value, bool) or not isinstance(value, int)):
        raise Rejected(Fault(field, value, "must be a whole number"))
    return value


def _phases(field: str, value: Any) -> int:
    found = _whole(field, value)
    if found is None:
        raise Rejected(Fault(field, value, "must be 1 or 3"))
    return found


def _decimal(field: str, value: Any) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | float | Decimal):
        raise Rejected(Fault(field, value, "must be a number"))
    try:
        return Decimal(str(value))
    except InvalidOperation:
        raise Rejected(Fault(field, value, "must be a number")) from None


def _parts(field: str, value: Any, names: tuple[str, ...]) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise Rejected(Fault(field, value, "must be an object"))
    refuse(Fault(f"{field}.{name}", value[name], "is not a field") for name in value if name not in names)
    return value


def _read_reading(field: str, value: Any) -> Reading:
    if value is None:
        return Reading()
    parts = _parts(field, value, ("value", "not_tested_because"))
    figure, because = parts.get("value"), parts.get("not_tested_because")
    try:
        return Reading(
            None if figure is None else _decimal("value", figure),
            "" if because is None else _text("not_tested_because", because),
        )
    except Rejected as error:
        raise Rejected(*(fault.under(field) for fault in error.faults)) from None


def _read_extension(field: str, value: Any) -> ExtensionNamed | None:
    if value is None:
        return None
    names = ("identity", "size_mm2", "length_m")
    parts = _parts(field, value, (*names, "instructions_allow"))
    refuse(Fault(f"{field}.{name}", None, "is required") for name in names if parts.get(name) is None)
    try:
        return ExtensionNamed(
            _text("identity", parts["identity"]),
            _decimal("size_mm2", parts["size_mm2"]),
            _decimal("length_m", parts["length_m"]),
            _YES_NO("instructions_allow", parts.get("instructions_allow") or YesNo.NOT_KNOWN.value),
        )
    except Rejected as error:
        raise Rejected(*(fault.under(field) for fault in error.faults)) from None


_YES_NO: Final = _word(YesNo)
_READERS: Final[dict[str, Any]] = {
    **dict.fromkeys(("ev_mark", "own_rcd", "is_ring", "polarity", "terminals_tight", "socket_removed"), _YES_NO),
    **dict.fromkeys(("rcd_time_ms", "zs_ohm", "ze_ohm", "r1r2_ohm", "insulation_mohm"), _read_reading),
    **dict.fromkeys(("zs_corrected", "ring_ends_ohm"), _text),
    **dict.fromkeys(("rcd_ma", "device_a"), _whole),
    "rcd_type": _word(RcdType),
    "earthing": _word(Earthing),
    "car_place": _word(Place),
    "lost_pen": _word(LostPenAnswer),
    "supply_phases": _phases,
    "device_kind": _word(DeviceKind),
    "extension": _read_extension,
}

NOTHING_RECORDED: Final = InspectionAnswers()
