"""What a member answers in the survey of a home, step by step; "not known" is an answer everywhere.

Each step is a value whose constructor names every fault; the rules are those of what is recorded of a home, so
that an answer that is taken here can always be recorded. None, "" and "not_known" say that nobody knows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum, StrEnum
from typing import Any, Final

from service.common.errors import Fault
from service.households.domain.equipment import (
    SOCKET_SUSTAINED_LIMIT_A,
    Earthing,
    LeadKind,
    OutletKind,
    Place,
    Tenure,
    YesNo,
)
from service.households.domain.equipment_details import (
    CURRENT_MAX_A,
    CURRENT_MIN_A,
    RUNS_MAX,
    LeadDetails,
    OutletDetails,
    RunDetails,
    setting_faults,
)
from service.households.domain.home_details import LargeLoad, SupplyDetails, large_loads
from service.households.domain.ranges import LABEL_LENGTH_MAX, in_range, known_word, refuse, text_within
from service.safety.domain.survey_steps import ConsentAnswer, ConsentKind, SurveyStep

PHOTOS_MAX = 8  # own bound on the photos of one step
EARLIEST_ON: Final = date(1850, 1, 1)  # own bound: nobody moved in, and nothing was fitted, before
NOT_KNOWN: Final = "not_known"


class LeadAnswer(StrEnum):
    """Which lead there is, if any."""

    MODE_2 = LeadKind.MODE_2.value
    MODE_3_CABLE = LeadKind.MODE_3_CABLE.value
    NONE = "none"
    NOT_KNOWN = NOT_KNOWN


class OutletAnswer(StrEnum):
    """Which kind of outlet it is."""

    SOCKET_13A = OutletKind.SOCKET_13A.value
    CHARGING_POINT = OutletKind.CHARGING_POINT.value
    NOT_KNOWN = NOT_KNOWN


@dataclass(frozen=True)
class HomeAnswers:
    """Who owns the home, and since when the household lives there."""

    tenure: str = Tenure.NOT_KNOWN
    moved_in_on: date | None = None

    def __post_init__(self) -> None:
        refuse(known_word("tenure", self.tenure, Tenure), _day_faults("moved_in_on", self.moved_in_on))


@dataclass(frozen=True)
class SupplyAnswers:
    """The service cut-out and what else takes much; ``phases`` of None are not known."""

    fuse_a: int | None = None
    phases: int | None = None
    earthing: str = Earthing.NOT_KNOWN
    looped: str = YesNo.NOT_KNOWN
    loads: tuple[LargeLoad, ...] = ()
    photo_ids: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "loads", large_loads(self.loads))
        object.__setattr__(self, "photo_ids", tuple(self.photo_ids))
        phases = 1 if self.phases is None else self.phases
        SupplyDetails(self.fuse_a, phases, self.earthing, self.looped, loads=self.loads)
        refuse(_photo_faults(self.photo_ids))


@dataclass(frozen=True)
class OutletAnswers:
    """Where the car is plugged in, as far as it can be seen without opening anything.

    ``rated_a`` is what a charging point may give [A]; a 13 A socket has no such answer.
    """

    kind: str = OutletAnswer.NOT_KNOWN
    label: str = ""
    is_tethered: bool | None = None
    rated_a: int | None = None
    place: str = Place.NOT_KNOWN
    car_place: str = Place.NOT_KNOWN
    ip_code: str = ""
    ev_mark: str = YesNo.NOT_KNOWN
    in_sun: str = YesNo.NOT_KNOWN
    nights_a_week: int | None = None
    maker_model: str = ""
    serial_or_batch: str = ""
    since_on: date | None = None
    photo_ids: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "photo_ids", tuple(self.photo_ids))
        refuse(
            known_word("kind", self.kind, OutletAnswer),
            text_within("label", self.label, LABEL_LENGTH_MAX),
            _day_faults("since_on", self.since_on),
            _photo_faults(self.photo_ids),
            self._rating_faults(),
        )
        # whatever the kind, what is recorded of a charging point has no further rule
        is_socket = self.kind == OutletKind.SOCKET_13A
        OutletDetails(
            label=self.label or "outlet",
            kind=OutletKind.SOCKET_13A if is_socket else OutletKind.CHARGING_POINT,
            limit_a=SOCKET_SUSTAINED_LIMIT_A if is_socket else self.rated_a or CURRENT_MIN_A,
            **{name: getattr(self, name) for name in OUTLET_FIELDS},
        )

    def _rating_faults(self) -> Iterator[Fault]:
        if self.rated_a is not None:
            yield from in_range("rated_a", self.rated_a, CURRENT_MIN_A, CURRENT_MAX_A, "A")
            if self.kind == OutletKind.SOCKET_13A:
                yield Fault("rated_a", self.rated_a, "must be empty for a 13 A socket")


OUTLET_FIELDS: Final = (
    "is_tethered", "place", "car_place", "ip_code", "ev_mark", "in_sun", "nights_a_week", "maker_model",
    "serial_or_batch", "since_on",
)  # fmt: skip
"""What is answered of an outlet under the name it is recorded by."""


@dataclass(frozen=True)
class CircuitAnswers:
    """The way from the origin to an outlet as runs in order; none where nobody knows."""

    label: str = ""
    runs: tuple[RunDetails, ...] = ()
    photo_ids: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "photo_ids", tuple(self.photo_ids))
        refuse(
            text_within("label", self.label, LABEL_LENGTH_MAX),
            [] if len(self.runs) <= RUNS_MAX else [Fault("runs", len(self.runs), f"must be at most {RUNS_MAX}")],
            _photo_faults(self.photo_ids),
        )


@dataclass(frozen=True)
class LeadAnswers:
    """The lead, by its plate; it is recorded once its kind and the current it is rated for are known.

    ``uses_extension``: an extension lead is used between the socket and this one.
    """

    kind: str = LeadAnswer.NOT_KNOWN
    label: str = ""
    rated_a: int | None = None
    set_a: int | None = None
    settings_a: tuple[int, ...] = ()
    has_plug_sensor: str = YesNo.NOT_KNOWN
    length_m: Decimal | None = None
    maker_model: str = ""
    serial_or_batch: str = ""
    since_on: date | None = None
    photo_ids: tuple[str, ...] = ()
    uses_extension: str = YesNo.NOT_KNOWN

    def __post_init__(self) -> None:
        object.__setattr__(self, "settings_a", tuple(self.settings_a))
        object.__setattr__(self, "photo_ids", tuple(self.photo_ids))
        refuse(
            known_word("kind", self.kind, LeadAnswer),
            known_word("uses_extension", self.uses_extension, YesNo),
            text_within("label", self.label, LABEL_LENGTH_MAX),
            _day_faults("since_on", self.since_on),
            _photo_faults(self.photo_ids),
            setting_faults(self.settings_a, self.rated_a),
            *(
                in_range(name, value, CURRENT_MIN_A, CURRENT_MAX_A, "A")
                for name, value in (("rated_a", self.rated_a), ("set_a", self.set_a))
                if value is not None
            ),
        )
        # what is not known is held to the widest rule, so that only what cannot be is refused
        is_cable = self.kind == LeadKind.MODE_3_CABLE
        widest = self.rated_a or CURRENT_MAX_A
        LeadDetails(
            label=self.label or "lead",
            kind=LeadKind.MODE_3_CABLE if is_cable or self.rated_a is None else LeadKind.MODE_2,
            rated_a=widest,
            set_a=self.set_a or widest,
            **{name: getattr(self, name) for name in LEAD_FIELDS},
        )


LEAD_FIELDS: Final = ("has_plug_sensor", "length_m", "maker_model", "serial_or_batch", "since_on", "settings_a")
"""What is answered of a lead under the name it is recorded by."""


@dataclass(frozen=True)
class ConsentDetails:
    """What a landlord, freeholder or insurer said, as the member states it."""

    kind: str
    answer: str = ConsentAnswer.NOT_KNOWN
    given_on: date | None = None
    file_id: str | None = None

    def __post_init__(self) -> None:
        refuse(
            known_word("kind", self.kind, ConsentKind),
            known_word("answer", self.answer, ConsentAnswer),
            _day_faults("given_on", self.given_on),
            self._date_faults(),
        )

    def _date_faults(self) -> Iterator[Fault]:
        if self.given_on is not None and self.answer not in (ConsentAnswer.YES, ConsentAnswer.NO):
            yield Fault("given_on", self.given_on.isoformat(), "must be empty unless the answer is yes or no")


@dataclass(frozen=True)
class ConsentsAnswers:
    """The three consents."""

    landlord: ConsentDetails = field(default_factory=lambda: ConsentDetails(ConsentKind.LANDLORD))
    freeholder: ConsentDetails = field(default_factory=lambda: ConsentDetails(ConsentKind.FREEHOLDER))
    insurer: ConsentDetails = field(default_factory=lambda: ConsentDetails(ConsentKind.INSURER))


Answers = HomeAnswers | SupplyAnswers | OutletAnswers | CircuitAnswers | LeadAnswers | ConsentsAnswers
ANSWERS_OF: Final[Mapping[SurveyStep, type[Answers]]] = {
    SurveyStep.HOME: HomeAnswers,
    SurveyStep.SUPPLY: SupplyAnswers,
    SurveyStep.OUTLET: OutletAnswers,
    SurveyStep.CIRCUIT: CircuitAnswers,
    SurveyStep.LEAD: LeadAnswers,
    SurveyStep.CONSENTS: ConsentsAnswers,
}


def is_known(value: object) -> bool:
    """Tell whether an answer says anything: none of None, "", "not_known" and an empty list does."""
    return value is not None and value not in ("", NOT_KNOWN, ())


def later_than(answers: object, today: date) -> Iterator[Fault]:
    """Yield a fault for each day in the answers that is still to come."""
    for each in fields(answers) if is_dataclass(answers) else ():
        value = getattr(answers, each.name)
        if isinstance(value, date) and value > today:
            yield Fault(each.name, value.isoformat(), "must not lie after today")
        elif isinstance(value, ConsentDetails):
            yield from (fault.under(each.name) for fault in later_than(value, today))


def to_json(answers: object) -> Any:
    """Return answers as a value that json.dumps accepts; decimals as text, so that nothing is lost."""
    if is_dataclass(answers) and not isinstance(answers, type):
        return {each.name: to_json(getattr(answers, each.name)) for each in fields(answers)}
    if isinstance(answers, tuple):
        return [to_json(item) for item in answers]
    if isinstance(answers, Enum):
        return answers.value
    if isinstance(answers, date):
        return answers.isoformat()
    return str(answers) if isinstance(answers, Decimal) else answers


def from_json(step: SurveyStep, stored: Mapping[str, Any]) -> Answers:
    """Return the answers that ``to_json`` wrote."""
    return ANSWERS_OF[step](**{name: _read(name, value) for name, value in stored.items()})


def _read(name: str, value: Any) -> Any:
    if value is None:
        return None
    if name.endswith("_on"):
        return date.fromisoformat(value)
    if name in ("length_m", "cable_mm2"):
        return Decimal(value)
    if name == "runs":
        return tuple(RunDetails(**{key: _read(key, item) for key, item in run.items()}) for run in value)
    if isinstance(value, dict):
        return ConsentDetails(**{key: _read(key, item) for key, item in value.items()})
    return tuple(value) if isinstance(value, list) else value


def _day_faults(field: str, day: date | None) -> Iterator[Fault]:
    if day is not None and day < EARLIEST_ON:
        yield Fault(field, day.isoformat(), f"must not lie before {EARLIEST_ON.isoformat()}")


def _photo_faults(photo_ids: tuple[str, ...]) -> Iterator[Fault]:
    if len(photo_ids) > PHOTOS_MAX:
        yield Fault("photo_ids", len(photo_ids), f"must be at most {PHOTOS_MAX}")
