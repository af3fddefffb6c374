"""The operator's commands for the book of figures: look, record one, read in a table, withdraw."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import BinaryIO, Final

import click

from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.figures import operations
from service.figures.domain.book import Figure, Standing
from service.figures.domain.kinds import KINDS, label_of
from service.figures.domain.table import read_figure, read_recorded
from service.figures.models import DatedFigure
from service.infrastructure.db.sessions import Database

LONGEST_TABLE: Final = 1_000_000
"""Own bound on a table [bytes]: 2,000 rows with the longest sources."""

STANDINGS: Final = click.Choice([each.value for each in Standing])

named = click.option("--by", required=True, help="Who records it: a name, kept with the figure.")
open_database = click.make_pass_decorator(Database)


@click.command("list")
@click.option("--name", type=click.Choice(list(KINDS)), help="Only the figures of one name.")
@click.option("--on", "on_text", help="Only what is in force on a day, such as 2026-09-01.")
@click.option("--withdrawn", is_flag=True, help="Also what was recorded and withdrawn.")
@open_database
def list_command(database: Database, name: str | None, on_text: str | None, withdrawn: bool) -> None:
    """Print the book: each figure with its days, source and standing, and what is not known today or on that day."""
    on = _day(on_text)
    with database.system(write=False) as session:
        lines = operations.list_lines(session, name=name, on=on)
        missing = operations.list_not_known(session, on=on or datetime.now(UTC).date(), name=name)
        gone = operations.list_withdrawn(session) if withdrawn else ()
        for line in lines:
            figure = line.figure
            _print(
                figure.name, figure.key, figure.from_on, figure.until_on, _amount(figure),
                figure.where_from, _whose(line.recorded),
            )
        for each in missing:
            since = f"since {each.since_on}" if each.since_on else "and never was"
            _print(each.name, each.key, "NOT KNOWN", since, each.label)
        for row in gone:
            _print(row.name, row.key, row.from_on, "WITHDRAWN", _amount(row), row.source, _whose(row))


@click.command("add")
@click.option("--name", required=True, type=click.Choice(list(KINDS)))
@click.option("--key", default="", help="Which of the name's figures, where it has several.")
@click.option("--from", "from_on", required=True, help="The day it holds from, such as 2026-09-01.")
@click.option("--until", "until_on", default="", help="The day it is not known from, unless a later one follows.")
@click.option("--value", required=True, help="A plain decimal number in the unit of the name.")
@click.option("--source", required=True, help="Where it was read.")
@click.option("--standing", default=Standing.OPERATOR.value, show_default=True, type=STANDINGS)
@named
@open_database
def add_command(database: Database, by: str, **values: str) -> None:
    """Record one figure; it stands before a shipped one of the same name from the same day."""
    figure = {**values, "unit": KINDS[values["name"]].unit}
    with _told_in_words(), database.system(write=True) as session:
        row = operations.record_figure(session, read_figure(figure), by=by, at=datetime.now(UTC))
        click.echo(f"Recorded {label_of(row.name, row.key)} from {row.from_on} as {row.id}.")


@click.command("import")
@click.argument("file", type=click.File("rb"))
@named
@open_database
def import_command(database: Database, file: BinaryIO, by: str) -> None:
    """Record every figure of FILE, a CSV with the columns of the shipped tables, or none where a line is wrong."""
    with _told_in_words(), database.system(write=True) as session:
        done = operations.import_figures(session, read_recorded(_text(file)), by=by, at=datetime.now(UTC))
        click.echo(f"{len(done.recorded)} figures recorded, {done.known} stood there already.")


@click.command("withdraw")
@click.argument("figure_id")
@click.option("--by", required=True, help="Who withdraws it: a name, kept with the figure.")
@open_database
def withdraw_command(database: Database, figure_id: str, by: str) -> None:
    """Take a recorded figure out of the book; its row stays, with who withdrew it and when."""
    with _told_in_words(), database.system(write=True) as session:
        row = operations.withdraw_figure(session, figure_id, by=by, at=datetime.now(UTC))
        click.echo(f"Withdrawn: {label_of(row.name, row.key)} from {row.from_on}.")


COMMANDS: Final = (list_command, add_command, import_command, withdraw_command)


@contextmanager
def _told_in_words() -> Iterator[None]:
    """End with every sentence of a refusal, a line each; nothing has been stored then."""
    try:
        yield
    except Rejected as refused:
        told = "\n".join(f"{fault.field}: {fault.rule}" if fault.field else fault.rule for fault in refused.faults)
        raise click.ClickException(f"nothing was recorded\n{told}") from refused
    except (Conflict, NotFound) as refused:
        raise click.ClickException(str(refused)) from refused


def _text(file: BinaryIO) -> str:
    content = file.read(LONGEST_TABLE + 1)
    if len(content) > LONGEST_TABLE:
        raise Rejected(Fault("", len(content), f"the file must have at most {LONGEST_TABLE:,} bytes"))
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise Rejected(Fault("", "", "the file must be UTF-8")) from error


def _day(text: str | None) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as error:
        raise click.ClickException("--on must be a day such as 2026-09-01") from error


def _amount(figure: Figure | DatedFigure) -> str:
    return f"{figure.value.normalize():f} {figure.unit}"


def _whose(row: DatedFigure | None) -> str:
    if row is None:
        return "shipped"
    told = f"{row.id}, recorded by {row.recorded_by} at {row.recorded_at:%Y-%m-%d %H:%M}Z"
    if row.withdrawn_at is None:
        return told
    return f"{told}, withdrawn by {row.withdrawn_by} at {row.withdrawn_at:%Y-%m-%d %H:%M}Z"


def _print(name: str, key: str, *columns: object) -> None:
    click.echo("\t".join([f"{name} {key}".rstrip(), *("" if column is None else str(column) for column in columns)]))
