"""The operator records figures and withdraws them; nothing is ever deleted, so each answer can be traced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.figures.domain.book import Figure
from service.figures.domain.recording import RecordedFigure
from service.figures.domain.shipped import shipped_figures
from service.figures.models import DatedFigure
from service.figures.operations.book import standing_rows

BY_LENGTH_MAX = 120


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of a table: rows recorded, and how many stood there already just so."""

    recorded: tuple[DatedFigure, ...]
    known: int


def record_figure(session: Session, figure: RecordedFigure, *, by: str, at: datetime) -> DatedFigure:
    """Record one figure; of two from the same day the one recorded later holds.

    Raises
    ------
    Rejected
        If nobody is named as the one who records it.
    Conflict
        If the very same figure stands there already.
    """
    imported = import_figures(session, [figure], by=by, at=at)
    if not imported.recorded:
        raise Conflict("This figure stands in the book already, word for word.")
    return imported.recorded[0]


def import_figures(session: Session, figures: Sequence[RecordedFigure], *, by: str, at: datetime) -> Imported:
    """Record a whole table; a figure that stands there word for word is passed over, so a repeat adds nothing."""
    named = _named(by)
    standing: list[Figure | DatedFigure] = [*shipped_figures(), *standing_rows(session)]
    held = {(each.name, each.key, each.from_on): _words(each) for each in standing}
    rows = [
        DatedFigure(
            name=each.name, key=each.key, from_on=each.from_on, until_on=each.until_on, value=each.value,
            unit=each.unit, standing=each.standing, source=each.source, recorded_at=at, recorded_by=named,
        )
        for each in figures
        if held.get((each.name, each.key, each.from_on)) != _words(each)
    ]
    session.add_all(rows)
    session.flush()
    return Imported(tuple(rows), len(figures) - len(rows))


def withdraw_figure(session: Session, figure_id: str, *, by: str, at: datetime) -> DatedFigure:
    """Take a recorded figure out of the book; its row stays with who withdrew it and when.

    Raises
    ------
    NotFound
        If no figure was recorded under that id; shipped ones have none, a figure recorded from the same day
        stands before them.
    Conflict
        If it has been withdrawn before.
    """
    named = _named(by)
    row = session.get(DatedFigure, figure_id)
    if row is None:
        raise NotFound("No figure was recorded under this id.")
    if row.withdrawn_at is not None:
        raise Conflict("This figure has been withdrawn before.")
    row.withdrawn_at, row.withdrawn_by = at, named
    session.flush()
    return row


def list_withdrawn(session: Session) -> Sequence[DatedFigure]:
    """Return what was recorded and withdrawn, in the order of recording."""
    statement = select(DatedFigure).where(DatedFigure.withdrawn_at.is_not(None))
    return session.scalars(statement.order_by(DatedFigure.recorded_at, DatedFigure.id)).all()


def _words(figure: Figure | DatedFigure) -> tuple[object, ...]:
    return figure.until_on, figure.value, figure.unit, str(figure.standing), figure.source


def _named(by: str) -> str:
    named = by.strip()
    if not 1 <= len(named) <= BY_LENGTH_MAX or not named.isprintable():
        raise Rejected(Fault("by", by, f"must name who records it, in 1 to {BY_LENGTH_MAX} characters"))
    return named
