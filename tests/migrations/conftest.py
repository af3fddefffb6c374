"""Tests of migrations alter tables, so each has a database of its own that nobody uses again."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.factories.databases import Databases


@pytest.fixture
def database_url(databases: Databases, tmp_path: Path) -> Iterator[str]:
    """The address of a migrated, empty database to alter."""
    url = databases.alterable(tmp_path)
    yield url
    databases.drop(url)
