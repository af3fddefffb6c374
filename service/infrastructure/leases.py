"""Who asks the clock: of several workers one holds a lease on it, and when that one dies another takes over."""

from __future__ import annotations

from sqlalchemy import BigInteger, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base


class ClockLease(Base):
    """One lease by name; judged by the database's clock, and told apart by its token."""

    __tablename__ = "clock_leases"
    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    holder: Mapped[str] = mapped_column(String(80))
    token: Mapped[int] = mapped_column(Integer)
    lease_until_ms: Mapped[int] = mapped_column(BigInteger)
