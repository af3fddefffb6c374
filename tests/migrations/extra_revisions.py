"""Revisions that exist for one test only, on top of the newest real one."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent, indent

from alembic.config import Config

from service.cli.migrate import ROOT, alembic_config
from service.infrastructure.db.sessions import Database
from tests.migrations.demo_states import revisions


def with_revision(database: Database, folder: Path, up: str, down: str = "pass", *, number: str = "9001") -> Config:
    """Write a revision of these statements after the newest and return the settings that know it."""
    after = number[:-1] + str(int(number[-1]) - 1)
    before = after if (folder / f"{after}.py").exists() else revisions()[-1]
    text = f'''"""a revision of a test"""

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "{number}", "{before}", None, None


def upgrade():
{indent(dedent(up).strip(), "    ")}


def downgrade():
{indent(dedent(down).strip(), "    ")}
'''
    (folder / f"{number}.py").write_text(text)
    config = alembic_config(database)
    config.set_main_option("version_locations", f"{ROOT / 'migrations' / 'versions'}:{folder}")
    config.set_main_option("path_separator", ":")
    return config
