"""Stored evidence: inspections, checks, reported signs, tests of leads, rechecks; and how clearance changed by them."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, Integer, Numeric, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.domain.equipment import Place, YesNo
from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.safety.domain.evidence import (
    AcceptanceGround,
    CertificateKind,
    InspectionSource,
    LeadTestKind,
    ObservationCode,
    RecheckItem,
)
from service.safety.domain.levels import Clearance

CHANGED_ITEMS = ("outlet", "lead")
OBSERVATION_REACHES = ("outlet", "circuit", "home")
OVERRIDE_KINDS = ("stricter", "extension")


def _names(table: str, column: str, of: str) -> ForeignKeyConstraint:
    """Return a reference that may be empty; naming the item of a report keeps the item from being removed."""
    return ForeignKeyConstraint(
        ["scheme_id", column], [f"{of}.scheme_id", f"{of}.id"], name=f"fk_{table}_{column.removesuffix('_id')}"
    )


class Inspection(OfHousehold, Base):
    """An electrician's recorded result for one named outlet; corrected by another that supersedes it, never edited."""

    __tablename__ = "inspections"
    outlet_id: Mapped[str] = mapped_column(String(32))
    inspected_on: Mapped[date]
    next_due_on: Mapped[date]
    certificate_number: Mapped[str] = mapped_column(String(60))
    electrician: Mapped[str] = mapped_column(String(120))
    # The body and number of registration as he stated them; nobody here verified it.
    registration: Mapped[str] = mapped_column(String(200), default="")
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    # How it came in. A typed or imported one is a claim: it sets a recheck, and never clears.
    source: Mapped[str] = mapped_column(String(8), default="typed")
    certificate_kind: Mapped[str] = mapped_column(String(16), default="not_known")
    file_id: Mapped[str | None] = mapped_column(String(32))
    circuit_id: Mapped[str | None] = mapped_column(String(32))
    # This outlet and its circuit were inspected and tested: not sampled, and without a limitation.
    was_tested: Mapped[str] = mapped_column(String(12), default="not_known")
    limitation: Mapped[str] = mapped_column(String(500), default="")
    # He was told that a car charges here for hours.
    knew_use: Mapped[str] = mapped_column(String(12), default="not_known")
    # domain.inspection_answers as JSON: each item recorded, or "not tested, because"
    answers: Mapped[dict[str, Any]] = mapped_column(JSON, default=dict)
    # He allows no more than this for hours [A], and why.
    limit_a: Mapped[int | None] = mapped_column(Integer)
    limit_reason: Mapped[str] = mapped_column(String(500), default="")
    # The certificate is in, the readings are still to come.
    is_partial: Mapped[bool] = mapped_column(default=False)
    visit_id: Mapped[str | None] = mapped_column(String(32))
    link_id: Mapped[str | None] = mapped_column(String(32))
    electrician_id: Mapped[str | None] = mapped_column(String(32))
    asked_by: Mapped[str | None] = mapped_column(String(32))
    received_by: Mapped[str] = mapped_column(String(254), default="")
    supersedes_id: Mapped[str | None] = mapped_column(String(32))
    superseded_at: Mapped[datetime | None]
    accepted_at: Mapped[datetime | None]
    accepted_by: Mapped[str | None] = mapped_column(String(32))
    acceptance_ground: Mapped[str | None] = mapped_column(String(12))
    refused_at: Mapped[datetime | None]
    refused_by: Mapped[str | None] = mapped_column(String(32))
    refusal_reason: Mapped[str | None] = mapped_column(String(500))
    __table_args__ = (
        belongs_to("households", "household_id"),
        belongs_to("outlets", "outlet_id"),
        _names("inspections", "file_id", "files"),
        _names("inspections", "visit_id", "visits"),
        _names("inspections", "link_id", "inspection_links"),
        _names("inspections", "electrician_id", "electricians"),
        Index("ix_inspections_household", "scheme_id", "household_id"),
        Index("ix_inspections_outlet", "scheme_id", "outlet_id", "inspected_on"),
        one_of("source", InspectionSource),
        one_of("certificate_kind", CertificateKind),
        one_of("was_tested", YesNo),
        one_of("knew_use", YesNo),
        one_of("acceptance_ground", AcceptanceGround),
    )


