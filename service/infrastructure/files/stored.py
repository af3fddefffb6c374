"""Stored files: the row of an uploaded document or photo. What it holds lies in the data folder under its hash."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import BigInteger, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from service.infrastructure.db.base import Base, SchemeScoped, belongs_to, one_of

PURPOSES = ("certificate", "photo", "setting_photo", "consent")
MEDIA_TYPES = ("application/pdf", "image/jpeg", "image/png")


class StoredFile(SchemeScoped, Base):
    """One upload, typed by its content; an image was written anew, without its place and time."""

    __tablename__ = "files"
    household_id: Mapped[str] = mapped_column(String(32))
    purpose: Mapped[str] = mapped_column(String(16))
    sha256: Mapped[str] = mapped_column(String(64))
    media_type: Mapped[str] = mapped_column(String(40))
    size_bytes: Mapped[int] = mapped_column(BigInteger)
    name: Mapped[str] = mapped_column(String(120), default="")
    uploaded_at: Mapped[datetime]
    uploaded_by: Mapped[str | None] = mapped_column(String(32))
    # Through which electrician's link it came, where it did.
    link_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_files_household", "scheme_id", "household_id"),
        one_of("purpose", PURPOSES),
        one_of("media_type", MEDIA_TYPES),
    )
