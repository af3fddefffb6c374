"""Stored answers of the home survey, and consents: appended, the newest of each counts."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, belongs_to, one_of
from service.safety.domain.survey_steps import ConsentAnswer, ConsentKind, SurveyStep


class SurveyAnswers(OfHousehold, Base):
    """One step of the survey as it was saved."""

    __tablename__ = "survey_answers"
    step: Mapped[str] = mapped_column(String(12))
    # Which outlet or lead a step is about; None for the home as a whole.
    item_id: Mapped[str | None] = mapped_column(String(32))
    answers: Mapped[dict[str, Any]] = mapped_column(JSON)
    saved_at: Mapped[datetime]
    saved_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_survey_answers_household", "scheme_id", "household_id", "saved_at"),
        one_of("step", SurveyStep),
    )


class Consent(OfHousehold, Base):
    """What a landlord, freeholder or insurer answered, as the member states it."""

    __tablename__ = "consents"
    kind: Mapped[str] = mapped_column(String(12))
    answer: Mapped[str] = mapped_column(String(12))
    given_on: Mapped[date | None]
    file_id: Mapped[str | None] = mapped_column(String(32))
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        ForeignKeyConstraint(["scheme_id", "file_id"], ["files.scheme_id", "files.id"], name="fk_consents_file"),
        Index("ix_consents_household", "scheme_id", "household_id", "recorded_at"),
        one_of("kind", ConsentKind),
        one_of("answer", ConsentAnswer),
    )
