"""Stored figures: what the operator added to those that are shipped."""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import Index, Numeric, String
from sqlalchemy.orm import Mapped, mapped_column

from service.common.ids import new_id
from service.figures.domain.book import Standing
from service.infrastructure.db.base import Base, one_of


class DatedFigure(Base):
    """One figure from a day on, as the operator recorded it: it stands before a shipped one of that name and day."""

    __tablename__ = "dated_figures"
    id: Mapped[str] = mapped_column(String(32), primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(String(60))
    key: Mapped[str] = mapped_column(String(60), default="")
    from_on: Mapped[date]
    until_on: Mapped[date | None]
    value: Mapped[Decimal] = mapped_column(Numeric(16, 6))
    unit: Mapped[str] = mapped_column(String(40))
    standing: Mapped[str] = mapped_column(String(16))
    source: Mapped[str] = mapped_column(String(400))
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str] = mapped_column(String(120))
    # Withdrawn is out of the book; the row stays.
    withdrawn_at: Mapped[datetime | None]
    withdrawn_by: Mapped[str | None] = mapped_column(String(120))
    __table_args__ = (
        Index("ix_dated_figures_name", "name", "key", "from_on"),
        one_of("standing", Standing),
    )
