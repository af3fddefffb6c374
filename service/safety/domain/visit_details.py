"""What is asked for and agreed of a visit, and who may come, checked as it is put together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from typing import Final

from service.common.errors import Fault
from service.households.domain.ranges import in_range, known_word, refuse, text_within
from service.safety.domain.visit_states import TAKEN_BY_HAND, VisitState

OUTLETS_MAX: Final = 10  # own bound: more than a home of the scheme feeds cars from
COST_MAX_PENCE: Final = 1_000_000  # own bound
NOTE_MAX: Final = 300
_ADDRESS: Final = re.compile(
    r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?"
)


@dataclass(frozen=True)
class ElectricianDetails:
    """Somebody on the scheme's list; the body and number of registration stand as stated, nobody verified them."""

    name: str
    email: str
    firm: str = ""
    telephone: str = ""
    registration: str = ""

    def __post_init__(self) -> None:
        refuse(
            text_within("name", self.name, 120, is_required=True),
            of_address("email", self.email),
            text_within("firm", self.firm, 120),
            text_within("telephone", self.telephone, 40),
            text_within("registration", self.registration, 200),
        )


@dataclass(frozen=True)
class VisitRequest:
    """Which outlets are to be inspected, and why now."""

    outlet_ids: tuple[str, ...]
    reason: str = ""

    def __post_init__(self) -> None:
        refuse(self._faults(), text_within("reason", self.reason, NOTE_MAX))

    def _faults(self) -> Iterator[Fault]:
        if not 1 <= len(self.outlet_ids) <= OUTLETS_MAX:
            yield Fault("outlet_ids", len(self.outlet_ids), f"must name 1 to {OUTLETS_MAX} outlets")
        for position, outlet_id in enumerate(self.outlet_ids):
            if outlet_id in self.outlet_ids[:position]:
                yield Fault(f"outlet_ids.{position}", outlet_id, "is named already")


@dataclass(frozen=True)
class VisitTerms:
    """Who comes and when, and what it costs [pence]; times are the home's, and only stand with a day."""

    electrician_id: str | None = None
    agreed_on: date | None = None
    agreed_from: time | None = None
    agreed_until: time | None = None
    cost_pence: int | None = None

    def __post_init__(self) -> None:
        cost = self.cost_pence
        refuse(in_range("cost_pence", cost, 0, COST_MAX_PENCE, "p") if cost is not None else (), self._time_faults())

    def _time_faults(self) -> Iterator[Fault]:
        for field, value in (("agreed_from", self.agreed_from), ("agreed_until", self.agreed_until)):
            if value is not None and self.agreed_on is None:
                yield Fault(field, value.isoformat("minutes"), "needs a day: agree the day first")
        if self.agreed_from is not None and self.agreed_until is not None and self.agreed_until <= self.agreed_from:
            yield Fault("agreed_until", self.agreed_until.isoformat("minutes"), "must be after agreed_from")


@dataclass(frozen=True)
class VisitMove:
    """A step that a person takes with a visit."""

    state: str
    note: str = ""

    def __post_init__(self) -> None:
        refuse(known_word("state", self.state, VisitState), self._faults(), text_within("note", self.note, NOTE_MAX))

    def _faults(self) -> Iterator[Fault]:
        if self.state in list(VisitState) and self.state not in TAKEN_BY_HAND:
            words = ", ".join(state.value for state in TAKEN_BY_HAND)
            rule = f"must be one of {words}; the others follow from what is agreed or recorded"
            yield Fault("state", self.state, rule)


def of_address(field: str, address: str) -> Iterator[Fault]:
    """Yield a fault unless the text is one plain e-mail address."""
    if len(address) > 254 or ".." in address or not _ADDRESS.fullmatch(address):
        yield Fault(field, address, "must be one plain e-mail address")


def outward_of(postcode: str) -> str:
    """Return the area of a home: the outward part of its postcode, which is all but the last three characters.

    >>> outward_of("zz1 1aa"), outward_of("ZZ11AA"), outward_of(" ")
    ('ZZ1', 'ZZ1', '')
    """
    packed = "".join(postcode.split()).upper()
    return packed[:-3] if len(packed) > 3 else packed
