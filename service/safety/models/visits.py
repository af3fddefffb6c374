"""Stored visits of electricians: who may come, when, by which one-time link the result goes in."""

from datetime import date, datetime, time
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.safety.domain.visit_states import LinkKind, VisitState


def _names(table: str, column: str, of: str) -> ForeignKeyConstraint:
    return ForeignKeyConstraint(
        ["scheme_id", column], [f"{of}.scheme_id", f"{of}.id"], name=f"fk_{table}_{column.removesuffix('_id')}"
    )


class Electrician(SchemeScoped, Versioned, Base):
    """Somebody on the scheme's list, with what they stated of their competence; nobody here verified it."""

    __tablename__ = "electricians"
    name: Mapped[str] = mapped_column(String(120))
    firm: Mapped[str] = mapped_column(String(120), default="")
    email: Mapped[str] = mapped_column(String(254))
    telephone: Mapped[str] = mapped_column(String(40), default="")
    # The body and number of registration, as stated.
    registration: Mapped[str] = mapped_column(String(200), default="")
    listed_at: Mapped[datetime]
    listed_by: Mapped[str | None] = mapped_column(String(32))
    # Who last set the address: what comes from it counts at once only where another person made the link.
    address_by: Mapped[str | None] = mapped_column(String(32))
    # Off the list from then on: what they recorded before keeps its acceptance.
    unlisted_at: Mapped[datetime | None]
    __table_args__ = (UniqueConstraint("scheme_id", "email"),)


class Visit(OfHousehold, Versioned, Base):
    """An inspection that was asked for, from asking to acceptance."""

    __tablename__ = "visits"
    outlet_ids: Mapped[list[str]] = mapped_column(JSON, default=list)
    state: Mapped[str] = mapped_column(String(12), default="asked")
    reason: Mapped[str] = mapped_column(String(300), default="")
    electrician_id: Mapped[str | None] = mapped_column(String(32))
    agreed_on: Mapped[date | None]
    agreed_from: Mapped[time | None]
    agreed_until: Mapped[time | None]
    cost_pence: Mapped[int | None] = mapped_column(Integer)
    asked_at: Mapped[datetime]
    asked_by: Mapped[str | None] = mapped_column(String(32))
    ended_at: Mapped[datetime | None]
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("visits", "electrician_id", "electricians"),
        Index("ix_visits_household", "scheme_id", "household_id"),
        Index("ix_visits_state", "scheme_id", "state", "agreed_on"),
        one_of("state", VisitState),
    )


class VisitStep(SchemeScoped, Base):
    """That a visit moved on: appended, so that who did what when can be read later."""

    __tablename__ = "visit_steps"
    visit_id: Mapped[str] = mapped_column(String(32))
    state: Mapped[str] = mapped_column(String(12))
    happened_at: Mapped[datetime]
    account_id: Mapped[str | None] = mapped_column(String(32))
    link_id: Mapped[str | None] = mapped_column(String(32))
    note: Mapped[str] = mapped_column(String(300), default="")
    __table_args__ = (
        belongs_to("visits", "visit_id"),
        Index("ix_visit_steps_visit", "scheme_id", "visit_id", "happened_at"),
        one_of("state", VisitState),
    )


class InspectionLink(SchemeScoped, Base):
    """A secret address for one electrician: it expires, can be revoked, and each visit of it is spent by submitting."""

    __tablename__ = "inspection_links"
    kind: Mapped[str] = mapped_column(String(12), default="visit")
    token_hash: Mapped[str] = mapped_column(String(64))
    electrician_id: Mapped[str | None] = mapped_column(String(32))
    sent_to: Mapped[str] = mapped_column(String(254))
    made_at: Mapped[datetime]
    made_by: Mapped[str | None] = mapped_column(String(32))
    # Whoever made it was told its address: what comes in by it never counts by itself.
    is_told: Mapped[bool] = mapped_column(default=True)
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    __table_args__ = (
        _names("inspection_links", "electrician_id", "electricians"),
        Index("ix_inspection_links_token", "token_hash"),
        Index("ix_inspection_links_made", "scheme_id", "made_at"),
        one_of("kind", LinkKind),
    )


class LinkedVisit(OfHousehold, Base):
    """One home of a link: open from its day on, with the draft as it was last saved, until it is spent."""

    __tablename__ = "linked_visits"
    link_id: Mapped[str] = mapped_column(String(32))
    visit_id: Mapped[str] = mapped_column(String(32))
    opens_on: Mapped[date]
    draft: Mapped[dict[str, Any]] = mapped_column(JSON, default=dict)
    draft_saved_at: Mapped[datetime | None]
    draft_version: Mapped[int] = mapped_column(Integer, default=0)
    spent_at: Mapped[datetime | None]
    # Of a link for a correction: the inspection that the new one supersedes.
    corrects_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("inspection_links", "link_id"),
        belongs_to("visits", "visit_id"),
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "link_id", "visit_id"),
    )
