"""Stored rows of tariffs: contracts' price lists as versions of rate sheets, and half-hourly prices."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, BigInteger, Index, Integer, Numeric, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.tariffs.domain.terms import MeterNeeded, TariffClock, TariffKind


class Tariff(SchemeScoped, Versioned, Base):
    """A supplier contract as the scheme types it in."""

    __tablename__ = "tariffs"
    name: Mapped[str] = mapped_column(String(80))
    kind: Mapped[str] = mapped_column(String(12))
    clock: Mapped[str] = mapped_column(String(8))
    created_at: Mapped[datetime]
    # Who can take it: the meter and the equipment it asks for, other terms in words, and whether it is still sold.
    meter_needed: Mapped[str] = mapped_column(String(16), default="any")
    needs_charging_point: Mapped[bool] = mapped_column(default=False)
    other_terms: Mapped[str] = mapped_column(String(300), default="")
    is_open: Mapped[bool] = mapped_column(default=True)
    # What a new contract would bind a home to; None: not known.
    exit_fee_pence: Mapped[int | None] = mapped_column(Integer)
    fixed_months: Mapped[int | None] = mapped_column(Integer)
    __table_args__ = (
        UniqueConstraint("scheme_id", "name"),
        one_of("kind", TariffKind),
        one_of("clock", TariffClock),
        one_of("meter_needed", MeterNeeded),
    )


class TariffVersion(SchemeScoped, Versioned, Base):
    """The tariff's prices from a date; a draft until published, frozen after."""

    __tablename__ = "tariff_versions"
    tariff_id: Mapped[str] = mapped_column(String(32))
    label: Mapped[str] = mapped_column(String(80))
    valid_from_on: Mapped[date]
    vat_percent: Mapped[Decimal] = mapped_column(Numeric(5, 2))
    vat_included: Mapped[bool]
    published_at: Mapped[datetime | None]
    published_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("tariffs", "tariff_id"),
        Index("ix_tariff_versions_tariff", "scheme_id", "tariff_id", "valid_from_on"),
    )


class RateSheet(SchemeScoped, Base):
    """The standing charge of one region and payment method (null: any) in one version."""

    __tablename__ = "rate_sheets"
    version_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    region: Mapped[str | None] = mapped_column(String(40))
    payment: Mapped[str | None] = mapped_column(String(40))
    standing_up_per_day: Mapped[int] = mapped_column(BigInteger)
    __table_args__ = (
        belongs_to("tariff_versions", "version_id"),
        UniqueConstraint("scheme_id", "version_id", "position"),
    )


class RateBand(SchemeScoped, Base):
    """One price of a rate sheet with the windows it holds in; micro-pence per kWh."""

    __tablename__ = "rate_bands"
    sheet_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    name: Mapped[str] = mapped_column(String(40))
    price_up: Mapped[int] = mapped_column(BigInteger)
    is_otherwise: Mapped[bool]
    windows: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    __table_args__ = (
        belongs_to("rate_sheets", "sheet_id"),
        UniqueConstraint("scheme_id", "sheet_id", "position"),
    )


class HalfHourPrice(SchemeScoped, Base):
    """The price of one half-hour of a half-hourly tariff, VAT as its version says; micro-pence per kWh."""

    __tablename__ = "half_hour_prices"
    tariff_id: Mapped[str] = mapped_column(String(32))
    # The empty text is "any region": a null would not take part in the unique key.
    region: Mapped[str] = mapped_column(String(40), default="")
    slot: Mapped[int] = mapped_column(Integer)
    price_up: Mapped[int] = mapped_column(BigInteger)
    __table_args__ = (
        belongs_to("tariffs", "tariff_id"),
        UniqueConstraint("scheme_id", "tariff_id", "region", "slot"),
    )
