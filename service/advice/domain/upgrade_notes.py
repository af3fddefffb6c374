"""What works for charging take besides money: whom to ask first, which papers, what they must be able to do.

Nothing here is a permission.  What was not read for a nation is "not known", and an electrician decides on site.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from service.advice.domain.notifiable_work import NOT_KNOWN, notifiable_work
from service.advice.domain.upgrade_works import NEW_CIRCUIT, POINTS, Upgrade
from service.common.calendar import Nation
from service.common.working import Step
from service.figures.domain.book import Standing
from service.households.domain.equipment import Earthing, Place
from service.safety.domain.arithmetic.answers import Answer
from service.safety.domain.arithmetic.lost_pen import LostPenAnswer, lost_pen_verdict
from service.safety.domain.arithmetic.network_operator import NetworkAction
from service.safety.domain.home_demand import HomeDemand

ELECTRICIAN: Final = (
    "Nothing may be used before an electrician has installed, tested and recorded it: this page decides nothing about"
    " use."
)
UNKNOWN: Final = "not known: "
"""How a reason of the network operator's rules begins where an answer is missing."""
CERTIFICATES: Final = "two public pages on electrical certificates"
OWN_RULE: Final = "own_rule"
"""The standing of a note that is a rule of this service."""
SMART_POINTS: Final = "Electric Vehicles (Smart Charge Points) Regulations 2021 (SI 2021/1467)"


class NoteKind(StrEnum):
    """What a note is about."""

    ELECTRICIAN = "electrician"
    NETWORK = "network"
    CERTIFICATE = "certificate"
    NOTIFIABLE = "notifiable"
    LOST_PEN = "lost_pen"
    SMART = "smart"
    CABLE = "cable"
    CONSENT = "consent"
    TAX = "tax"


@dataclass(frozen=True, slots=True)
class TakesNote:
    """One thing that works take: for which works, in words, with its source and how sure that is."""

    kind: NoteKind
    works: tuple[Upgrade, ...]
    words: str
    source: str
    standing: str
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class HomeFacts:
    """What of a home the notes depend on; ``place`` is where the car stands."""

    nation: str
    earthing: Earthing
    place: Place
    phases: int


def takes_notes(
    works: tuple[Upgrade, ...], facts: HomeFacts, demand_with_point: HomeDemand, demand_with_socket: HomeDemand | None
) -> tuple[TakesNote, ...]:
    """Return what the works of a home take, the weightiest first."""
    return tuple(
        note
        for note in (
            TakesNote(NoteKind.ELECTRICIAN, works, ELECTRICIAN, "", OWN_RULE),
            *_network(works, demand_with_point, demand_with_socket),
            *_lost_pen(works, facts),
            *_papers(works, facts),
            *_smart(works, facts),
            *_cables(works),
            TakesNote(
                NoteKind.CONSENT,
                works,
                "A landlord, a freeholder or an insurer may have to agree first.",
                "common practice, no source",
                Standing.ASSUMED,
            ),
            TAX,
        )
        if note.works
    )


def _network(works: tuple[Upgrade, ...], with_point: HomeDemand, with_socket: HomeDemand | None) -> Iterator[TakesNote]:
    points = tuple(work for work in works if work in POINTS)
    sockets = tuple(work for work in works if work not in POINTS)
    for of, demand in ((points, with_point), (sockets, with_socket)):
        if of and demand is not None:
            yield _network_note(of, demand)


def _network_note(works: tuple[Upgrade, ...], demand: HomeDemand) -> TakesNote:
    notice = demand.notice
    source = "network operators' rules for low-carbon loads, as read in an application form and its questions"
    if notice is None:
        words = "Whether the network operator must be asked is not known: the supply lies beyond the rules read here."
        return TakesNote(NoteKind.NETWORK, works, words, source, NOT_KNOWN, demand.working.steps)
    if notice.action is NetworkAction.APPLY_FIRST:
        words = _ask_first(notice.reasons)
    else:
        words = "The network operator is told within 28 days of connecting; the installer usually does it."
    return TakesNote(NoteKind.NETWORK, works, words, source, Standing.PUBLISHED, demand.working.steps)


