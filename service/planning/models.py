"""Stored plans, the pointer to the current one, and runs that replan many homes in chunks."""

from datetime import datetime
from typing import Any

from sqlalchemy import (
    JSON,
    BigInteger,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    String,
    Text,
    UniqueConstraint,
)
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.infrastructure.db.types import PackedJson, database_now_ms

RUN_REASONS = ("tariff_change", "prices_arrived", "new_day", "household_change")
CHUNK_STATES = ("waiting", "claimed", "done", "given_up")


class Plan(SchemeScoped, Base):
    """What a household's vehicles draw over seven local days, with the working that led to it.

    A plan made with very many others is stored brief: its schedule alone says what to do, and what is shown of it
    (document, prices, working) is worked out when somebody reads it.
    """

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
    document: Mapped[dict[str, Any] | None] = mapped_column(JSON)
    # Each vehicle's charge at the start and its blocks: what later plans carry forward from.
    schedule: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    # Behind the week's chart, and the working: written often, read seldom.
    prices: Mapped[dict[str, Any] | None] = mapped_column(PackedJson)
    working: Mapped[list[dict[str, Any]] | None] = mapped_column(PackedJson)
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


class PlannerInputs(SchemeScoped, Base):
    """A home's plan and all that the solver needs of it but prices, as one short row: to plan very many at new prices.

    The row's id is the household's id. It holds while ``plan_id`` is the home's current plan and the home has not
    changed since that was made.
    """

    __tablename__ = "planner_inputs"
    plan_id: Mapped[str] = mapped_column(String(32))
    # Homes with the same key pay the same prices; the fingerprint is of those the plan was made at.
    price_key: Mapped[str] = mapped_column(String(32))
    prices_fingerprint: Mapped[str] = mapped_column(String(32))
    # What the schedule says of the car besides times and charge, as JSON text: it is joined to others unread.
    car: Mapped[str] = mapped_column(Text)
    packed: Mapped[bytes] = mapped_column(LargeBinary)
    __table_args__ = (
        ForeignKeyConstraint(
            ["scheme_id", "id"],
            ["households.scheme_id", "households.id"],
            name="fk_planner_inputs_household",
            ondelete="CASCADE",
        ),
        # Kept in the order of its key: a chunk of a run is neighbours in it, and writes whole pages, not one a home.
        {"sqlite_with_rowid": False},
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


class WhatIf(SchemeScoped, Versioned, Base):
    """A home as it might be: what is changed of it for a comparison, and what came out."""

    __tablename__ = "what_ifs"
    household_id: Mapped[str] = mapped_column(String(32))
    label: Mapped[str] = mapped_column(String(120))
    changes: Mapped[dict[str, Any]] = mapped_column(JSON)
    result: Mapped[dict[str, Any] | None] = mapped_column(JSON)
    created_at: Mapped[datetime]
    created_by: Mapped[str | None] = mapped_column(String(32))
    is_shared: Mapped[bool] = mapped_column(default=False)
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_what_ifs_household", "scheme_id", "household_id"),
    )
