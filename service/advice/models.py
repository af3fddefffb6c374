"""What a home keeps for its verdicts: the appliances it could move, drawings of its drive, quotes for works."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, Index, Integer, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.households.models import OfHousehold
from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to
from service.infrastructure.db.types import PackedJson


class ApplianceChoice(OfHousehold, Versioned, Base):
    """Which appliances a home would move, and when somebody is up and at home; one row a home."""

    __tablename__ = "appliance_choices"
    # [{"kind": "dishwasher", "runs_a_week": 5, ...}, ...]
    appliances: Mapped[list[dict[str, Any]]] = mapped_column(JSON, default=list)
    # [[from, until], ...] local minutes of a day in which somebody is awake at home
    awake: Mapped[list[list[int]]] = mapped_column(JSON, default=list)
    changed_at: Mapped[datetime]
    __table_args__ = (belongs_to("households", "household_id"), UniqueConstraint("scheme_id", "household_id"))


class Drive(OfHousehold, Versioned, Base):
    """A drawing of where cars stand at a home and where an outlet could go."""

    __tablename__ = "drives"
    label: Mapped[str] = mapped_column(String(120))
    drawing: Mapped[dict[str, Any]] = mapped_column(JSON)
    created_at: Mapped[datetime]
    created_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_drives_household", "scheme_id", "household_id"),
    )


class UpgradeQuote(OfHousehold, Versioned, Base):
    """What a firm asks for one kind of work at a home, VAT included."""

    __tablename__ = "upgrade_quotes"
    kind: Mapped[str] = mapped_column(String(24))
    cost_pence: Mapped[int] = mapped_column(Integer)
    quoted_on: Mapped[date]
    note: Mapped[str] = mapped_column(String(300), default="")
    created_at: Mapped[datetime]
    created_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_upgrade_quotes_household", "scheme_id", "household_id"),
    )


class UpgradeStanding(SchemeScoped, Base):
    """How a home's week was planned with each work, its id being the home's: kept for the scheme's list."""

    __tablename__ = "upgrade_standings"
    # The home's count of changes and the Monday of the week: from another count or week it is reckoned anew.
    change_counter: Mapped[int] = mapped_column(Integer)
    week_on: Mapped[date]
    reckoned_at: Mapped[datetime]
    document: Mapped[dict[str, Any]] = mapped_column(PackedJson())
    __table_args__ = (belongs_to("households", "id"),)
