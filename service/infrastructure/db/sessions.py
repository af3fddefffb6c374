"""Open the database and hand out sessions: scheme (guarded), system (queues), fleet (bulk).

A scheme session is bound to one scheme for its life.  Its guards add the scheme to every
ORM statement, refuse statements they cannot scope, and check each loaded and flushed row.
On SQLite writers take the lock with BEGIN IMMEDIATE, so a read never upgrades and fails; on
PostgreSQL readers get one snapshot for all their statements, as SQLite's readers do anyway.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from typing import Any, NoReturn

from sqlalchemy import Column, Connection, Engine, Executable, Row, Table, create_engine, event, insert
from sqlalchemy.engine import make_url
from sqlalchemy.orm import ORMExecuteState, Session, with_loader_criteria

from service.infrastructure.db.base import SchemeScoped
from service.infrastructure.db.tripwire import check_statement

BUSY_TIMEOUT_MS = 5_000
NOTE_TIMEOUT_MS = 200
"""How long a note of what was read may wait for others' locks: the reader waits with it. Own bound."""


class CrossSchemeAccess(RuntimeError):
    """A statement or row would leave the session's scheme; always a programming error."""


class SchemeSession(Session):
    """A session that sees one scheme only."""

    def __init__(self, bind: Engine | Connection, scheme_id: str) -> None:
        if not scheme_id:
            raise CrossSchemeAccess("a scheme session needs a scheme")
        super().__init__(bind=bind, expire_on_commit=False, autoflush=True, info={"scheme_id": scheme_id})

    @property
    def scheme_id(self) -> str:
        """The scheme this session is bound to."""
        return str(self.info["scheme_id"])

    def connection(self, *args: Any, **kw: Any) -> NoReturn:  # type: ignore[override]
        """Refuse: raw connections pass the guards by."""
        raise CrossSchemeAccess("a scheme session hands out no raw connection")

    def _refuse_bulk(self, *args: Any, **kw: Any) -> NoReturn:
        raise CrossSchemeAccess("bulk calls belong to the fleet writer")

    bulk_save_objects = bulk_insert_mappings = bulk_update_mappings = _refuse_bulk  # type: ignore[assignment]


class SystemSession(Session):
    """A session for queues and the clock: it reads ids and states across schemes, never personal rows."""


@event.listens_for(SchemeSession, "do_orm_execute")
def _scope(state: ORMExecuteState) -> None:
    if not state.is_orm_statement or state.is_insert:
        raise CrossSchemeAccess("only ORM selects, updates and deletes can be scoped")
    scheme_id = state.session.info["scheme_id"]
    if not (state.is_column_load or state.is_relationship_load):
        state.statement = state.statement.options(
            with_loader_criteria(SchemeScoped, lambda cls: cls.scheme_id == scheme_id, include_aliases=True)
        )


def _check_row(session: Session, row: object) -> None:
    if isinstance(row, SchemeScoped) and row.scheme_id != session.info["scheme_id"]:
        raise CrossSchemeAccess(f"{type(row).__name__} of another scheme")


@event.listens_for(SchemeSession, "loaded_as_persistent")
def _on_load(session: Session, row: object) -> None:
    _check_row(session, row)


@event.listens_for(SchemeSession, "before_flush")
def _on_flush(session: Session, context: Any, instances: Any) -> None:
    for row in session.new:
        if isinstance(row, SchemeScoped) and row.scheme_id is None:
            row.scheme_id = session.info["scheme_id"]
    for row in (*session.new, *session.dirty, *session.deleted):
        _check_row(session, row)


class FleetWriter:
    """Bulk statements for one scheme inside one transaction; the reviewed exception to the guards."""

    def __init__(self, connection: Connection, scheme_id: str) -> None:
        self.connection = connection
        self.scheme_id = scheme_id

    def insert(self, table: Table, rows: Sequence[dict[str, Any]]) -> None:
        """Insert rows; each is stamped with the writer's scheme whatever it says."""
        if rows:
            self.connection.execute(insert(table), [{**row, "scheme_id": self.scheme_id} for row in rows])

    def upsert(self, table: Table, rows: Sequence[dict[str, Any]], *, keys: Sequence[str]) -> None:
        """Insert rows, or replace the other columns where ``keys`` (scheme_id included) stand already."""
        if not rows:
            return
        if self.connection.dialect.name == "postgresql":
            from sqlalchemy.dialects.postgresql import insert as dialect_insert
        else:
            from sqlalchemy.dialects.sqlite import insert as dialect_insert  # type: ignore[assignment]
        statement = dialect_insert(table)
        replaced = {name: statement.excluded[name] for name in rows[0] if name not in keys and name != "scheme_id"}
        statement = (
            statement.on_conflict_do_update(index_elements=["scheme_id", *keys], set_=replaced)
            if replaced
            else statement.on_conflict_do_nothing(index_elements=["scheme_id", *keys])
        )
        self.connection.execute(statement, [{**row, "scheme_id": self.scheme_id} for row in rows])

    def run_plain(self, statement: Executable, names: Sequence[str], rows: Sequence[tuple[Any, ...]]) -> None:
        """Run one statement for very many rows, each with the writer's scheme before it.

        The statement has a parameter ``scheme`` and one for each of ``names``. Values are handed to the driver as
        they are: JSON as its text, and no instants (``as_driver`` turns one into what is stored).
        """
        if not rows:
            return
        compiled = statement.compile(dialect=self.connection.dialect)  # type: ignore[attr-defined]
        if "scheme" not in compiled.params:
            raise CrossSchemeAccess("a plain statement must name its scheme")
        known = ("scheme", *names)
        values: Sequence[Any] = [(self.scheme_id, *row) for row in rows]
        if compiled.positional:
            places = [known.index(name) for name in compiled.positiontup]
            if places != list(range(len(known))):
                values = [tuple(row[place] for place in places) for row in values]
        else:
            values = [dict(zip(known, row, strict=True)) for row in values]
        self.connection.exec_driver_sql(str(compiled), values)

    def as_driver(self, column: Column[Any], value: Any) -> Any:
        """Return a value as the driver takes it for a column."""
        dialect = self.connection.dialect
        process = column.type.dialect_impl(dialect).bind_processor(dialect)
        return process(value) if process else value


