"""Stored rows of reimbursement: how cars are held, the scheme's rules, trips, claims, statements."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import (
    Connection,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    Numeric,
    String,
    UniqueConstraint,
    event,
    or_,
    select,
)
from sqlalchemy.orm import Mapped, mapped_column

from service.common.errors import Conflict
from service.households.models import OfHousehold, Vehicle
from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.infrastructure.db.types import PackedJson
from service.reimbursement.domain.kinds import ClaimState, CompanyMethod, HeldAs, MessageKind, TripSource


class CarHolding(OfHousehold, Base):
    """Whose car a vehicle is from a day on: it decides which rate its business miles have."""

    __tablename__ = "car_holdings"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    from_on: Mapped[date]
    held_as: Mapped[str] = mapped_column(String(16))
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "vehicle_id", "from_on"),
        one_of("held_as", HeldAs),
    )


class ReimbursementRule(SchemeScoped, Base):
    """How the scheme pays from a day on; appended, never edited, so that a month keeps its rule."""

    __tablename__ = "reimbursement_rules"
    from_on: Mapped[date]
    company_method: Mapped[str] = mapped_column(String(16))
    # The most that is paid for one member's month; None: no cap.
    monthly_cap_pence: Mapped[int | None] = mapped_column(Integer)
    # Days after a month's end until which its trips may be claimed; None: no limit.
    claim_within_days: Mapped[int | None] = mapped_column(Integer)
    recorded_at: Mapped[datetime]
    recorded_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        Index("ix_reimbursement_rules_from", "scheme_id", "from_on"),
        one_of("company_method", CompanyMethod),
    )


class Claim(OfHousehold, Versioned, Base):
    """One member's business trips of a month and what is due for them; a correction names the claim it corrects."""

    __tablename__ = "claims"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id"))
    month_on: Mapped[date]
    # The first claim of a month is 1, a correction is the next.
    ordinal: Mapped[int] = mapped_column(Integer, default=1)
    state: Mapped[str] = mapped_column(String(12))
    corrects_id: Mapped[str | None] = mapped_column(String(32))
    miles: Mapped[Decimal] = mapped_column(Numeric(9, 1))
    total_pence: Mapped[int] = mapped_column(Integer)
    # Lines, the figures they were worked out with, and their working, as they stood when it was sent.
    reckoning: Mapped[dict[str, Any] | None] = mapped_column(PackedJson)
    created_at: Mapped[datetime]
    sent_at: Mapped[datetime | None]
    decided_at: Mapped[datetime | None]
    decided_by: Mapped[str | None] = mapped_column(String(32))
    statement_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        ForeignKeyConstraint(
            ["scheme_id", "corrects_id"], ["claims.scheme_id", "claims.id"], name="fk_claims_corrects"
        ),
        ForeignKeyConstraint(
            ["scheme_id", "statement_id"], ["statements.scheme_id", "statements.id"], name="fk_claims_statement"
        ),
        UniqueConstraint("scheme_id", "account_id", "month_on", "ordinal"),
        Index("ix_claims_month", "scheme_id", "month_on", "state"),
        one_of("state", ClaimState),
    )


class BusinessTrip(OfHousehold, Versioned, Base):
    """One business journey: when, from where to where, why, how far; it belongs to one claim at most."""

    __tablename__ = "business_trips"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id"))
    vehicle_id: Mapped[str] = mapped_column(String(32))
    on_date: Mapped[date]
    origin: Mapped[str] = mapped_column(String(120))
    destination: Mapped[str] = mapped_column(String(120))
    reason: Mapped[str] = mapped_column(String(200))
    miles: Mapped[Decimal] = mapped_column(Numeric(7, 1))
    source: Mapped[str] = mapped_column(String(12))
    # The planned journey it was; journeys are forgotten after a month, the trip stays.
    journey_id: Mapped[str | None] = mapped_column(String(32))
    claim_id: Mapped[str | None] = mapped_column(String(32))
    created_at: Mapped[datetime]
    __table_args__ = (
        belongs_to("households", "household_id"),
        belongs_to("vehicles", "vehicle_id"),
        ForeignKeyConstraint(
            ["scheme_id", "claim_id"], ["claims.scheme_id", "claims.id"], name="fk_business_trips_claim"
        ),
        UniqueConstraint("scheme_id", "account_id", "journey_id"),
        Index("ix_business_trips_account", "scheme_id", "account_id", "on_date"),
        Index("ix_business_trips_claim", "scheme_id", "claim_id"),
        one_of("source", TripSource),
    )


class MilesElsewhere(SchemeScoped, Base):
    """Business miles in an own car that a member was already paid for in a tax year before this service."""

    __tablename__ = "miles_elsewhere"
    account_id: Mapped[str] = mapped_column(String(32), ForeignKey("accounts.id"))
    tax_year_from_on: Mapped[date]
    miles: Mapped[Decimal] = mapped_column(Numeric(9, 1))
    recorded_at: Mapped[datetime]
    __table_args__ = (UniqueConstraint("scheme_id", "account_id", "tax_year_from_on"),)


class ClaimMessage(SchemeScoped, Base):
    """One message between who claims and who approves."""

    __tablename__ = "claim_messages"
    claim_id: Mapped[str] = mapped_column(String(32))
    kind: Mapped[str] = mapped_column(String(12))
    text: Mapped[str] = mapped_column(String(1000))
    written_at: Mapped[datetime]
    written_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("claims", "claim_id"),
        Index("ix_claim_messages_claim", "scheme_id", "claim_id", "written_at"),
        one_of("kind", MessageKind),
    )


class Statement(SchemeScoped, Base):
    """A month's approved claims for payroll, as bytes would be made of them again: never changed once made."""

    __tablename__ = "statements"
    month_on: Mapped[date]
    ordinal: Mapped[int] = mapped_column(Integer)
    claim_count: Mapped[int] = mapped_column(Integer)
    total_pence: Mapped[int] = mapped_column(Integer)
    document: Mapped[dict[str, Any]] = mapped_column(PackedJson)
    # SHA-256 of the document's canonical JSON.
    digest: Mapped[str] = mapped_column(String(64))
    made_at: Mapped[datetime]
    made_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (UniqueConstraint("scheme_id", "month_on", "ordinal"),)


UNDECIDED = (ClaimState.DRAFT.value, ClaimState.SENT.value, ClaimState.QUERIED.value)


class CarHasTrips(Conflict):
    """Trips of the car are open, or in a claim that nobody has decided about."""

    title = "Trips of this car are not paid for yet"


@event.listens_for(Vehicle, "before_delete")
def _keep_while_trips_are_open(_: object, connection: Connection, car: Vehicle) -> None:
    """Refuse that a car takes with it what can still be claimed: its trips go with its row; raises ``CarHasTrips``.

    Households know nothing of trips, so it stands here. A claim that was decided keeps its lines by itself.
    """
    claim = (Claim.scheme_id == BusinessTrip.scheme_id) & (Claim.id == BusinessTrip.claim_id)
    is_open = or_(BusinessTrip.claim_id.is_(None), Claim.state.in_(UNDECIDED))
    of_car = (BusinessTrip.scheme_id == car.scheme_id) & (BusinessTrip.vehicle_id == car.id)
    if connection.scalar(select(BusinessTrip.id).outerjoin(Claim, claim).where(of_car, is_open).limit(1)):
        raise CarHasTrips("Claim its trips and have the claims decided, or delete them; then take the car out.")
