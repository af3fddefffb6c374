"""What people say of circuits, outlets and leads, checked as it is put together.

Currents are per phase [A]. A plan holds them for hours, so they are what the thing may carry
for hours on end, not what its fuse lets through.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.common.errors import Fault
from service.households.domain.equipment import (
    SOCKET_LIMIT_A,
    SOCKET_SUSTAINED_LIMIT_A,
    CableKind,
    CircuitRunKind,
    DeviceKind,
    LeadKind,
    OutletControl,
    OutletKind,
    Place,
    RcdType,
    YesNo,
)
from service.households.domain.ranges import (
    LABEL_LENGTH_MAX,
    in_range,
    known_word,
    of_decimals,
    of_phases,
    refuse,
    text_within,
)

CURRENT_MIN_A = 6  # least current a pilot signal can ask for [A], IEC 61851-1
CURRENT_MAX_A = 80  # greatest current a pilot signal can state [A], IEC 61851-1
MODE_2_MAX_A = 32  # scope of IEC 62752 for leads with in-cable protection [A]
RUNS_MAX = 20  # own bound on the runs of one circuit
SETTINGS_MAX = 10  # own bound on the currents that one lead can be set to
LEAD_LENGTH_MAX_M = 100  # own bound, beyond any lead
DEVICE_MAX_A = 200  # own bound on a protective device of a home [A]
SIZE_MIN_MM2, SIZE_MAX_MM2 = Decimal("0.5"), 50  # own bounds on the cable of a home's circuit
METHODS = ("C", "A", "100", "101", "102", "103", "D", "E")
"""Reference methods of the cable tables: how a cable is installed."""
_IP_CODE = re.compile(r"IP[0-6X][0-9X]")  # IEC 60529

START_DELAY_MAX_S = 1800
"""Longest random delay that a smart charge point may be set to (SI 2021/1467, schedule 1): from memory."""


@dataclass(frozen=True)
class RunDetails:
    """One run of a circuit; where nobody knows, a text is empty, a number None, a word "not known".

    ``installed`` is a reference method of the cable's table; ``ambient_c``, ``grouped_circuits`` and
    ``insulation_mm`` are what surrounds the cable at its worst place, never assumed.
    """

    kind: str
    device: str = ""
    cable: str = ""
    method: str = ""
    length_m: Decimal | None = None
    device_kind: str = DeviceKind.NOT_KNOWN
    device_a: int | None = None
    rcd_type: str = RcdType.NOT_KNOWN
    rcd_ma: int | None = None
    cable_kind: str = CableKind.NOT_KNOWN
    cable_mm2: Decimal | None = None
    installed: str = ""
    ambient_c: int | None = None
    grouped_circuits: int | None = None
    insulation_mm: int | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, CircuitRunKind),
            text_within("device", self.device, 120),
            text_within("cable", self.cable, 80),
            text_within("method", self.method, 80),
            _length_faults(self.length_m, 1000),
            known_word("device_kind", self.device_kind, DeviceKind),
            _within("device_a", self.device_a, 1, DEVICE_MAX_A, "A"),
            known_word("rcd_type", self.rcd_type, RcdType),
            _within("rcd_ma", self.rcd_ma, 1, 1000, "mA"),
            _rcd_faults(self),
            known_word("cable_kind", self.cable_kind, CableKind),
            _size_faults(self.cable_mm2),
            _method_faults(self.installed),
            # the rows of the tables of factors
            _within("ambient_c", self.ambient_c, 25, 60, "C"),
            _within("grouped_circuits", self.grouped_circuits, 1, 9, "circuits"),
            _within("insulation_mm", self.insulation_mm, 0, 100_000, "mm"),
        )


@dataclass(frozen=True)
class CircuitDetails:
    """The way from the origin to an outlet, as runs in order."""

    label: str
    runs: tuple[RunDetails, ...]

    def __post_init__(self) -> None:
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            [] if 1 <= len(self.runs) <= RUNS_MAX else [Fault("runs", len(self.runs), f"must be 1 to {RUNS_MAX}")],
        )


@dataclass(frozen=True)
class OutletDetails:
    """Where a vehicle is fed; ``is_tethered`` of a charging point may be None, not known.

    Raises ``Rejected`` also where a 13 A socket is to carry more for hours than it can.
    """

    label: str
    kind: str
    limit_a: int
    phases: int = 1
    is_tethered: bool | None = None
    place: str = Place.NOT_KNOWN
    circuit_id: str | None = None
    maker_model: str = ""
    serial_or_batch: str = ""
    supplied_by: str = ""
    since_on: date | None = None
    car_place: str = Place.NOT_KNOWN
    ip_code: str = ""
    ev_mark: str = YesNo.NOT_KNOWN
    in_sun: str = YesNo.NOT_KNOWN
    nights_a_week: int | None = None
    control: str = OutletControl.NOT_KNOWN
    start_delay_s: int | None = None

    def __post_init__(self) -> None:
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            known_word("kind", self.kind, OutletKind),
            in_range("limit_a", self.limit_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            of_phases("phases", self.phases),
            _socket_faults(self) if self.kind == OutletKind.SOCKET_13A else (),
            known_word("place", self.place, Place),
            _identity_faults(self),
            known_word("car_place", self.car_place, Place),
            _ip_faults(self.ip_code),
            known_word("ev_mark", self.ev_mark, YesNo),
            known_word("in_sun", self.in_sun, YesNo),
            _within("nights_a_week", self.nights_a_week, 0, 7, "nights"),
            known_word("control", self.control, OutletControl),
            _within("start_delay_s", self.start_delay_s, 0, START_DELAY_MAX_S, "s"),
        )


@dataclass(frozen=True)
class LeadDetails:
    """A lead: its rated current and the current it is set to now, which is what a plan reckons with.

    ``settings_a`` are the currents that it can be set to [A]; empty: none, or nobody knows.
    """

    label: str
    kind: str
    rated_a: int
    set_a: int
    maker_model: str = ""
    serial_or_batch: str = ""
    supplied_by: str = ""
    since_on: date | None = None
    settings_a: tuple[int, ...] = ()
    has_plug_sensor: str = YesNo.NOT_KNOWN
    length_m: Decimal | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "settings_a", tuple(self.settings_a))
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX, is_required=True),
            known_word("kind", self.kind, LeadKind),
            in_range("rated_a", self.rated_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            in_range("set_a", self.set_a, CURRENT_MIN_A, CURRENT_MAX_A, "A"),
            _lead_faults(self),
            _identity_faults(self),
            setting_faults(self.settings_a, self.rated_a),
            known_word("has_plug_sensor", self.has_plug_sensor, YesNo),
            _length_faults(self.length_m, LEAD_LENGTH_MAX_M),
        )


def _socket_faults(outlet: OutletDetails) -> Iterator[Fault]:
    if outlet.limit_a > SOCKET_LIMIT_A:
        yield Fault("limit_a", outlet.limit_a, f"a 13 A socket never carries more than {SOCKET_LIMIT_A} A")
    elif outlet.limit_a > SOCKET_SUSTAINED_LIMIT_A:
        rule = f"an ordinary 13 A socket carries {SOCKET_SUSTAINED_LIMIT_A} A for hours, not more (common practice)"
        yield Fault("limit_a", outlet.limit_a, rule)
    if outlet.phases == 3:
        yield Fault("phases", outlet.phases, "a 13 A socket has 1 phase")
    if outlet.is_tethered:
        yield Fault("is_tethered", outlet.is_tethered, "a 13 A socket has no cable of its own")


def _lead_faults(lead: LeadDetails) -> Iterator[Fault]:
    if lead.set_a > lead.rated_a:
        yield Fault("set_a", lead.set_a, f"must not be above the rated current, {lead.rated_a} A")
    if lead.kind == LeadKind.MODE_2 and lead.rated_a > MODE_2_MAX_A:
        yield Fault("rated_a", lead.rated_a, f"a mode 2 lead is rated for at most {MODE_2_MAX_A} A (IEC 62752)")


def setting_faults(settings_a: tuple[int, ...], rated_a: int | None) -> Iterator[Fault]:
    """Yield what is wrong with the currents that a lead can be set to [A]; a rating of None is not known."""
    if len(settings_a) > SETTINGS_MAX:
        yield Fault("settings_a", len(settings_a), f"must be at most {SETTINGS_MAX}")
    elif list(settings_a) != sorted(set(settings_a)):
        yield Fault("settings_a", str(list(settings_a)), "must rise, each current once")
    for position, current in enumerate(settings_a[:SETTINGS_MAX]):
        yield from in_range(f"settings_a.{position}", current, CURRENT_MIN_A, rated_a or CURRENT_MAX_A, "A")


def _within(field: str, value: int | None, low: int, high: int, unit: str) -> Iterator[Fault]:
    if value is not None:
        yield from in_range(field, value, low, high, unit)


def _length_faults(length_m: Decimal | None, longest_m: int) -> Iterator[Fault]:
    if length_m is not None:
        yield from in_range("length_m", length_m, 0, longest_m, "m")
        yield from of_decimals("length_m", length_m, 1)


def _size_faults(size_mm2: Decimal | None) -> Iterator[Fault]:
    """A size need not be a row of a table: what a table does not hold, the arithmetic refuses."""
    if size_mm2 is not None:
        if not size_mm2.is_finite() or not SIZE_MIN_MM2 <= size_mm2 <= SIZE_MAX_MM2:
            yield Fault("cable_mm2", str(size_mm2), f"must lie between {SIZE_MIN_MM2} and {SIZE_MAX_MM2} mm2")
        yield from of_decimals("cable_mm2", size_mm2, 2)


def _method_faults(installed: str) -> Iterator[Fault]:
    if installed and installed not in METHODS:
        yield Fault("installed", installed, "must be one of: " + ", ".join(METHODS) + ", or empty where not known")


def _rcd_faults(run: RunDetails) -> Iterator[Fault]:
    if run.rcd_type == RcdType.NONE and run.rcd_ma is not None:
        yield Fault("rcd_ma", run.rcd_ma, "must be empty where there is no RCD")


def _ip_faults(code: str) -> Iterator[Fault]:
    if code and not _IP_CODE.fullmatch(code):
        yield Fault("ip_code", code, "must be an IP code such as IP44 or IPX4, or empty where not known")


def _identity_faults(item: OutletDetails | LeadDetails) -> Iterator[Fault]:
    yield from text_within("maker_model", item.maker_model, 120)
    yield from text_within("serial_or_batch", item.serial_or_batch, 80)
    yield from text_within("supplied_by", item.supplied_by, 120)