class Database:
    """One database, from its URL; sessions come from here and from nowhere else."""

    def __init__(self, url: str, *, busy_timeout_ms: int = BUSY_TIMEOUT_MS) -> None:
        """Open it; who waits longer than ``busy_timeout_ms`` for another's lock gets an error that ``is_busy``."""
        self.is_sqlite = make_url(url).get_backend_name() == "sqlite"
        options: dict[str, Any] = (
            {"connect_args": {"timeout": busy_timeout_ms / 1000}} if self.is_sqlite else {"pool_pre_ping": True}
        )
        self.engine = create_engine(url, **options)
        if self.is_sqlite:
            event.listen(self.engine, "connect", partial(_prepare_sqlite, busy_timeout_ms=busy_timeout_ms))
            event.listen(self.engine, "begin", partial(_begin_sqlite, busy_timeout_ms=busy_timeout_ms))
            self._read = self.engine
        else:
            event.listen(self.engine, "connect", partial(_prepare_postgresql, busy_timeout_ms=busy_timeout_ms))
            event.listen(self.engine, "begin", _begin_postgresql)
            self._read = self.engine.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
        event.listen(self.engine, "before_cursor_execute", check_statement)
        self._write = self.engine.execution_options(write=True)
        # Made once: each call of execution_options makes an engine.
        self._scheme_read = self._read.execution_options(scheme_scoped=True)
        self._scheme_write = self._write.execution_options(scheme_scoped=True)
        self._scheme_note = self._scheme_write.execution_options(wait_ms=NOTE_TIMEOUT_MS)

    def scheme_session(self, scheme_id: str, *, write: bool) -> SchemeSession:
        """Return an open session of one scheme; the caller commits and closes."""
        return SchemeSession(self._scheme_write if write else self._scheme_read, scheme_id)

    @contextmanager
    def scheme(self, scheme_id: str, *, write: bool) -> Iterator[SchemeSession]:
        """One transaction of one scheme: commits on success, rolls back on error."""
        with self.scheme_session(scheme_id, write=write) as session:
            yield session
            session.commit()

    @contextmanager
    def notes(self, scheme_id: str) -> Iterator[SchemeSession]:
        """One short writing transaction of one scheme that gives up soon where others hold what it needs."""
        with SchemeSession(self._scheme_note, scheme_id) as session:
            yield session
            session.commit()

    @contextmanager
    def system(self, *, write: bool) -> Iterator[SystemSession]:
        """One transaction across schemes, for queues and the clock."""
        with SystemSession(bind=self._write if write else self._read, expire_on_commit=False) as session:
            yield session
            session.commit()

    def system_rows(self, statement: Executable, parameters: Mapping[str, Any]) -> Sequence[Row[Any]]:
        """Read across schemes with one statement: who holds a session is asked at every request."""
        with self._read.connect() as connection:
            return connection.execute(statement, parameters).all()

    @contextmanager
    def fleet(self, scheme_id: str) -> Iterator[FleetWriter]:
        """One bulk-writing transaction for one scheme."""
        with self._write.connect() as connection, connection.begin():
            yield FleetWriter(connection, scheme_id)

    def close(self) -> None:
        """Release every connection."""
        self.engine.dispose()


def _prepare_sqlite(connection: Any, record: Any, *, busy_timeout_ms: int) -> None:
    # isolation_level None: the driver must not begin on its own; the begin event below does.
    connection.isolation_level = None
    for pragma in (
        f"busy_timeout={busy_timeout_ms}",
        "journal_mode=WAL",
        "synchronous=FULL",
        "foreign_keys=ON",
        "temp_store=MEMORY",
        "cache_size=-16000",
    ):
        connection.execute(f"PRAGMA {pragma}")


def _prepare_postgresql(connection: Any, record: Any, *, busy_timeout_ms: int) -> None:
    # Without it a request waits for as long as another transaction holds the row it wants.
    connection.execute(f"SET lock_timeout = {busy_timeout_ms}")
    connection.commit()


def _begin_sqlite(connection: Connection, *, busy_timeout_ms: int) -> None:
    options = connection.get_execution_options()
    begin = "BEGIN IMMEDIATE" if options.get("write", False) else "BEGIN"
    if "wait_ms" not in options:
        connection.exec_driver_sql(begin)
        return
    connection.exec_driver_sql(f"PRAGMA busy_timeout={min(options['wait_ms'], busy_timeout_ms)}")
    try:
        connection.exec_driver_sql(begin)
    finally:
        connection.exec_driver_sql(f"PRAGMA busy_timeout={busy_timeout_ms}")


def _begin_postgresql(connection: Connection) -> None:
    wait_ms = connection.get_execution_options().get("wait_ms")
    if wait_ms is not None:
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {int(wait_ms)}")
