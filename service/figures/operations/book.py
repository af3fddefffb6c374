"""The book of today: what is shipped, the operator's own before it, and what it does not know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.figures.domain.book import Figure, FigureBook
from service.figures.domain.kinds import label_of, names_and_keys
from service.figures.domain.shipped import shipped_figures
from service.figures.models import DatedFigure


@dataclass(frozen=True, slots=True)
class BookLine:
    """A figure of the book; ``recorded`` is its row where the operator recorded it, None where it is shipped."""

    figure: Figure
    recorded: DatedFigure | None

    @property
    def label(self) -> str:
        """Return the figure's name as a person reads it."""
        return label_of(self.figure.name, self.figure.key)


@dataclass(frozen=True, slots=True)
class NotKnown:
    """A figure that the book does not know for a day; ``since_on`` is when it stopped or None where it never was."""

    name: str
    key: str
    since_on: date | None

    @property
    def label(self) -> str:
        """Return the figure's name as a person reads it."""
        return label_of(self.name, self.key)


def load_book(session: Session) -> FigureBook:
    """Return the book: what is shipped, then what the operator recorded and has not withdrawn."""
    return FigureBook([*shipped_figures(), *(_figure(row) for row in standing_rows(session))])


def list_lines(session: Session, *, name: str | None = None, on: date | None = None) -> list[BookLine]:
    """Return the figures of a name, or all, in the order of the kinds; with ``on`` those in force that day."""
    rows = standing_rows(session)
    recorded = {(row.name, row.key, row.from_on): row for row in rows}
    book = FigureBook([*shipped_figures(), *(_figure(row) for row in rows)])
    return [
        BookLine(figure, recorded.get((figure.name, figure.key, figure.from_on)))
        for kind, key in names_and_keys()
        if name in (None, kind.name)
        for figure in (book.rows(kind.name, key) if on is None else filter(None, [book.find(kind.name, on, key)]))
    ]


def list_not_known(session: Session, *, on: date, name: str | None = None) -> list[NotKnown]:
    """Return what the book does not know for a day, each with the day it stopped being known."""
    book = load_book(session)
    return [
        NotKnown(kind.name, key, _stopped_on(book.rows(kind.name, key), on))
        for kind, key in names_and_keys()
        if name in (None, kind.name) and book.find(kind.name, on, key) is None
    ]


def _stopped_on(rows: Sequence[Figure], on: date) -> date | None:
    """Return the end of the last figure before a day on which none holds."""
    ends = [row.until_on for row in rows if row.until_on is not None and row.until_on <= on]
    return max(ends, default=None)


def standing_rows(session: Session) -> Sequence[DatedFigure]:
    """Return what the operator recorded and has not withdrawn, in the order of recording."""
    statement = select(DatedFigure).where(DatedFigure.withdrawn_at.is_(None))
    return session.scalars(statement.order_by(DatedFigure.recorded_at, DatedFigure.id)).all()


def _figure(row: DatedFigure) -> Figure:
    return Figure(row.name, row.key, row.from_on, row.until_on, row.value, row.unit, row.standing, row.source)