class Observation(SchemeScoped, Base):
    """One coded finding of an inspection; open until a date closes it."""

    __tablename__ = "inspection_observations"
    inspection_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    code: Mapped[str] = mapped_column(String(2))
    note: Mapped[str] = mapped_column(String(300), default="")
    closed_on: Mapped[date | None]
    # When the closing was recorded: what was known on a day before it still stood then.
    closed_at: Mapped[datetime | None]
    # What a C1, C2 or FI stops: the outlet, its circuit, or, at board, earthing or supply, all of the home.
    reach: Mapped[str] = mapped_column(String(8), default="outlet")
    __table_args__ = (
        belongs_to("inspections", "inspection_id"),
        UniqueConstraint("scheme_id", "inspection_id", "position"),
        one_of("code", ObservationCode),
        one_of("reach", OBSERVATION_REACHES),
    )


class Recheck(OfHousehold, Base):
    """An item that falls due on a date, with the rule that set the date."""

    __tablename__ = "rechecks"
    item_kind: Mapped[str] = mapped_column(String(12))
    item_id: Mapped[str] = mapped_column(String(32))
    due_on: Mapped[date]
    rule: Mapped[str] = mapped_column(String(200))
    done_on: Mapped[date | None]
    # The row of the table of intervals that set it; empty where a person or a report did.
    rule_name: Mapped[str] = mapped_column(String(40), default="")
    # Days from one to the next of the same item, for the lead times of reminders; None: not known.
    interval_days: Mapped[int | None] = mapped_column(Integer)
    # From a typed or imported date: the document is missing.
    is_claimed: Mapped[bool] = mapped_column(default=False)
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
    # A photo of what was taken for the sign, where the officer kept one.
    withdrawal_file_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("sign_reports", "outlet_id", "outlets"),
        _names("sign_reports", "lead_id", "leads"),
        _names("sign_reports", "circuit_id", "circuits"),
        _names("sign_reports", "check_id", "checks"),
        _names("sign_reports", "withdrawal_file_id", "files"),
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


class ExtensionLead(OfHousehold, Versioned, Base):
    """That an extension lead is used at an outlet, as stated; another use is another row, so each instant is known."""

    __tablename__ = "extension_leads"
    outlet_id: Mapped[str] = mapped_column(String(32))
    label: Mapped[str] = mapped_column(String(80))
    # The identity on it, by which an inspection names it; empty: it bears none.
    mark: Mapped[str] = mapped_column(String(120), default="")
    # None: nobody knows.
    size_mm2: Mapped[Decimal | None] = mapped_column(Numeric(5, 2))
    length_m: Mapped[Decimal | None] = mapped_column(Numeric(5, 1))
    is_coiled: Mapped[str] = mapped_column(String(12), default="not_known")
    is_chained: Mapped[str] = mapped_column(String(12), default="not_known")
    has_several_sockets: Mapped[str] = mapped_column(String(12), default="not_known")
    place: Mapped[str] = mapped_column(String(12), default="not_known")
    is_outdoor_rated: Mapped[str] = mapped_column(String(12), default="not_known")
    # What a reel's label allows unwound [W]; None: no reel, or nothing on it.
    reel_unwound_w: Mapped[int | None] = mapped_column(Integer)
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    # When somebody recorded that it is not used any more.
    ended_at: Mapped[datetime | None]
    ended_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("extension_leads", "outlet_id", "outlets"),
        Index("ix_extension_leads_household", "scheme_id", "household_id"),
        one_of("is_coiled", YesNo),
        one_of("is_chained", YesNo),
        one_of("has_several_sockets", YesNo),
        one_of("place", Place),
        one_of("is_outdoor_rated", YesNo),
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


