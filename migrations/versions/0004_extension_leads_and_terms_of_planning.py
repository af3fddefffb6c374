"""extension leads and terms of planning

Revision: 0004, after 0003
"""

import sqlalchemy as sa
from alembic import op

import service.infrastructure.db.types

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Existing rows take the server's default: somebody is up at seven in the evening, nothing else is known.
    op.create_table(
        "house_readings",
        sa.Column("slot", sa.Integer(), nullable=False),
        sa.Column("energy_wh", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_house_readings_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_house_readings_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_house_readings")),
        sa.UniqueConstraint(
            "scheme_id", "household_id", "slot", name=op.f("uq_house_readings_scheme_id_household_id_slot")
        ),
    )
    op.create_table(
        "what_ifs",
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("changes", sa.JSON(), nullable=False),
        sa.Column("result", sa.JSON(), nullable=True),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("created_by", sa.String(length=32), nullable=True),
        sa.Column("is_shared", sa.Boolean(), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_what_ifs_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_what_ifs_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_what_ifs")),
    )
    with op.batch_alter_table("what_ifs", schema=None) as batch_op:
        batch_op.create_index("ix_what_ifs_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "extension_leads",
        sa.Column("outlet_id", sa.String(length=32), nullable=False),
        sa.Column("label", sa.String(length=80), nullable=False),
        sa.Column("mark", sa.String(length=120), nullable=False),
        sa.Column("size_mm2", sa.Numeric(precision=5, scale=2), nullable=True),
        sa.Column("length_m", sa.Numeric(precision=5, scale=1), nullable=True),
        sa.Column("is_coiled", sa.String(length=12), nullable=False),
        sa.Column("is_chained", sa.String(length=12), nullable=False),
        sa.Column("has_several_sockets", sa.String(length=12), nullable=False),
        sa.Column("place", sa.String(length=12), nullable=False),
        sa.Column("is_outdoor_rated", sa.String(length=12), nullable=False),
        sa.Column("reel_unwound_w", sa.Integer(), nullable=True),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("recorded_by", sa.String(length=32), nullable=True),
        sa.Column("ended_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("ended_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "has_several_sockets IN ('yes', 'no', 'not_known')",
            name=op.f("ck_extension_leads_has_several_sockets_known"),
        ),
        sa.CheckConstraint(
            "is_chained IN ('yes', 'no', 'not_known')", name=op.f("ck_extension_leads_is_chained_known")
        ),
        sa.CheckConstraint("is_coiled IN ('yes', 'no', 'not_known')", name=op.f("ck_extension_leads_is_coiled_known")),
        sa.CheckConstraint(
            "is_outdoor_rated IN ('yes', 'no', 'not_known')", name=op.f("ck_extension_leads_is_outdoor_rated_known")
        ),
        sa.CheckConstraint(
            "place IN ('indoors', 'outdoors', 'not_known')", name=op.f("ck_extension_leads_place_known")
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_extension_leads_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "outlet_id"], ["outlets.scheme_id", "outlets.id"], name="fk_extension_leads_outlet"
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_extension_leads_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_extension_leads")),
    )
    with op.batch_alter_table("extension_leads", schema=None) as batch_op:
        batch_op.create_index("ix_extension_leads_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "diary_days",
        sa.Column("vehicle_id", sa.String(length=32), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("miles", sa.Numeric(precision=6, scale=1), nullable=False),
        sa.Column("source", sa.String(length=12), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_diary_days_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "vehicle_id"],
            ["vehicles.scheme_id", "vehicles.id"],
            name=op.f("fk_diary_days_scheme_id_vehicle_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_diary_days_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_diary_days")),
        sa.UniqueConstraint(
            "scheme_id", "vehicle_id", "on_date", name=op.f("uq_diary_days_scheme_id_vehicle_id_on_date")
        ),
    )
    with op.batch_alter_table("diary_days", schema=None) as batch_op:
        batch_op.create_index("ix_diary_days_household", ["scheme_id", "household_id"], unique=False)

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.add_column(sa.Column("swap_times_min", sa.JSON(), nullable=False, server_default="[1140]"))
        batch_op.add_column(sa.Column("need_quantile_permille", sa.Integer(), nullable=False, server_default="900"))
        batch_op.add_column(sa.Column("yearly_kwh", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("quiet_from_min", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("quiet_until_min", sa.Integer(), nullable=True))

    with op.batch_alter_table("outlets", schema=None) as batch_op:
        batch_op.add_column(sa.Column("control", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("start_delay_s", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(
            batch_op.f("ck_outlets_control_known"), "control IN ('not_known', 'timer', 'schedule')"
        )

    with op.batch_alter_table("vehicles", schema=None) as batch_op:
        batch_op.add_column(sa.Column("other_outlet_ids", sa.JSON(), nullable=False, server_default="[]"))
        batch_op.add_column(sa.Column("taper_from_percent", sa.Integer(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("vehicles", schema=None) as batch_op:
        batch_op.drop_column("taper_from_percent")
        batch_op.drop_column("other_outlet_ids")

    with op.batch_alter_table("outlets", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_outlets_control_known"), type_="check")
        batch_op.drop_column("start_delay_s")
        batch_op.drop_column("control")

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.drop_column("quiet_until_min")
        batch_op.drop_column("quiet_from_min")
        batch_op.drop_column("yearly_kwh")
        batch_op.drop_column("need_quantile_permille")
        batch_op.drop_column("swap_times_min")

    with op.batch_alter_table("diary_days", schema=None) as batch_op:
        batch_op.drop_index("ix_diary_days_household")

    op.drop_table("diary_days")
    with op.batch_alter_table("extension_leads", schema=None) as batch_op:
        batch_op.drop_index("ix_extension_leads_household")

    op.drop_table("extension_leads")
    with op.batch_alter_table("what_ifs", schema=None) as batch_op:
        batch_op.drop_index("ix_what_ifs_household")

    op.drop_table("what_ifs")
    op.drop_table("house_readings")
