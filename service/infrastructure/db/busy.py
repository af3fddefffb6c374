"""Which database errors mean "not now": a lock held too long, a deadlock, a server that is away.

Judged by the databases' own codes, never by their words, which translate and change.
"""

import sqlite3

from sqlalchemy.exc import DBAPIError

_SQLITE_CODES = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED})
# PostgreSQL, appendix A: lock not available, deadlock, serialization failure, shutdowns, too many connections.
_SQLSTATES = frozenset({"55P03", "40P01", "40001", "57P01", "57P02", "57P03", "53300"})
_CONNECTION_CLASS = "08"


def is_busy(error: DBAPIError) -> bool:
    """Tell whether the same statement may well succeed in a moment; nothing of its transaction is stored."""
    original = error.orig
    sqlite_code = getattr(original, "sqlite_errorcode", None)
    if sqlite_code is not None:
        # The low byte is the primary code, whatever the extended one adds.
        return sqlite_code & 0xFF in _SQLITE_CODES
    # A connection that broke, or was never made, has no state to report.
    state = getattr(original, "sqlstate", None)
    return state is None or state in _SQLSTATES or state.startswith(_CONNECTION_CLASS)
