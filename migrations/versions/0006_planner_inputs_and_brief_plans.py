"""planner inputs and brief plans

Revision: 0006, after 0005
"""

import sqlalchemy as sa
from alembic import op

import service.infrastructure.db.types

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Without a row a home is planned the long way, which writes one: nothing is to be filled in here.
    op.create_table(
        "planner_inputs",
        sa.Column("plan_id", sa.String(length=32), nullable=False),
        sa.Column("price_key", sa.String(length=32), nullable=False),
        sa.Column("prices_fingerprint", sa.String(length=32), nullable=False),
        sa.Column("car", sa.Text(), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "id"],
            ["households.scheme_id", "households.id"],
            name="fk_planner_inputs_household",
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_planner_inputs_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_planner_inputs")),
        sqlite_with_rowid=False,
    )
    with op.batch_alter_table("plans", schema=None) as batch_op:
        batch_op.alter_column("document", existing_type=sa.JSON(), nullable=True)
        batch_op.alter_column("prices", existing_type=service.infrastructure.db.types.PackedJson(), nullable=True)
        batch_op.alter_column("working", existing_type=service.infrastructure.db.types.PackedJson(), nullable=True)


def downgrade() -> None:
    # A brief plan cannot be told to a version that does not know of them; its home is due for a new one at once.
    op.execute("DELETE FROM current_plans WHERE plan_id IN (SELECT id FROM plans WHERE document IS NULL)")
    op.execute("DELETE FROM plans WHERE document IS NULL")
    with op.batch_alter_table("plans", schema=None) as batch_op:
        batch_op.alter_column("working", existing_type=service.infrastructure.db.types.PackedJson(), nullable=False)
        batch_op.alter_column("prices", existing_type=service.infrastructure.db.types.PackedJson(), nullable=False)
        batch_op.alter_column("document", existing_type=sa.JSON(), nullable=False)
    op.drop_table("planner_inputs")