class SupervisedCharge(OfHousehold, Base):
    """The first charge with somebody awake at home: felt after half an hour, and again after two hours or more."""

    __tablename__ = "supervised_charges"
    outlet_id: Mapped[str] = mapped_column(String(32))
    lead_id: Mapped[str | None] = mapped_column(String(32))
    started_at: Mapped[datetime]
    started_by: Mapped[str | None] = mapped_column(String(32))
    current_a: Mapped[int] = mapped_column(Integer)
    first_felt_at: Mapped[datetime | None]
    first_answer: Mapped[str | None] = mapped_column(String(12))
    later_felt_at: Mapped[datetime | None]
    later_answer: Mapped[str | None] = mapped_column(String(12))
    ended_at: Mapped[datetime | None]
    # Both times cool or just noticeably warm, with the times between them kept.
    is_clear: Mapped[bool] = mapped_column(default=False)
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("supervised_charges", "outlet_id", "outlets"),
        _names("supervised_charges", "lead_id", "leads"),
        Index("ix_supervised_charges_household", "scheme_id", "household_id", "started_at"),
    )


class Override(OfHousehold, Base):
    """A safety officer's decision: an item's answer made stricter, or one due date moved once by at most 14 days."""

    __tablename__ = "overrides"
    kind: Mapped[str] = mapped_column(String(12))
    item_kind: Mapped[str] = mapped_column(String(12))
    item_id: Mapped[str] = mapped_column(String(32))
    # Of the stricter kind: what the item becomes, and the current it keeps [A].
    clearance: Mapped[str | None] = mapped_column(String(16))
    limit_a: Mapped[int | None] = mapped_column(Integer)
    # Of the extending kind: from which date to which, and the visit that is booked.
    due_on: Mapped[date | None]
    new_due_on: Mapped[date | None]
    visit_id: Mapped[str | None] = mapped_column(String(32))
    reason: Mapped[str] = mapped_column(String(500))
    made_at: Mapped[datetime]
    made_by: Mapped[str | None] = mapped_column(String(32))
    ended_at: Mapped[datetime | None]
    ended_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        _names("overrides", "visit_id", "visits"),
        UniqueConstraint("scheme_id", "kind", "item_kind", "item_id", "due_on"),
        Index("ix_overrides_household", "scheme_id", "household_id"),
        one_of("kind", OVERRIDE_KINDS),
        one_of("item_kind", RecheckItem),
        one_of("clearance", Clearance),
    )


class ShownAnswer(OfHousehold, Base):
    """A safety answer as it stood on somebody's screen: appended when it differs from the last one they saw."""

    __tablename__ = "shown_answers"
    account_id: Mapped[str] = mapped_column(String(32))
    item_kind: Mapped[str] = mapped_column(String(8))
    item_id: Mapped[str] = mapped_column(String(32))
    clearance: Mapped[str] = mapped_column(String(16))
    fingerprint: Mapped[str] = mapped_column(String(64))
    answer: Mapped[dict[str, Any]] = mapped_column(JSON)
    shown_at: Mapped[datetime]
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_shown_answers_item", "scheme_id", "household_id", "account_id", "item_kind", "item_id", "shown_at"),
        one_of("item_kind", CHANGED_ITEMS),
        one_of("clearance", Clearance),
    )


class SchemeRule(SchemeScoped, Base):
    """A scheme's own, stricter figure for a rule, from a day on."""

    __tablename__ = "scheme_rules"
    rule_name: Mapped[str] = mapped_column(String(40))
    interval_days: Mapped[int | None] = mapped_column(Integer)
    interval_months: Mapped[int | None] = mapped_column(Integer)
    from_on: Mapped[date]
    reason: Mapped[str] = mapped_column(String(500), default="")
    made_at: Mapped[datetime]
    made_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (UniqueConstraint("scheme_id", "rule_name", "from_on"),)
