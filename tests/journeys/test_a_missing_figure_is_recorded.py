"""A rate runs out; everybody reads that it is not known, until the operator brings the next from the publisher."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from service.cli import main
from service.infrastructure.db.sessions import Database
from service.infrastructure.settings import Settings
from tests.factories.driving import add_charge
from tests.factories.home_clients import home_clients

SET_OF_2026 = """name,key,from_on,until_on,value,unit,standing,source
carbon_electricity_generated,,2026-01-01,2027-01-01,0.13,kg CO2e per kWh,operator,a made-up set for this test
carbon_electricity_distribution,,2026-01-01,2027-01-01,0.01,kg CO2e per kWh,operator,a made-up set for this test
"""


def test_carbon_stands_on_an_older_set_in_words_until_the_newer_one_is_imported_and_again_once_it_is_withdrawn(
    database: Database, client: Callable[..., Any], scheme: str, settings: Settings, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("PLUGWARD_DATABASE_URL", settings.database_url)
    monkeypatch.setenv("DATA_DIR", settings.data_dir)
    people = home_clients(database, client, scheme)
    with database.scheme(scheme, write=True) as session:
        add_charge(session, people.home, datetime(2026, 10, 3, 1, tzinfo=UTC), 100_000)

    def operator(*words: str) -> str:
        done = CliRunner().invoke(main, ["figures", *words])
        assert done.exit_code == 0, done.output
        return done.output

    def carbon() -> tuple[float, bool]:
        found = people.member.get(f"{people.path}/carbon").get_json()
        return found["electricity_kg"], any(note.startswith("2025 set used for charging") for note in found["notes"])

    def missing() -> set[str]:
        return {row["name"] for row in people.administrator.get("/api/v1/figures").get_json()["not_known"]}

    assert carbon() == (19.553, True)
    assert "carbon_electricity_generated" in missing()

    table = tmp_path / "set-of-2026.csv"
    table.write_text(SET_OF_2026)
    assert operator("import", str(table), "--by", "Op One") == "2 figures recorded, 0 stood there already.\n"
    assert carbon() == (14.0, False)
    assert "carbon_electricity_generated" not in missing()
    asked = "/api/v1/figures?name=carbon_electricity_generated&on=2026-11-25"
    rows = people.administrator.get(asked).get_json()["items"]
    assert [(row["recorded_by"], row["standing"], row["value"]) for row in rows] == [("Op One", "operator", "0.13")]

    # Half a set is none: with the losses gone the older set stands in again, whole.
    listed = operator("list", "--name", "carbon_electricity_distribution", "--on", "2026-11-25")
    operator("withdraw", listed.split("\t")[-1].split(",")[0], "--by", "Op Two")
    assert carbon() == (19.553, True)
    assert "withdrawn by Op Two" in operator("list", "--withdrawn")
