"""Stored plans, the pointer to the current one, and runs that replan many homes in chunks."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, BigInteger, ForeignKeyConstraint, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of
from service.infrastructure.db.types import PackedJson, database_now_ms

RUN_REASONS = ("tariff_change", "prices_arrived", "new_day", "household_change")
CHUNK_STATES = ("waiting", "claimed", "done", "given_up")


class Plan(SchemeScoped, Base):
    """What a household's vehicles draw over seven local days, with the working that led to it."""

    __tablename__ = "plans"
    household_id: Mapped[str] = mapped_column(String(32))
    # What would give this very plan again; unique, so a repeat finds its row.
    input_fingerprint: Mapped[str] = mapped_column(String(64))
    # The inputs without the instant of planning: equal terms need no new plan.
    terms_fingerprint: Mapped[str] = mapped_column(String(64))
    computed_at: Mapped[datetime]
    first_slot: Mapped[int] = mapped_column(Integer)
    end_slot: Mapped[int] = mapped_column(Integer)
    # What is shown, in the shape the API documents.
    document: Mapped[dict[str, Any]] = mapped_column(JSON)
    # Each vehicle's charge at the start and its blocks: what later plans carry forward from.
    schedule: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    # Behind the week's chart, and the working: written often, read seldom.
    prices: Mapped[dict[str, Any]] = mapped_column(PackedJson)
    working: Mapped[list[dict[str, Any]]] = mapped_column(PackedJson)
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id", "input_fingerprint"),
    )


class CurrentPlan(SchemeScoped, Base):
    """Which plan holds for a household, from which state of the home; and its totals for lists.

    The row's id is the household's id: one pointer a household.
    """

    __tablename__ = "current_plans"
    plan_id: Mapped[str] = mapped_column(String(32))
    change_counter: Mapped[int] = mapped_column(Integer)
    as_of_slot: Mapped[int] = mapped_column(Integer)
    planned_at: Mapped[datetime]
    # The local day the plan starts on, as the slot of its midnight: older ones are due again.
    day_slot: Mapped[int] = mapped_column(Integer)
    energy_wh: Mapped[int] = mapped_column(Integer)
    cost_up: Mapped[int | None] = mapped_column(BigInteger)
    on_arrival_cost_up: Mapped[int | None] = mapped_column(BigInteger)
    short_wh: Mapped[int] = mapped_column(Integer)
    __table_args__ = (
        ForeignKeyConstraint(
            ["scheme_id", "id"],
            ["households.scheme_id", "households.id"],
            name="fk_current_plans_household",
            ondelete="CASCADE",
        ),
        belongs_to("plans", "plan_id"),
        Index("ix_current_plans_day", "day_slot"),
    )


class ReplanRun(SchemeScoped, Base):
    """One reason to replan many homes; unique by its occasion, so asked twice it is one run."""

    __tablename__ = "replan_runs"
    occasion: Mapped[str] = mapped_column(String(120))
    reason: Mapped[str] = mapped_column(String(20))
    label: Mapped[str] = mapped_column(String(160))
    version_id: Mapped[str | None] = mapped_column(String(32))
    as_of_slot: Mapped[int] = mapped_column(Integer)
    created_at: Mapped[datetime]
    finished_at: Mapped[datetime | None]
    household_count: Mapped[int] = mapped_column(Integer)
    chunk_count: Mapped[int] = mapped_column(Integer)
    __table_args__ = (
        UniqueConstraint("scheme_id", "occasion"),
        Index("ix_replan_runs_version", "scheme_id", "version_id"),
        one_of("reason", RUN_REASONS),
    )


class ReplanChunk(SchemeScoped, Base):
    """A few of a run's households: claimed, planned and written in one go."""

    __tablename__ = "replan_chunks"
    run_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    household_ids: Mapped[list[str]] = mapped_column(JSON)
    household_count: Mapped[int] = mapped_column(Integer)
    status: Mapped[str] = mapped_column(String(12), default="waiting")
    attempts: Mapped[int] = mapped_column(Integer, default=0)
    not_before_ms: Mapped[int] = mapped_column(BigInteger, default=database_now_ms())
    lease_until_ms: Mapped[int] = mapped_column(BigInteger, default=0)
    token: Mapped[int] = mapped_column(Integer, default=0)
    changed_count: Mapped[int] = mapped_column(Integer, default=0)
    moved_count: Mapped[int] = mapped_column(Integer, default=0)
    reason: Mapped[str | None] = mapped_column(String(300))
    __table_args__ = (
        belongs_to("replan_runs", "run_id"),
        UniqueConstraint("scheme_id", "run_id", "position"),
        Index("ix_replan_chunks_claim", "status", "not_before_ms"),
        one_of("status", CHUNK_STATES),
    )
