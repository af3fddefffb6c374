"""The member's check of an outlet and lead: questions in order, and what each answer means.

By look, smell, listening and grip, in that order, so that nobody touches what is scorched, wet or crackling:
after an answer that stops use the rest need not be answered. A clear check is recorded and lifts nothing yet.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from service.common.errors import Fault
from service.households.domain.ranges import refuse, text_within
from service.safety.domain.signs import SIGNS, Sign

NOTE_LENGTH_MAX = 500
NOT_KNOWN: Final = "not_known"


@dataclass(frozen=True, slots=True)
class Answer:
    """One possible answer; ``sign`` names the row of the table of signs that it reports, None: no sign."""

    name: str
    words: str
    sign: str | None = None

    @property
    def means(self) -> str:
        """Say what the answer leads to."""
        if self.sign is not None:
            return f"{SIGNS[self.sign].effect.value.replace('_', ' ').capitalize()} until it is put right."
        return "Not known: the check stays open." if self.name == NOT_KNOWN else "No sign so far."


@dataclass(frozen=True, slots=True)
class Question:
    """One question; ``is_touching``: only to be asked while no answer before it stops use."""

    name: str
    words: str
    answers: tuple[Answer, ...]
    is_touching: bool = False


_UNSURE: Final = Answer(NOT_KNOWN, "I do not know")


def _no_or(sign: str) -> tuple[Answer, ...]:
    return (Answer("no", "No"), Answer("yes", "Yes", sign), _UNSURE)


QUESTIONS: Final = (
    Question("tingle", "Has anyone felt a tingle or a shock from the car, the plug or the lead?", _no_or("tingle")),
    Question("scorch", "Look, without touching: is anything scorched, brown or melted?", _no_or("scorch")),
    Question("cracked", "Is anything cracked or cut, or is bare metal showing?", _no_or("cracked")),
    Question("water", "Is there water inside the socket, the lead's box or a connector?", _no_or("water_inside")),
    Question("smell", "Is there a burning, fishy or hot-plastic smell?", _no_or("burning_smell")),
    Question("listen", "Do you hear buzzing or crackling, or see sparks?", _no_or("buzzing")),
    Question(
        "lights",
        "Which fault light does the lead or charging point show? If you cannot tell which, choose the earth fault.",
        (
            Answer("none", "None"),
            Answer("earth_fault", "Earth fault", "earth_fault_light"),
            Answer("other_fault", "Another fault", "fault_light"),
            _UNSURE,
        ),
    ),
    Question("tripped", "Has a breaker, RCD or fuse gone off while charging?", _no_or("tripped")),
    Question("drops_out", "Has charging stopped by itself, or been cut back by the lead?", _no_or("charge_drops_out")),
    Question("flicker", "Do lights flicker when the charge starts?", _no_or("lights_flicker")),
    Question(
        "grip", "Move the plug a little: does it sit loose in the socket?", _no_or("loose"), is_touching=True
    ),
    Question(
        "warmth",
        "With the back of your hand: how warm do plug and socket get while charging?",
        (
            Answer("cool", "Cool, or just noticeably warm"),
            Answer("warm", "Warmer than that, but I can hold it", "warm"),
            Answer("too_hot", "Too hot to hold", "too_hot"),
            _UNSURE,
        ),
        is_touching=True,
    ),
)
_BY_NAME: Final = {question.name: question for question in QUESTIONS}
_ANSWERS: Final = {(question.name, answer.name): answer for question in QUESTIONS for answer in question.answers}


@dataclass(frozen=True)
class GivenAnswer:
    """What a member answered to one question."""

    question: str
    answer: str

    def __post_init__(self) -> None:
        refuse(self._faults())

    def _faults(self) -> Iterator[Fault]:
        question = _BY_NAME.get(self.question)
        if question is None:
            yield Fault("question", self.question, "must be one of: " + ", ".join(_BY_NAME))
        elif (self.question, self.answer) not in _ANSWERS:
            known = ", ".join(answer.name for answer in question.answers)
            yield Fault("answer", self.answer, f"must be one of: {known}")

    @property
    def sign(self) -> Sign | None:
        """Return the sign that the answer reports, if it is one."""
        name = _ANSWERS[self.question, self.answer].sign
        return SIGNS[name] if name else None


@dataclass(frozen=True)
class CheckDetails:
    """One check of an outlet with a lead; ``lead_id`` None: no lead was looked at.

    Raises ``Rejected`` where a question is answered twice, or left out although no answer stops use.
    """

    outlet_id: str
    lead_id: str | None
    answers: tuple[GivenAnswer, ...]
    note: str = ""

    def __post_init__(self) -> None:
        refuse(text_within("note", self.note, NOTE_LENGTH_MAX), self._answer_faults())

    def _answer_faults(self) -> Iterator[Fault]:
        asked = [given.question for given in self.answers]
        for position, question in enumerate(asked):
            if question in asked[:position]:
                yield Fault(f"answers.{position}.question", question, "is answered already")
        missing = [question.name for question in QUESTIONS if question.name not in asked]
        if missing and not self.signs:
            yield Fault("answers", len(asked), "must answer also: " + ", ".join(missing))

    @property
    def signs(self) -> tuple[Sign, ...]:
        """Return the signs that the answers report, in the order of the questions."""
        found = {given.question: given.sign for given in self.answers}
        return tuple(sign for question in QUESTIONS if (sign := found.get(question.name)) is not None)

    @property
    def is_clear(self) -> bool:
        """Tell whether every question was answered, none with a sign and none with "not known"."""
        return not self.signs and all(given.answer != NOT_KNOWN for given in self.answers)
