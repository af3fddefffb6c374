"""Column types: aware instants only, JSON documents packed small, and the database's own clock."""

import json
import zlib
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import DateTime, LargeBinary
from sqlalchemy.engine import Dialect
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.functions import FunctionElement
from sqlalchemy.types import BigInteger, TypeDecorator


class UtcInstant(TypeDecorator[datetime]):
    """An aware instant, stored in UTC; a naive datetime is a programming error."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"naive datetime {value!r} where an instant is stored")
        value = value.astimezone(UTC)
        # SQLite keeps no offset: what it stores is UTC by this rule.
        return value.replace(tzinfo=None) if dialect.name == "sqlite" else value

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class PackedJson(TypeDecorator[Any]):
    """A JSON document that is written often and read seldom: stored compressed."""

    impl = LargeBinary
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> bytes | None:
        return None if value is None else zlib.compress(json.dumps(value, separators=(",", ":")).encode(), 1)

    def process_result_value(self, value: bytes | None, dialect: Dialect) -> Any:
        return None if value is None else json.loads(zlib.decompress(value))


class database_now_ms(FunctionElement[int]):
    """The database's own clock [ms since 1970 UTC]: leases are judged by it, never by a worker's clock."""

    type = BigInteger()
    inherit_cache = True


@compiles(database_now_ms, "sqlite")
def _now_on_sqlite(element: Any, compiler: Any, **kw: Any) -> str:
    return "CAST((julianday('now') - 2440587.5) * 86400000 AS INTEGER)"


@compiles(database_now_ms, "postgresql")
def _now_on_postgresql(element: Any, compiler: Any, **kw: Any) -> str:
    # clock_timestamp, not now(): a long transaction must not extend its own lease.
    return "CAST(extract(epoch FROM clock_timestamp()) * 1000 AS BIGINT)"
