"""The operator's command line: migrate, serve, work, load the demo, run the demo."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO

import click
from argon2 import PasswordHasher

from service.cli import figures
from service.cli.migrate import migrate
from service.common.errors import Conflict, NotFound, Rejected
from service.infrastructure.db.sessions import Database
from service.infrastructure.files import FilesOnDisk
from service.infrastructure.logging import configure_logging
from service.infrastructure.settings import Settings, SettingsError

SEED = Path(__file__).parent.parent.parent / "seed"


def settings_or_exit() -> Settings:
    """Read the settings, or stop with the sentence that says which one breaks its rule."""
    try:
        settings = Settings.from_environment(os.environ)
    except SettingsError as error:
        raise click.ClickException(str(error)) from error
    configure_logging(settings.log_level)
    return settings


@click.group()
def main() -> None:
    """Plugward: home charging for an employer's scheme."""


@main.command("migrate")
def migrate_command() -> None:
    """Bring the database to the newest revision."""
    settings = settings_or_exit()
    Path(settings.data_dir).mkdir(parents=True, exist_ok=True)
    migrate(Database(settings.database_url))


@main.command("serve")
@click.option("--workers", default=2, show_default=True, help="Web processes.")
@click.option("--host", default="127.0.0.1", show_default=True)
def serve_command(workers: int, host: str) -> None:
    """Serve the API and the frontend."""
    settings = settings_or_exit()
    # Replaces this process, so that a SIGTERM reaches the server itself.
    os.execv(  # noqa: S606 - no shell is involved
        sys.executable,
        [
            sys.executable,
            "-m",
            "gunicorn",
            "--workers",
            str(workers),
            "--bind",
            f"{host}:{settings.port}",
            "--graceful-timeout",
            "10",
            "--log-level",
            "warning",
            "service.app:app_from_environment()",
        ],
    )


@main.command("worker")
def worker_command() -> None:
    """Carry events, replan, send mail and remind, until stopped."""
    from service.cli.processes import run_worker

    run_worker(settings_or_exit())


@main.command("load-demo")
def load_demo_command() -> None:
    """Load the demo scheme; loading it again changes nothing."""
    from service.cli.seed import load_demo

    settings = settings_or_exit()
    load_demo(
        Database(settings.database_url), now=datetime.now(UTC), hasher=_hasher(settings), folder=SEED,
        files=FilesOnDisk(settings.files_dir),
    )


@main.command("add-finance")
@click.option("--scheme", "scheme_name", required=True, help="The scheme's name.")
@click.option("--email", required=True, help="The person's e-mail address.")
@click.option("--name", default="", help="The person's name, where the address has no account yet.")
@click.option("--password", default="", help="Asked for, where the address has no account yet and this is not given.")
def add_finance_command(scheme_name: str, email: str, name: str, password: str) -> None:
    """Let a person see and decide a scheme's claims; somebody without an account gets one."""
    from service.cli.people import add_finance

    settings = settings_or_exit()
    with _told_in_words():
        is_new = add_finance(
            Database(settings.database_url), scheme_name=scheme_name, email=email, name=name,
            password=lambda: password or click.prompt("Password", hide_input=True, confirmation_prompt=True),
            hasher=_hasher(settings), now=datetime.now(UTC),
        )
    click.echo(f"{email} has the finance role." + (" An account was made." if is_new else ""))


@main.command("end-finance")
@click.option("--scheme", "scheme_name", required=True, help="The scheme's name.")
@click.option("--email", required=True, help="The person's e-mail address.")
def end_finance_command(scheme_name: str, email: str) -> None:
    """End a person's finance role; the account and what was decided stay."""
    from service.cli.people import end_finance

    settings = settings_or_exit()
    with _told_in_words():
        end_finance(Database(settings.database_url), scheme_name=scheme_name, email=email, now=datetime.now(UTC))
    click.echo(f"{email} no longer has the finance role.")


@main.command("demo")
@click.option("--reset", is_flag=True, help="Start from an empty database.")
def demo_command(reset: bool) -> None:
    """Migrate, load the demo scheme and run server, worker and mail sink until stopped."""
    from service.cli.processes import run_demo

    settings = settings_or_exit()
    sys.exit(run_demo(settings, hasher=_hasher(settings), reset=reset, seed=SEED))


@main.command("mail-sink")
@click.argument("port", type=int)
@click.argument("folder", type=click.Path(path_type=Path))
def mail_sink_command(port: int, folder: Path) -> None:
    """Take mail on a local port and keep it in a folder: the demo's mail server."""
    from service.infrastructure.mail.sink import serve

    serve("127.0.0.1", port, folder)


@main.command("bounces")
@click.argument("file", type=click.File("rb"))
def bounces_command(file: BinaryIO) -> None:
    """Read reports of mail that did not arrive from FILE, one message or an mbox; "-" reads the standard input."""
    from service.infrastructure.mail.bounces import LONGEST_FILE, record_bounces

    database = Database(settings_or_exit().database_url)
    try:
        found = record_bounces(database, file.read(LONGEST_FILE + 1), at=datetime.now(UTC))
    except ValueError as error:
        raise click.ClickException(str(error)) from error
    finally:
        database.close()
    click.echo(
        f"{found.messages} messages read, {found.bounces} bounces: {found.recorded} recorded, {found.known} known"
        f" before, {found.bounces - found.recorded - found.known} of mail that is not ours"
    )


@main.group("figures")
@click.pass_context
def figures_group(context: click.Context) -> None:
    """Look at the dated figures, and record or withdraw some."""
    database = context.obj = Database(settings_or_exit().database_url)
    context.call_on_close(database.close)


for command in figures.COMMANDS:
    figures_group.add_command(command)


@main.command("openapi")
def openapi_command() -> None:
    """Print the API's document."""
    import json

    from service.app import create_app

    app = create_app(settings_or_exit())
    document = app.test_client().get("/api/v1/openapi.json").get_json()
    click.echo(json.dumps(document, indent=1, sort_keys=True))


@contextmanager
def _told_in_words() -> Iterator[None]:
    """End with the sentence of a refusal, not with a trace."""
    try:
        yield
    except Rejected as refused:
        raise click.ClickException("; ".join(f"{fault.field} {fault.rule}" for fault in refused.faults)) from refused
    except (Conflict, NotFound) as refused:
        raise click.ClickException(str(refused)) from refused


def _hasher(settings: Settings) -> PasswordHasher:
    return PasswordHasher(
        time_cost=settings.argon2_time_cost,
        memory_cost=settings.argon2_memory_kib,
        parallelism=settings.argon2_parallelism,
    )
