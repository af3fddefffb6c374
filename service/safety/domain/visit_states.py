"""The states of a visit and how it may move between them; the kinds of link."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from service.common.errors import Fault, Rejected


class VisitState(StrEnum):
    """Where a visit stands."""

    ASKED = "asked"
    DATE_AGREED = "date_agreed"
    NO_ACCESS = "no_access"
    DONE = "done"
    RECORDED = "recorded"
    ACCEPTED = "accepted"
    CANCELLED = "cancelled"


class LinkKind(StrEnum):
    """What a link is for."""

    VISIT = "visit"
    CORRECTION = "correction"


_ASKED, _AGREED, _NO_ACCESS = VisitState.ASKED, VisitState.DATE_AGREED, VisitState.NO_ACCESS
_DONE, _RECORDED, _CANCELLED = VisitState.DONE, VisitState.RECORDED, VisitState.CANCELLED
MOVES: Final[Mapping[VisitState, tuple[VisitState, ...]]] = MappingProxyType(
    {
        _ASKED: (_AGREED, _CANCELLED),
        # Agreed again is another day; asked again: the day fell through.
        _AGREED: (_AGREED, _ASKED, _NO_ACCESS, _DONE, _CANCELLED),
        # He may still have got in: what he records then is as good.
        _NO_ACCESS: (_ASKED, _AGREED, _DONE, _CANCELLED),
        _DONE: (_ASKED, _RECORDED),
        # Asked again: what was recorded was refused.
        _RECORDED: (_ASKED, VisitState.ACCEPTED),
        VisitState.ACCEPTED: (),
        _CANCELLED: (),
    }
)
ENDED: Final = frozenset({VisitState.ACCEPTED, VisitState.CANCELLED})
AWAITED: Final = frozenset({_ASKED, _AGREED, _NO_ACCESS})
"""The electrician is still to come: it may be cancelled, and a link may be sent once a day is agreed."""

TAKEN_BY_HAND: Final = (_NO_ACCESS, _DONE, _CANCELLED, _ASKED)
"""The steps that a person takes; agreeing a date, recording and accepting are acts of their own."""


def check_move(was: VisitState, becomes: VisitState, *, field: str = "state") -> None:
    """Refuse a move that a visit cannot make; raises ``Rejected`` with what it can become."""
    if becomes not in MOVES[was]:
        possible = ", ".join(state.value for state in MOVES[was])
        rule = f"a visit that is {was.value} can become {possible}" if possible else f"a visit that is {was.value} ends"
        raise Rejected(Fault(field, becomes.value, rule))
