"""Stored evidence: inspections, checks, reported signs, tests of leads, rechecks; and how clearance changed by them."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of
from service.safety.domain.evidence import LeadTestKind, ObservationCode, RecheckItem
from service.safety.domain.levels import Clearance

CHANGED_ITEMS = ("outlet", "lead")


def _names(table: str, column: str, of: str) -> ForeignKeyConstraint:
    """Return a reference that may be empty; naming the item of a report keeps the item from being removed."""
    return ForeignKeyConstraint(
        ["scheme_id", column], [f"{of}.scheme_id", f"{of}.id"], name=f"fk_{table}_{column.removesuffix('_id')}"
    )


class Inspection(OfHousehold, Base):
    """An electrician's recorded result for one named outlet."""

    __tablename__ = "inspections"
    outlet_id: Mapped[str] = mapped_column(String(32))
    inspected_on: Mapped[date]
    next_due_on: Mapped[date]
    certificate_number: Mapped[str] = mapped_column(String(60))
    electrician: Mapped[str] = mapped_column(String(120))
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        belongs_to("outlets", "outlet_id"),
        Index("ix_inspections_household", "scheme_id", "household_id"),
        Index("ix_inspections_outlet", "scheme_id", "outlet_id", "inspected_on"),
    )


class Observation(SchemeScoped, Base):
    """One coded finding of an inspection; open until a date closes it."""

    __tablename__ = "inspection_observations"
    inspection_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    code: Mapped[str] = mapped_column(String(2))
    note: Mapped[str] = mapped_column(String(300), default="")
    closed_on: Mapped[date | None]
    __table_args__ = (
        belongs_to("inspections", "inspection_id"),
        UniqueConstraint("scheme_id", "inspection_id", "position"),
        one_of("code", ObservationCode),
    )


class Recheck(OfHousehold, Base):
    """An item that falls due on a date, with the rule that set the date."""

    __tablename__ = "rechecks"
    item_kind: Mapped[str] = mapped_column(String(12))
    item_id: Mapped[str] = mapped_column(String(32))
    due_on: Mapped[date]
    rule: Mapped[str] = mapped_column(String(200))
    done_on: Mapped[date | None]
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "item_kind", "item_id", "due_on"),
        Index("ix_rechecks_household", "scheme_id", "household_id"),
        Index("ix_rechecks_open", "done_on", "due_on"),
        one_of("item_kind", RecheckItem),
    )


class ClearanceStatus(OfHousehold, Base):
    """The household's worst clearance as last derived, for lists; rebuilt from evidence, never trusted over it."""

    __tablename__ = "clearance_status"
    clearance: Mapped[str] = mapped_column(String(16))
    valid_until_on: Mapped[date | None]
    next_recheck_on: Mapped[date | None]
    derived_at: Mapped[datetime]
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id"),
        Index("ix_clearance_status_list", "scheme_id", "clearance"),
    )


class Check(OfHousehold, Base):
    """A member's look at an outlet and a lead, answer by answer."""

    __tablename__ = "checks"
    outlet_id: Mapped[str] = mapped_column(String(32))
    lead_id: Mapped[str | None] = mapped_column(String(32))
    made_at: Mapped[datetime]
    made_by: Mapped[str | None] = mapped_column(String(32))
    # [[question, answer], ...] in the order given
    answers: Mapped[list[Any]] = mapped_column(JSON)
    is_clear: Mapped[bool]
    note: Mapped[str] = mapped_column(String(500), default="")
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("checks", "outlet_id", "outlets"),
        _names("checks", "lead_id", "leads"),
        Index("ix_checks_household", "scheme_id", "household_id", "made_at"),
    )


class SignReport(OfHousehold, Base):
    """A bad sign or an incident, as reported; a mistaken one is withdrawn and stays."""

    __tablename__ = "sign_reports"
    # A name of the table of signs; the table is data, so no constraint repeats it.
    sign: Mapped[str] = mapped_column(String(32))
    outlet_id: Mapped[str | None] = mapped_column(String(32))
    lead_id: Mapped[str | None] = mapped_column(String(32))
    circuit_id: Mapped[str | None] = mapped_column(String(32))
    # All it acted on when it was reported: what a later edit of the home does not take away.
    outlet_ids: Mapped[list[str]] = mapped_column(JSON, default=list)
    lead_ids: Mapped[list[str]] = mapped_column(JSON, default=list)
    seen_at: Mapped[datetime]
    reported_at: Mapped[datetime]
    reported_by: Mapped[str | None] = mapped_column(String(32))
    check_id: Mapped[str | None] = mapped_column(String(32))
    note: Mapped[str] = mapped_column(String(500), default="")
    withdrawn_at: Mapped[datetime | None]
    withdrawn_by: Mapped[str | None] = mapped_column(String(32))
    withdrawal_reason: Mapped[str | None] = mapped_column(String(500))
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("sign_reports", "outlet_id", "outlets"),
        _names("sign_reports", "lead_id", "leads"),
        _names("sign_reports", "circuit_id", "circuits"),
        _names("sign_reports", "check_id", "checks"),
        Index("ix_sign_reports_household", "scheme_id", "household_id", "reported_at"),
    )


class LeadTest(OfHousehold, Base):
    """A recorded test of a lead, or that a new one took its place."""

    __tablename__ = "lead_tests"
    lead_id: Mapped[str] = mapped_column(String(32))
    kind: Mapped[str] = mapped_column(String(12))
    is_passed: Mapped[bool]
    done_at: Mapped[datetime]
    tested_by: Mapped[str] = mapped_column(String(120))
    reference: Mapped[str] = mapped_column(String(120), default="")
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("lead_tests", "lead_id", "leads"),
        Index("ix_lead_tests_household", "scheme_id", "household_id"),
        one_of("kind", LeadTestKind),
    )


class ClearanceChange(OfHousehold, Base):
    """That a record changed what evidence says of an outlet or lead: appended, never edited."""

    __tablename__ = "clearance_changes"
    item_kind: Mapped[str] = mapped_column(String(8))
    item_id: Mapped[str] = mapped_column(String(32))
    was: Mapped[str] = mapped_column(String(16))
    becomes: Mapped[str] = mapped_column(String(16))
    changed_at: Mapped[datetime]
    # Which record did it: a kind, as operations name it, and the row's id.
    cause_kind: Mapped[str] = mapped_column(String(20))
    cause_id: Mapped[str] = mapped_column(String(32))
    working: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_clearance_changes_item", "scheme_id", "household_id", "changed_at"),
        one_of("item_kind", CHANGED_ITEMS),
        one_of("was", Clearance),
        one_of("becomes", Clearance),
    )
