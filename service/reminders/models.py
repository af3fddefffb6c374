"""Stored reminders: one to one person for one due date at one lead time."""

from datetime import date, datetime

from sqlalchemy import Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, belongs_to


class Reminder(OfHousehold, Base):
    """Asked for once by its key, however often the clock asks."""

    __tablename__ = "reminders"
    kind: Mapped[str] = mapped_column(String(20))
    subject_id: Mapped[str] = mapped_column(String(32))
    due_on: Mapped[date]
    # Days before the due date; negative once it is overdue.
    step: Mapped[int] = mapped_column(Integer)
    recipient: Mapped[str] = mapped_column(String(32))
    created_at: Mapped[datetime]
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "kind", "subject_id", "due_on", "step", "recipient"),
    )
