"""money and claims

Revision: 0007, after 0006
"""

import sqlalchemy as sa
from alembic import op

import service.infrastructure.db.types

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "dated_figures",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("key", sa.String(length=60), nullable=False),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("until_on", sa.Date(), nullable=True),
        sa.Column("value", sa.Numeric(precision=16, scale=6), nullable=False),
        sa.Column("unit", sa.String(length=40), nullable=False),
        sa.Column("standing", sa.String(length=16), nullable=False),
        sa.Column("source", sa.String(length=400), nullable=False),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("recorded_by", sa.String(length=120), nullable=False),
        sa.Column("withdrawn_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("withdrawn_by", sa.String(length=120), nullable=True),
        sa.CheckConstraint(
            "standing IN ('published', 'two_sources', 'from_memory', 'assumed', 'operator')",
            name=op.f("ck_dated_figures_standing_known"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dated_figures")),
    )
    with op.batch_alter_table("dated_figures", schema=None) as batch_op:
        batch_op.create_index("ix_dated_figures_name", ["name", "key", "from_on"], unique=False)

    op.create_table(
        "miles_elsewhere",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("tax_year_from_on", sa.Date(), nullable=False),
        sa.Column("miles", sa.Numeric(precision=9, scale=1), nullable=False),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_miles_elsewhere_account_id")),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_miles_elsewhere_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_miles_elsewhere")),
        sa.UniqueConstraint(
            "scheme_id",
            "account_id",
            "tax_year_from_on",
            name=op.f("uq_miles_elsewhere_scheme_id_account_id_tax_year_from_on"),
        ),
    )
    op.create_table(
        "reimbursement_rules",
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("company_method", sa.String(length=16), nullable=False),
        sa.Column("monthly_cap_pence", sa.Integer(), nullable=True),
        sa.Column("claim_within_days", sa.Integer(), nullable=True),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("recorded_by", sa.String(length=32), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "company_method IN ('advisory_rate', 'actual_cost')",
            name=op.f("ck_reimbursement_rules_company_method_known"),
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_reimbursement_rules_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_reimbursement_rules")),
    )
    with op.batch_alter_table("reimbursement_rules", schema=None) as batch_op:
        batch_op.create_index("ix_reimbursement_rules_from", ["scheme_id", "from_on"], unique=False)

    op.create_table(
        "statements",
        sa.Column("month_on", sa.Date(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("claim_count", sa.Integer(), nullable=False),
        sa.Column("total_pence", sa.Integer(), nullable=False),
        sa.Column("document", service.infrastructure.db.types.PackedJson(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("made_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("made_by", sa.String(length=32), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_statements_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_statements")),
        sa.UniqueConstraint("scheme_id", "month_on", "ordinal", name=op.f("uq_statements_scheme_id_month_on_ordinal")),
    )
    op.create_table(
        "appliance_choices",
        sa.Column("appliances", sa.JSON(), nullable=False),
        sa.Column("awake", sa.JSON(), nullable=False),
        sa.Column("changed_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_appliance_choices_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_appliance_choices_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_appliance_choices")),
        sa.UniqueConstraint("scheme_id", "household_id", name=op.f("uq_appliance_choices_scheme_id_household_id")),
    )
    op.create_table(
        "claims",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("month_on", sa.Date(), nullable=False),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("corrects_id", sa.String(length=32), nullable=True),
        sa.Column("miles", sa.Numeric(precision=9, scale=1), nullable=False),
        sa.Column("total_pence", sa.Integer(), nullable=False),
        sa.Column("reckoning", service.infrastructure.db.types.PackedJson(), nullable=True),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("sent_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("decided_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("decided_by", sa.String(length=32), nullable=True),
        sa.Column("statement_id", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "state IN ('draft', 'sent', 'queried', 'approved', 'refused', 'stated')", name=op.f("ck_claims_state_known")
        ),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_claims_account_id")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "corrects_id"], ["claims.scheme_id", "claims.id"], name="fk_claims_corrects"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_claims_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "statement_id"], ["statements.scheme_id", "statements.id"], name="fk_claims_statement"
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_claims_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_claims")),
        sa.UniqueConstraint(
            "scheme_id",
            "account_id",
            "month_on",
            "ordinal",
            name=op.f("uq_claims_scheme_id_account_id_month_on_ordinal"),
        ),
    )
    with op.batch_alter_table("claims", schema=None) as batch_op:
        batch_op.create_index("ix_claims_month", ["scheme_id", "month_on", "state"], unique=False)

    op.create_table(
        "drives",
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("drawing", sa.JSON(), nullable=False),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("created_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_drives_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_drives_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_drives")),
    )
    with op.batch_alter_table("drives", schema=None) as batch_op:
        batch_op.create_index("ix_drives_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "meter_readings",
        sa.Column("register", sa.String(length=24), nullable=False),
        sa.Column("read_on", sa.Date(), nullable=False),
        sa.Column("kwh", sa.Numeric(precision=10, scale=1), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_meter_readings_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_meter_readings_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_meter_readings")),
        sa.UniqueConstraint(
            "scheme_id",
            "household_id",
            "register",
            "read_on",
            name=op.f("uq_meter_readings_scheme_id_household_id_register_read_on"),
        ),
    )
    op.create_table(
        "upgrade_quotes",
        sa.Column("kind", sa.String(length=24), nullable=False),
        sa.Column("cost_pence", sa.Integer(), nullable=False),
        sa.Column("quoted_on", sa.Date(), nullable=False),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("created_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_upgrade_quotes_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_upgrade_quotes_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_upgrade_quotes")),
    )
    with op.batch_alter_table("upgrade_quotes", schema=None) as batch_op:
        batch_op.create_index("ix_upgrade_quotes_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "upgrade_standings",
        sa.Column("change_counter", sa.Integer(), nullable=False),
        sa.Column("week_on", sa.Date(), nullable=False),
        sa.Column("reckoned_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("document", service.infrastructure.db.types.PackedJson(), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_upgrade_standings_scheme_id_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_upgrade_standings_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_upgrade_standings")),
    )
    op.create_table(
        "claim_messages",
        sa.Column("claim_id", sa.String(length=32), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("text", sa.String(length=1000), nullable=False),
        sa.Column("written_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("written_by", sa.String(length=32), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "kind IN ('query', 'answer', 'refusal', 'reason')", name=op.f("ck_claim_messages_kind_known")
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "claim_id"],
            ["claims.scheme_id", "claims.id"],
            name=op.f("fk_claim_messages_scheme_id_claim_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_claim_messages_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_claim_messages")),
    )
    with op.batch_alter_table("claim_messages", schema=None) as batch_op:
        batch_op.create_index("ix_claim_messages_claim", ["scheme_id", "claim_id", "written_at"], unique=False)

    op.create_table(
        "business_trips",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("vehicle_id", sa.String(length=32), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("origin", sa.String(length=120), nullable=False),
        sa.Column("destination", sa.String(length=120), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("miles", sa.Numeric(precision=7, scale=1), nullable=False),
        sa.Column("source", sa.String(length=12), nullable=False),
        sa.Column("journey_id", sa.String(length=32), nullable=True),
        sa.Column("claim_id", sa.String(length=32), nullable=True),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("source IN ('typed', 'csv', 'journey')", name=op.f("ck_business_trips_source_known")),
        sa.ForeignKeyConstraint(["account_id"], ["accounts.id"], name=op.f("fk_business_trips_account_id")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "claim_id"], ["claims.scheme_id", "claims.id"], name="fk_business_trips_claim"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_business_trips_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "vehicle_id"],
            ["vehicles.scheme_id", "vehicles.id"],
            name=op.f("fk_business_trips_scheme_id_vehicle_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_business_trips_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_business_trips")),
        sa.UniqueConstraint(
            "scheme_id", "account_id", "journey_id", name=op.f("uq_business_trips_scheme_id_account_id_journey_id")
        ),
    )
    with op.batch_alter_table("business_trips", schema=None) as batch_op:
        batch_op.create_index("ix_business_trips_account", ["scheme_id", "account_id", "on_date"], unique=False)
        batch_op.create_index("ix_business_trips_claim", ["scheme_id", "claim_id"], unique=False)

    op.create_table(
        "car_holdings",
        sa.Column("vehicle_id", sa.String(length=32), nullable=False),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("held_as", sa.String(length=16), nullable=False),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("recorded_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("held_as IN ('own_car', 'company_car')", name=op.f("ck_car_holdings_held_as_known")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_car_holdings_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "vehicle_id"],
            ["vehicles.scheme_id", "vehicles.id"],
            name=op.f("fk_car_holdings_scheme_id_vehicle_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_car_holdings_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_car_holdings")),
        sa.UniqueConstraint(
            "scheme_id", "vehicle_id", "from_on", name=op.f("uq_car_holdings_scheme_id_vehicle_id_from_on")
        ),
    )
    op.create_table(
        "charging_records",
        sa.Column("vehicle_id", sa.String(length=32), nullable=False),
        sa.Column("outlet_id", sa.String(length=32), nullable=True),
        sa.Column("place", sa.String(length=12), nullable=False),
        sa.Column("starts_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("ends_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("energy_wh", sa.Integer(), nullable=False),
        sa.Column("is_metered", sa.Boolean(), nullable=False),
        sa.Column("half_hours", sa.JSON(), nullable=False),
        sa.Column("paid_pence", sa.Integer(), nullable=True),
        sa.Column("source", sa.String(length=12), nullable=False),
        sa.Column("external_id", sa.String(length=60), nullable=True),
        sa.Column("note", sa.String(length=200), nullable=False),
        sa.Column("created_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("created_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("place IN ('home', 'public', 'work')", name=op.f("ck_charging_records_place_known")),
        sa.CheckConstraint("source IN ('typed', 'csv', 'ocpi')", name=op.f("ck_charging_records_source_known")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_charging_records_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "vehicle_id"],
            ["vehicles.scheme_id", "vehicles.id"],
            name=op.f("fk_charging_records_scheme_id_vehicle_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_charging_records_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_charging_records")),
        sa.UniqueConstraint(
            "scheme_id",
            "household_id",
            "external_id",
            name=op.f("uq_charging_records_scheme_id_household_id_external_id"),
        ),
    )
    with op.batch_alter_table("charging_records", schema=None) as batch_op:
        batch_op.create_index("ix_charging_records_household", ["scheme_id", "household_id", "starts_at"], unique=False)

    op.create_table(
        "odometer_readings",
        sa.Column("vehicle_id", sa.String(length=32), nullable=False),
        sa.Column("read_on", sa.Date(), nullable=False),
        sa.Column("miles", sa.Numeric(precision=8, scale=1), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_odometer_readings_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "vehicle_id"],
            ["vehicles.scheme_id", "vehicles.id"],
            name=op.f("fk_odometer_readings_scheme_id_vehicle_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_odometer_readings_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_odometer_readings")),
        sa.UniqueConstraint(
            "scheme_id", "vehicle_id", "read_on", name=op.f("uq_odometer_readings_scheme_id_vehicle_id_read_on")
        ),
    )
    with op.batch_alter_table("odometer_readings", schema=None) as batch_op:
        batch_op.create_index("ix_odometer_readings_household", ["scheme_id", "household_id"], unique=False)

    with op.batch_alter_table("household_contracts", schema=None) as batch_op:
        batch_op.add_column(sa.Column("exit_fee_pence", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("fixed_until_on", sa.Date(), nullable=True))

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.add_column(sa.Column("meter_kind", sa.String(length=16), nullable=False, server_default="not_known"))
        batch_op.create_check_constraint(
            batch_op.f("ck_households_meter_kind_known"),
            "meter_kind IN ('not_known', 'single_rate', 'two_rate', 'half_hourly')",
        )

    with op.batch_alter_table("tariffs", schema=None) as batch_op:
        batch_op.add_column(sa.Column("meter_needed", sa.String(length=16), nullable=False, server_default="any"))
        batch_op.add_column(sa.Column("needs_charging_point", sa.Boolean(), nullable=False, server_default=sa.false()))
        batch_op.add_column(sa.Column("other_terms", sa.String(length=300), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("is_open", sa.Boolean(), nullable=False, server_default=sa.true()))
        batch_op.add_column(sa.Column("exit_fee_pence", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("fixed_months", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(
            batch_op.f("ck_tariffs_meter_needed_known"), "meter_needed IN ('any', 'two_rate', 'half_hourly')"
        )

    with op.batch_alter_table("journeys", schema=None) as batch_op:
        batch_op.add_column(sa.Column("is_business", sa.Boolean(), nullable=False, server_default=sa.false()))

    with op.batch_alter_table("memberships", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_memberships_role_known"), type_="check")
        batch_op.create_check_constraint(
            batch_op.f("ck_memberships_role_known"), "role IN ('administrator', 'member', 'finance')"
        )

    with op.batch_alter_table("vehicles", schema=None) as batch_op:
        batch_op.add_column(sa.Column("standby_w", sa.Integer(), nullable=False, server_default="0"))
        batch_op.add_column(sa.Column("port", sa.String(length=16), nullable=False, server_default="not_known"))
        batch_op.create_check_constraint(
            batch_op.f("ck_vehicles_port_known"),
            "port IN ('not_known', 'nose', 'tail', 'front_left', 'front_right', 'rear_left', 'rear_right')",
        )


def downgrade() -> None:
    # Nobody could sign in with a role that the older version does not know.
    op.execute("DELETE FROM memberships WHERE role = 'finance'")
    with op.batch_alter_table("memberships", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_memberships_role_known"), type_="check")
        batch_op.create_check_constraint(batch_op.f("ck_memberships_role_known"), "role IN ('administrator', 'member')")

    with op.batch_alter_table("journeys", schema=None) as batch_op:
        batch_op.drop_column("is_business")

    with op.batch_alter_table("vehicles", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_vehicles_port_known"), type_="check")
        batch_op.drop_column("port")
        batch_op.drop_column("standby_w")

    with op.batch_alter_table("tariffs", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_tariffs_meter_needed_known"), type_="check")
        batch_op.drop_column("fixed_months")
        batch_op.drop_column("exit_fee_pence")
        batch_op.drop_column("is_open")
        batch_op.drop_column("other_terms")
        batch_op.drop_column("needs_charging_point")
        batch_op.drop_column("meter_needed")

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_households_meter_kind_known"), type_="check")
        batch_op.drop_column("meter_kind")

    with op.batch_alter_table("household_contracts", schema=None) as batch_op:
        batch_op.drop_column("fixed_until_on")
        batch_op.drop_column("exit_fee_pence")

    with op.batch_alter_table("odometer_readings", schema=None) as batch_op:
        batch_op.drop_index("ix_odometer_readings_household")

    op.drop_table("odometer_readings")
    with op.batch_alter_table("charging_records", schema=None) as batch_op:
        batch_op.drop_index("ix_charging_records_household")

    op.drop_table("charging_records")
    op.drop_table("car_holdings")
    with op.batch_alter_table("business_trips", schema=None) as batch_op:
        batch_op.drop_index("ix_business_trips_claim")
        batch_op.drop_index("ix_business_trips_account")

    op.drop_table("business_trips")
    with op.batch_alter_table("claim_messages", schema=None) as batch_op:
        batch_op.drop_index("ix_claim_messages_claim")

    op.drop_table("claim_messages")
    op.drop_table("upgrade_standings")
    with op.batch_alter_table("upgrade_quotes", schema=None) as batch_op:
        batch_op.drop_index("ix_upgrade_quotes_household")

    op.drop_table("upgrade_quotes")
    op.drop_table("meter_readings")
    with op.batch_alter_table("drives", schema=None) as batch_op:
        batch_op.drop_index("ix_drives_household")

    op.drop_table("drives")
    with op.batch_alter_table("claims", schema=None) as batch_op:
        batch_op.drop_index("ix_claims_month")

    op.drop_table("claims")
    op.drop_table("appliance_choices")
    op.drop_table("statements")
    with op.batch_alter_table("reimbursement_rules", schema=None) as batch_op:
        batch_op.drop_index("ix_reimbursement_rules_from")

    op.drop_table("reimbursement_rules")
    op.drop_table("miles_elsewhere")
    with op.batch_alter_table("dated_figures", schema=None) as batch_op:
        batch_op.drop_index("ix_dated_figures_name")

    op.drop_table("dated_figures")
