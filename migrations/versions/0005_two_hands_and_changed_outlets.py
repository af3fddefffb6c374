"""two hands and changed outlets

Revision: 0005, after 0004
"""

import sqlalchemy as sa
from alembic import op

import service.infrastructure.db.types

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "outlet_changes",
        sa.Column("outlet_id", sa.String(length=32), nullable=False),
        sa.Column("what", sa.String(length=300), nullable=False),
        sa.Column("changed_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("changed_on", sa.Date(), nullable=False),
        sa.Column("changed_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_outlet_changes_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "outlet_id"],
            ["outlets.scheme_id", "outlets.id"],
            name=op.f("fk_outlet_changes_scheme_id_outlet_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_outlet_changes_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_outlet_changes")),
    )
    with op.batch_alter_table("outlet_changes", schema=None) as batch_op:
        batch_op.create_index("ix_outlet_changes_household", ["scheme_id", "household_id"], unique=False)

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.add_column(sa.Column("occupied_since_on", sa.Date(), nullable=True))

    with op.batch_alter_table("electricians", schema=None) as batch_op:
        batch_op.add_column(sa.Column("address_by", sa.String(length=32), nullable=True))
    op.execute("UPDATE electricians SET address_by = listed_by")

    # The address of every link made so far was told to whoever made it.
    with op.batch_alter_table("inspection_links", schema=None) as batch_op:
        batch_op.add_column(sa.Column("is_told", sa.Boolean(), nullable=False, server_default=sa.true()))


def downgrade() -> None:
    with op.batch_alter_table("inspection_links", schema=None) as batch_op:
        batch_op.drop_column("is_told")

    with op.batch_alter_table("electricians", schema=None) as batch_op:
        batch_op.drop_column("address_by")

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.drop_column("occupied_since_on")

    with op.batch_alter_table("outlet_changes", schema=None) as batch_op:
        batch_op.drop_index("ix_outlet_changes_household")

    op.drop_table("outlet_changes")
