"""The declarative base, the mixin that scopes a table to one scheme, and composite keys.

Every table is either scheme-scoped (primary key ``(scheme_id, id)``) or named in
``GLOBAL_TABLES``; a test compares the two sets with the metadata.
"""

from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, ForeignKey, ForeignKeyConstraint, Integer, MetaData, String
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

from service.common.ids import new_id
from service.infrastructure.db.types import UtcInstant

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

GLOBAL_TABLES = frozenset(
    {"schemes", "accounts", "sign_in_sessions", "sign_in_attempts", "clock_leases", "dated_figures"}
)
"""Tables without a scheme: the tenants themselves, the people who sign in, who asks the clock, what laws say."""


class Base(DeclarativeBase):
    """Parent of every stored row."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[type, object]] = {datetime: UtcInstant()}


class SchemeScoped:
    """A row that belongs to one scheme; its key carries the scheme, so do all references to it."""

    scheme_id: Mapped[str] = mapped_column(String(32), ForeignKey("schemes.id"), primary_key=True)
    id: Mapped[str] = mapped_column(String(32), primary_key=True, default=new_id)


class Versioned:
    """A row people edit: the counter is its ETag, and an update on a stale copy fails."""

    version: Mapped[int] = mapped_column(Integer)

    @declared_attr.directive
    def __mapper_args__(cls) -> dict[str, Any]:
        return {"version_id_col": cls.version}


def belongs_to(table: str, column: str, *, on_delete: str = "CASCADE") -> ForeignKeyConstraint:
    """Return the composite reference ``(scheme_id, column) -> table(scheme_id, id)``."""
    return ForeignKeyConstraint(["scheme_id", column], [f"{table}.scheme_id", f"{table}.id"], ondelete=on_delete)


def one_of(column: str, values: type | tuple[str, ...]) -> CheckConstraint:
    """Return a named CHECK that the column holds one of the values (a str Enum or a tuple)."""
    words = values if isinstance(values, tuple) else tuple(member.value for member in values)  # type: ignore[attr-defined]
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")
