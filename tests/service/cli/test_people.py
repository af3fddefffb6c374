"""The operator gives the finance role and ends it: by a scheme's name and an address, told in words."""

from __future__ import annotations

from typing import Any

import pytest
from click.testing import CliRunner, Result

from service.cli import main
from service.infrastructure.settings import Settings
from tests.conftest import PASSWORD, sign_in

SCHEME = "Marlpit Works"
EMAIL = "pay@works.example"


@pytest.fixture
def run(settings: Settings, scheme: str, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return a function that runs a command on the test's database."""
    for name, value in (
        ("PLUGWARD_DATABASE_URL", settings.database_url),
        ("DATA_DIR", settings.data_dir),
        ("PLUGWARD_ARGON2_MEMORY_KIB", "64"),
        ("PLUGWARD_ARGON2_TIME_COST", "1"),
    ):
        monkeypatch.setenv(name, value)

    def command(name: str, *more: str, of: str = SCHEME, typed: str = "") -> Result:
        return CliRunner().invoke(main, [name, "--scheme", of, "--email", EMAIL, *more], input=typed)

    return command


def test_a_new_person_signs_in_with_the_password_they_typed_and_sees_no_home(run: Any, app: Any) -> None:
    done = run("add-finance", "--name", "Pay Office", typed=f"{PASSWORD}\n{PASSWORD}\n")
    assert done.exit_code == 0, done.output
    assert "An account was made" in done.output and PASSWORD not in done.output
    client = sign_in(app, EMAIL)
    assert client.get("/api/v1/session").get_json()["roles"] == ["finance"]
    assert client.get("/api/v1/households").status_code == 403


def test_the_role_is_ended_and_the_open_session_with_it(run: Any, app: Any) -> None:
    assert run("add-finance", "--name", "Pay Office", "--password", PASSWORD).exit_code == 0
    client = sign_in(app, EMAIL)
    assert run("end-finance").exit_code == 0
    assert client.get("/api/v1/session").status_code == 401
    again = run("add-finance")
    assert (again.exit_code, "An account was made" in again.output) == (0, False)


@pytest.mark.parametrize(
    ("name", "more", "of", "words"),
    [
        ("add-finance", ("--name", "P", "--password", PASSWORD), "Nobody's", "No scheme has this name"),
        ("add-finance", (), SCHEME, "name must be given"),
        ("add-finance", ("--name", "P", "--password", "short"), SCHEME, "password has 15"),
        ("end-finance", (), SCHEME, "No account has this"),
    ],
)
def test_what_cannot_be_done_is_told_in_a_sentence(
    run: Any, name: str, more: tuple[str, ...], of: str, words: str
) -> None:
    done = run(name, *more, of=of)
    assert done.exit_code == 1
    assert words in done.output and "Traceback" not in done.output
