"""A last look at the SQL a scheme session emits: every scoped table must carry its scheme.

It reads SQL with a regular expression, so it is a tripwire and no proof; the guards of the
session are the fence.  It runs in every test and, on SQLite, in production too.
"""

import re
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection

from service.infrastructure.db.base import GLOBAL_TABLES, Base

_NAMED = re.compile(r"\b(?:FROM|JOIN|UPDATE|INTO)\s+\"?(\w+)\"?(?:\s+AS\s+\"?(\w+)\"?)?", re.IGNORECASE)


class UnscopedStatement(RuntimeError):
    """A scheme session was about to send SQL that does not name its scheme."""


def check_statement(
    connection: Connection, cursor: Any, statement: str, parameters: Any, context: Any, executemany: bool
) -> None:
    """Refuse, before it runs, a scheme session's statement that misses the scheme of a table it names."""
    if connection.get_execution_options().get("scheme_scoped"):
        fault = _fault(statement)
        if fault:
            raise UnscopedStatement(fault)


@lru_cache(maxsize=4096)
def _fault(statement: str) -> str | None:
    scoped = {table.name for table in Base.metadata.tables.values()} - GLOBAL_TABLES
    is_insert = statement.lstrip()[:6].upper() == "INSERT"
    if is_insert and "ON CONFLICT" in statement.upper():
        return "an upsert belongs to the fleet writer"
    for table, alias in _NAMED.findall(statement):
        if table not in scoped:
            continue
        name = table if not alias or alias.upper() in {"WHERE", "SET", "ON"} else alias
        # An INSERT names the column; everything else must compare it.
        wanted = r"\bscheme_id\b" if is_insert else rf"\b{name}\.scheme_id = "
        if not re.search(wanted, statement):
            return f"{table} is read or written without its scheme"
    return None
