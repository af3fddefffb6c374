"""The tree keeps its own rules: who may import whom, where tests stand, and how tables carry the scheme."""

import importlib
import pkgutil
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import sqlalchemy as sa

import service
from service.infrastructure.db.base import GLOBAL_TABLES, Base, SchemeScoped
from service.infrastructure.db.sessions import Database

ROOT = Path(__file__).parent.parent
LONGEST_NAME = 63  # PostgreSQL cuts what is longer, and two cut names may be one

for module in pkgutil.walk_packages(service.__path__, "service."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)

TABLES = sorted(Base.metadata.tables.values(), key=lambda table: table.name)
SCOPED = [table for table in TABLES if table.name not in GLOBAL_TABLES]
# One broken import for each contract: the file, and the line that breaks it.
FAULTS = {
    "Features depend downwards only": ("tariffs/operations/prices.py", "import service.planning.models"),
    "Inside a feature: edges, operations, models, domain": ("planning/models.py", "import service.planning.operations"),
    "Domain code is pure": ("planning/domain/plans.py", "import sqlalchemy"),
    "Use cases do not know HTTP": ("reminders/emails/rechecks.py", "import flask"),
    "Only the composition roots import edges": ("reporting/operations/lists.py", "import service.safety.jobs"),
}


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    command = shutil.which("lint-imports", path=Path(sys.executable).parent)
    assert command, "import-linter belongs to the development requirements"
    order = [command, "--no-cache", "--config", str(ROOT / "pyproject.toml")]
    return subprocess.run(order, cwd=folder, capture_output=True, text=True, check=False)


def test_every_import_keeps_the_direction() -> None:
    done = lint_imports(ROOT)
    assert done.returncode == 0, done.stdout
    assert f"{len(FAULTS)} kept, 0 broken" in done.stdout


def test_an_import_in_the_wrong_direction_is_noticed_by_each_contract(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "service", tmp_path / "service", ignore=shutil.ignore_patterns("__pycache__"))
    for file, line in FAULTS.values():
        with (tmp_path / "service" / file).open("a") as source:
            source.write(f"\n{line}\n")
    done = lint_imports(tmp_path)
    assert done.returncode == 1
    assert {contract: f"{contract} BROKEN" in done.stdout for contract in FAULTS} == dict.fromkeys(FAULTS, True)


def test_every_test_of_the_service_stands_where_its_subject_does() -> None:
    strays = [
        str(test)
        for test in (path.relative_to(ROOT) for path in (ROOT / "tests" / "service").rglob("test_*.py"))
        if not any(
            (ROOT / test.parent.relative_to("tests") / f"{test.stem.removeprefix('test_')}{ending}").exists()
            for ending in ("", ".py")
        )
    ]
    assert strays == []


def test_every_model_is_known_to_the_migrations(database: Database) -> None:
    migrated = set(sa.inspect(database.engine).get_table_names()) - {"alembic_version"}
    assert {table.name for table in TABLES} == migrated


def test_every_table_belongs_to_one_scheme_or_is_named_as_global() -> None:
    assert {table.name for table in TABLES} >= GLOBAL_TABLES
    mixed_in = {mapper.local_table.name for mapper in Base.registry.mappers if issubclass(mapper.class_, SchemeScoped)}
    assert mixed_in == {table.name for table in SCOPED}


@pytest.mark.parametrize("table", SCOPED, ids=lambda table: table.name)
def test_a_schemes_table_carries_the_scheme_in_its_key_and_in_all_references(table: sa.Table) -> None:
    assert [column.name for column in table.primary_key] == ["scheme_id", "id"]
    for reference in table.foreign_key_constraints:
        columns = [(element.parent.name, element.column.name) for element in reference.elements]
        target = reference.referred_table.name
        if target == "schemes":
            assert columns == [("scheme_id", "id")]
        elif target not in GLOBAL_TABLES:
            assert columns[0] == ("scheme_id", "scheme_id"), reference.name
            assert columns[1][1] == "id" and len(columns) == 2


@pytest.mark.parametrize("table", SCOPED, ids=lambda table: table.name)
def test_what_is_unique_in_a_schemes_table_is_unique_within_the_scheme(table: sa.Table) -> None:
    for unique in table.constraints:
        if isinstance(unique, sa.UniqueConstraint):
            assert "scheme_id" in unique.columns, "a unique key over all schemes tells one what another has"
    for index in table.indexes:
        assert not index.unique or "scheme_id" in index.columns


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_constraint_has_a_name_that_postgresql_keeps_whole(table: sa.Table) -> None:
    for named in (*table.constraints, *table.indexes):
        assert named.name, named
        assert len(str(named.name)) <= LONGEST_NAME


def test_no_two_constraints_share_a_name() -> None:
    names = [str(named.name) for table in TABLES for named in (*table.constraints, *table.indexes)]
    assert len(names) == len(set(names))
