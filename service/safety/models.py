"""Stored evidence: inspections with their observations, and the rechecks that fall due."""

from datetime import date, datetime

from sqlalchemy import Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of
from service.safety.domain.evidence import ObservationCode, RecheckItem


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
