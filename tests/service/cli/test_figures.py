"""The operator's book of figures on the command line: what it prints and refuses, and that nothing is half done."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from service.cli import main
from service.figures.domain.shipped import COLUMNS
from service.infrastructure.settings import Settings

HEAD = ",".join(COLUMNS)
LINE = "advisory_electric_home,,2026-09-01,,7,pence per mile,operator,read on the page"
SAID = ("--value", "7", "--source", "read on the page")
ADD = ("add", "--name", "advisory_electric_home", "--from", "2026-09-01", *SAID)
LIST = ("list", "--name", "advisory_electric_home", "--on", "2026-11-25")


@pytest.fixture
def run(settings: Settings, database_url: str, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return a function that runs a figures command on the test's database."""
    monkeypatch.setenv("PLUGWARD_DATABASE_URL", database_url)
    monkeypatch.setenv("DATA_DIR", settings.data_dir)

    def command(*words: str, typed: str | bytes = "") -> Result:
        return CliRunner().invoke(main, ["figures", *words], input=typed)

    return command


def test_the_list_shows_source_and_standing_and_what_is_not_known(run: Any) -> None:
    told = run("list", "--name", "advisory_electric_home").output.splitlines()
    assert "2025-09-01\t\t8 pence per mile\tHMRC, advisory fuel rates, via several pages that agree" in told[19]
    assert "(two sources)" in told[19] and told[19].endswith("\tshipped")
    assert told[-1].startswith("advisory_electric_home\tNOT KNOWN\tsince 2026-09-01")
    assert run(*LIST).output == "advisory_electric_home\tNOT KNOWN\tsince 2026-09-01\telectric, charged at home\n"


def test_a_figure_is_recorded_listed_withdrawn_and_still_told(run: Any) -> None:
    done = run(*ADD, "--by", "Op One")
    assert done.exit_code == 0, done.output
    figure_id = re.findall(r"[0-9a-f]{32}", done.output)[0]
    listed = run(*LIST).output
    assert "\t7 pence per mile\tread on the page (operator)\t" in listed
    assert f"{figure_id}, recorded by Op One at" in listed
    assert run("withdraw", figure_id, "--by", "Op Two").exit_code == 0
    assert "NOT KNOWN" in run(*LIST).output
    assert "withdrawn by Op Two" in run(*LIST, "--withdrawn").output
    again = run("withdraw", figure_id, "--by", "Op Two")
    assert (again.exit_code, again.output) == (1, "Error: This figure has been withdrawn before.\n")


def test_nobody_records_without_a_name(run: Any) -> None:
    assert run(*ADD).exit_code == 2
    refused = run(*ADD, "--by", " ")
    assert (refused.exit_code, "by: must name who" in refused.output) == (1, True)


def test_a_figure_out_of_bounds_is_refused_in_words(run: Any) -> None:
    named = ("--name", "vat_public_charging", "--from", "2027-01-01")
    refused = run("add", *named, "--value", "200", "--source", "a page", "--by", "Op")
    assert refused.exit_code == 1
    assert refused.output == "Error: nothing was recorded\nvalue: must lie between 0 and 100 percent\n"


def test_a_table_is_imported_whole_and_only_once(run: Any, tmp_path: Path) -> None:
    table = tmp_path / "rates.csv"
    table.write_text(f"{HEAD}\n{LINE}\n{LINE.replace('home', 'public')}\n")
    assert run("import", str(table), "--by", "Op").output == "2 figures recorded, 0 stood there already.\n"
    assert run("import", str(table), "--by", "Op").output == "0 figures recorded, 2 stood there already.\n"


def test_one_bad_line_keeps_the_whole_table_out(run: Any) -> None:
    refused = run("import", "-", "--by", "Op", typed=f"{HEAD}\n{LINE}\n{LINE.replace(',7,', ',seven,')}\n{LINE},\n")
    assert refused.exit_code == 1
    assert refused.output.splitlines()[1:] == [
        "line 3, value: must be a plain decimal number such as 7 or 0.177", "line 4: must have 8 columns"
    ]
    assert "NOT KNOWN" in run(*LIST).output


@pytest.mark.parametrize(
    ("content", "told"), [(b"\xff\xfe", "must be UTF-8"), (b"x" * 1_000_001, "at most 1,000,000 bytes")]
)
def test_what_is_no_text_or_too_long_is_refused(run: Any, content: bytes, told: str) -> None:
    refused = run("import", "-", "--by", "Op", typed=content)
    assert (refused.exit_code, told in refused.output) == (1, True)


def test_a_day_that_is_none_is_refused(run: Any) -> None:
    refused = run("list", "--on", "soon")
    assert (refused.exit_code, refused.output) == (1, "Error: --on must be a day such as 2026-09-01\n")