def _ask_first(reasons: Sequence[str]) -> str:
    open_ones = [reason.removeprefix(UNKNOWN) for reason in reasons if reason.startswith(UNKNOWN)]
    certain = [reason for reason in reasons if not reason.startswith(UNKNOWN)]
    words = "Ask the network operator before any work"
    words += f": {'; '.join(certain)}." if certain else "."
    return f"{words} Not known so far: {', '.join(open_ones)}." if open_ones else words


def _lost_pen(works: tuple[Upgrade, ...], facts: HomeFacts) -> Iterator[TakesNote]:
    verdict = lost_pen_verdict(facts.earthing, facts.place, LostPenAnswer.NOT_RECORDED, phases=facts.phases)
    if verdict.answer is not Answer.PASSES:
        words = (
            "The car may stand outdoors on an earth that comes with the supply's neutral. If that conductor breaks, the"
            " car's body can become live: the electrician must say which protection against it is fitted."
        )
        yield TakesNote(
            NoteKind.LOST_PEN, works, words, verdict.working.steps[0].source, NOT_KNOWN, verdict.working.steps
        )


def _papers(works: tuple[Upgrade, ...], facts: HomeFacts) -> Iterator[TakesNote]:
    new = tuple(work for work in works if work in NEW_CIRCUIT)
    swaps = tuple(work for work in works if work not in NEW_CIRCUIT)
    if new:
        words = "A new circuit comes with an electrical installation certificate: keep it, and give it in here."
        yield TakesNote(NoteKind.CERTIFICATE, new, words, CERTIFICATES, Standing.TWO_SOURCES)
    if swaps:
        words = "For a socket changed like for like ask for a minor works certificate (good practice)."
        yield TakesNote(NoteKind.CERTIFICATE, swaps, words, CERTIFICATES, Standing.TWO_SOURCES)
    note = notifiable_work(facts.nation)
    yield TakesNote(NoteKind.NOTIFIABLE, works, note.words, note.source, note.standing)


def _smart(works: tuple[Upgrade, ...], facts: HomeFacts) -> Iterator[TakesNote]:
    points = tuple(work for work in works if work in POINTS)
    if facts.nation == Nation.NORTHERN_IRELAND:
        words = (
            "The regulations on smart charge points hold in England, Wales and Scotland, not in Northern Ireland."
            " Whether other rules hold there is not known here."
        )
    else:
        words = (
            "A new charging point for a home must be a smart one: it can be set from afar, measures what it gives and"
            " shows it, is set to stay out of the hours of greatest demand until you change that, and starts up to ten"
            " minutes late at random. A plain lead for a 13 A socket is not under these rules."
        )
    yield TakesNote(NoteKind.SMART, points, words, SMART_POINTS, Standing.PUBLISHED)


def _cables(works: tuple[Upgrade, ...]) -> Iterator[TakesNote]:
    if set(POINTS) <= set(works):
        words = (
            "A cable of its own is always there and quickest; it fits one kind of inlet, and its length is settled"
            " when it is bought. A socket for a loose cable takes the cable of each car and is smaller on the wall; the"
            " cable is a thing to carry, to check and to lose. They charge alike, so the money is the same but for the"
            " quotes; a loose cable, if you have none, comes on top."
        )
        yield TakesNote(NoteKind.CABLE, POINTS, words, "common practice, no source", Standing.ASSUMED)


TAX: Final = TakesNote(
    NoteKind.TAX,
    POINTS,
    "A question for the employer's tax adviser, not an answer: if the employer pays for a charging point at the home of"
    " somebody who drives a car of their own, is its cost taxable pay? For a company car's driver the tax office's"
    " manual tells of no benefit; for an own car it tells of tax on the cost. This is not tax advice.",
    "HM Revenue & Customs, Employment Income Manual EIM23900",
    Standing.PUBLISHED,
)
