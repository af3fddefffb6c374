"""visits, surveys and notices

Revision: 0003, after 0002
"""

import sqlalchemy as sa
from alembic import op

import service.infrastructure.db.types

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Existing rows take the server's default: what they do not say is not known.
    op.create_table(
        "clock_leases",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("holder", sa.String(length=80), nullable=False),
        sa.Column("token", sa.Integer(), nullable=False),
        sa.Column("lease_until_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_clock_leases")),
    )
    op.create_table(
        "electricians",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("firm", sa.String(length=120), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("telephone", sa.String(length=40), nullable=False),
        sa.Column("registration", sa.String(length=200), nullable=False),
        sa.Column("listed_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("listed_by", sa.String(length=32), nullable=True),
        sa.Column("unlisted_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_electricians_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_electricians")),
        sa.UniqueConstraint("scheme_id", "email", name=op.f("uq_electricians_scheme_id_email")),
    )
    op.create_table(
        "scheme_rules",
        sa.Column("rule_name", sa.String(length=40), nullable=False),
        sa.Column("interval_days", sa.Integer(), nullable=True),
        sa.Column("interval_months", sa.Integer(), nullable=True),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("made_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("made_by", sa.String(length=32), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_scheme_rules_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_scheme_rules")),
        sa.UniqueConstraint(
            "scheme_id", "rule_name", "from_on", name=op.f("uq_scheme_rules_scheme_id_rule_name_from_on")
        ),
    )
    op.create_table(
        "feed_addresses",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=True),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("made_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("revoked_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("kind IN ('rechecks', 'plan')", name=op.f("ck_feed_addresses_kind_known")),
        sa.ForeignKeyConstraint(
            ["account_id"], ["accounts.id"], name=op.f("fk_feed_addresses_account_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_feed_addresses_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_feed_addresses_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_feed_addresses")),
    )
    with op.batch_alter_table("feed_addresses", schema=None) as batch_op:
        batch_op.create_index("ix_feed_addresses_account", ["scheme_id", "account_id"], unique=False)
        batch_op.create_index("ix_feed_addresses_token", ["token_hash"], unique=False)

    op.create_table(
        "files",
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("purpose", sa.String(length=16), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("media_type", sa.String(length=40), nullable=False),
        sa.Column("size_bytes", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("uploaded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("uploaded_by", sa.String(length=32), nullable=True),
        sa.Column("link_id", sa.String(length=32), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "media_type IN ('application/pdf', 'image/jpeg', 'image/png')", name=op.f("ck_files_media_type_known")
        ),
        sa.CheckConstraint(
            "purpose IN ('certificate', 'photo', 'setting_photo', 'consent')", name=op.f("ck_files_purpose_known")
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_files_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_files_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_files")),
    )
    with op.batch_alter_table("files", schema=None) as batch_op:
        batch_op.create_index("ix_files_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "inspection_links",
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("electrician_id", sa.String(length=32), nullable=True),
        sa.Column("sent_to", sa.String(length=254), nullable=False),
        sa.Column("made_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("made_by", sa.String(length=32), nullable=True),
        sa.Column("expires_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("revoked_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("kind IN ('visit', 'correction')", name=op.f("ck_inspection_links_kind_known")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "electrician_id"],
            ["electricians.scheme_id", "electricians.id"],
            name="fk_inspection_links_electrician",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_inspection_links_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_inspection_links")),
    )
    with op.batch_alter_table("inspection_links", schema=None) as batch_op:
        batch_op.create_index("ix_inspection_links_made", ["scheme_id", "made_at"], unique=False)
        batch_op.create_index("ix_inspection_links_token", ["token_hash"], unique=False)

    op.create_table(
        "safety_notices",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("subject_key", sa.String(length=120), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("text", sa.String(length=4000), nullable=False),
        sa.Column("mail_id", sa.String(length=32), nullable=True),
        sa.Column("told_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("read_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("raised_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("raised_why", sa.String(length=40), nullable=True),
        sa.Column("rung_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("rung_by", sa.String(length=32), nullable=True),
        sa.Column("rung_note", sa.String(length=300), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "kind IN ('stop', 'inspection_stop', 'override', 'overdue')", name=op.f("ck_safety_notices_kind_known")
        ),
        sa.ForeignKeyConstraint(
            ["account_id"], ["accounts.id"], name=op.f("fk_safety_notices_account_id"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_safety_notices_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_safety_notices_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_safety_notices")),
        sa.UniqueConstraint(
            "scheme_id", "account_id", "subject_key", name=op.f("uq_safety_notices_scheme_id_account_id_subject_key")
        ),
    )
    with op.batch_alter_table("safety_notices", schema=None) as batch_op:
        batch_op.create_index("ix_safety_notices_household", ["scheme_id", "household_id", "told_at"], unique=False)
        batch_op.create_index("ix_safety_notices_unread", ["read_at", "raised_at", "told_at"], unique=False)

    op.create_table(
        "shown_answers",
        sa.Column("account_id", sa.String(length=32), nullable=False),
        sa.Column("item_kind", sa.String(length=8), nullable=False),
        sa.Column("item_id", sa.String(length=32), nullable=False),
        sa.Column("clearance", sa.String(length=16), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.Column("shown_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "clearance IN ('fit_to_use', 'use_with_limits', 'do_not_use', 'not_known')",
            name=op.f("ck_shown_answers_clearance_known"),
        ),
        sa.CheckConstraint("item_kind IN ('outlet', 'lead')", name=op.f("ck_shown_answers_item_kind_known")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_shown_answers_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_shown_answers_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_shown_answers")),
    )
    with op.batch_alter_table("shown_answers", schema=None) as batch_op:
        batch_op.create_index(
            "ix_shown_answers_item",
            ["scheme_id", "household_id", "account_id", "item_kind", "item_id", "shown_at"],
            unique=False,
        )

    op.create_table(
        "survey_answers",
        sa.Column("step", sa.String(length=12), nullable=False),
        sa.Column("item_id", sa.String(length=32), nullable=True),
        sa.Column("answers", sa.JSON(), nullable=False),
        sa.Column("saved_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("saved_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "step IN ('home', 'supply', 'circuit', 'outlet', 'lead', 'consents')",
            name=op.f("ck_survey_answers_step_known"),
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_survey_answers_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_survey_answers_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_survey_answers")),
    )
    with op.batch_alter_table("survey_answers", schema=None) as batch_op:
        batch_op.create_index("ix_survey_answers_household", ["scheme_id", "household_id", "saved_at"], unique=False)

    op.create_table(
        "visits",
        sa.Column("outlet_ids", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("reason", sa.String(length=300), nullable=False),
        sa.Column("electrician_id", sa.String(length=32), nullable=True),
        sa.Column("agreed_on", sa.Date(), nullable=True),
        sa.Column("agreed_from", sa.Time(), nullable=True),
        sa.Column("agreed_until", sa.Time(), nullable=True),
        sa.Column("cost_pence", sa.Integer(), nullable=True),
        sa.Column("asked_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("asked_by", sa.String(length=32), nullable=True),
        sa.Column("ended_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "state IN ('asked', 'date_agreed', 'no_access', 'done', 'recorded', 'accepted', 'cancelled')",
            name=op.f("ck_visits_state_known"),
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "electrician_id"], ["electricians.scheme_id", "electricians.id"], name="fk_visits_electrician"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_visits_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_visits_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_visits")),
    )
    with op.batch_alter_table("visits", schema=None) as batch_op:
        batch_op.create_index("ix_visits_household", ["scheme_id", "household_id"], unique=False)
        batch_op.create_index("ix_visits_state", ["scheme_id", "state", "agreed_on"], unique=False)

    op.create_table(
        "consents",
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("answer", sa.String(length=12), nullable=False),
        sa.Column("given_on", sa.Date(), nullable=True),
        sa.Column("file_id", sa.String(length=32), nullable=True),
        sa.Column("recorded_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("recorded_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint("answer IN ('yes', 'no', 'not_needed', 'not_known')", name=op.f("ck_consents_answer_known")),
        sa.CheckConstraint("kind IN ('landlord', 'freeholder', 'insurer')", name=op.f("ck_consents_kind_known")),
        sa.ForeignKeyConstraint(["scheme_id", "file_id"], ["files.scheme_id", "files.id"], name="fk_consents_file"),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_consents_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_consents_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_consents")),
    )
    with op.batch_alter_table("consents", schema=None) as batch_op:
        batch_op.create_index("ix_consents_household", ["scheme_id", "household_id", "recorded_at"], unique=False)

    op.create_table(
        "linked_visits",
        sa.Column("link_id", sa.String(length=32), nullable=False),
        sa.Column("visit_id", sa.String(length=32), nullable=False),
        sa.Column("opens_on", sa.Date(), nullable=False),
        sa.Column("draft", sa.JSON(), nullable=False),
        sa.Column("draft_saved_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("draft_version", sa.Integer(), nullable=False),
        sa.Column("spent_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("corrects_id", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_linked_visits_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "link_id"],
            ["inspection_links.scheme_id", "inspection_links.id"],
            name=op.f("fk_linked_visits_scheme_id_link_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "visit_id"],
            ["visits.scheme_id", "visits.id"],
            name=op.f("fk_linked_visits_scheme_id_visit_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_linked_visits_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_linked_visits")),
        sa.UniqueConstraint(
            "scheme_id", "link_id", "visit_id", name=op.f("uq_linked_visits_scheme_id_link_id_visit_id")
        ),
    )
    op.create_table(
        "overrides",
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("item_kind", sa.String(length=12), nullable=False),
        sa.Column("item_id", sa.String(length=32), nullable=False),
        sa.Column("clearance", sa.String(length=16), nullable=True),
        sa.Column("limit_a", sa.Integer(), nullable=True),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("new_due_on", sa.Date(), nullable=True),
        sa.Column("visit_id", sa.String(length=32), nullable=True),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("made_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("made_by", sa.String(length=32), nullable=True),
        sa.Column("ended_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("ended_by", sa.String(length=32), nullable=True),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "clearance IN ('fit_to_use', 'use_with_limits', 'do_not_use', 'not_known')",
            name=op.f("ck_overrides_clearance_known"),
        ),
        sa.CheckConstraint(
            "item_kind IN ('outlet', 'lead', 'circuit', 'device')", name=op.f("ck_overrides_item_kind_known")
        ),
        sa.CheckConstraint("kind IN ('stricter', 'extension')", name=op.f("ck_overrides_kind_known")),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_overrides_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "visit_id"], ["visits.scheme_id", "visits.id"], name="fk_overrides_visit"
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_overrides_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_overrides")),
        sa.UniqueConstraint(
            "scheme_id",
            "kind",
            "item_kind",
            "item_id",
            "due_on",
            name=op.f("uq_overrides_scheme_id_kind_item_kind_item_id_due_on"),
        ),
    )
    with op.batch_alter_table("overrides", schema=None) as batch_op:
        batch_op.create_index("ix_overrides_household", ["scheme_id", "household_id"], unique=False)

    op.create_table(
        "visit_steps",
        sa.Column("visit_id", sa.String(length=32), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("happened_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("account_id", sa.String(length=32), nullable=True),
        sa.Column("link_id", sa.String(length=32), nullable=True),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.CheckConstraint(
            "state IN ('asked', 'date_agreed', 'no_access', 'done', 'recorded', 'accepted', 'cancelled')",
            name=op.f("ck_visit_steps_state_known"),
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "visit_id"],
            ["visits.scheme_id", "visits.id"],
            name=op.f("fk_visit_steps_scheme_id_visit_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_visit_steps_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_visit_steps")),
    )
    with op.batch_alter_table("visit_steps", schema=None) as batch_op:
        batch_op.create_index("ix_visit_steps_visit", ["scheme_id", "visit_id", "happened_at"], unique=False)

    op.create_table(
        "supervised_charges",
        sa.Column("outlet_id", sa.String(length=32), nullable=False),
        sa.Column("lead_id", sa.String(length=32), nullable=True),
        sa.Column("started_at", service.infrastructure.db.types.UtcInstant(), nullable=False),
        sa.Column("started_by", sa.String(length=32), nullable=True),
        sa.Column("current_a", sa.Integer(), nullable=False),
        sa.Column("first_felt_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("first_answer", sa.String(length=12), nullable=True),
        sa.Column("later_felt_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("later_answer", sa.String(length=12), nullable=True),
        sa.Column("ended_at", service.infrastructure.db.types.UtcInstant(), nullable=True),
        sa.Column("is_clear", sa.Boolean(), nullable=False),
        sa.Column("household_id", sa.String(length=32), nullable=False),
        sa.Column("scheme_id", sa.String(length=32), nullable=False),
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(
            ["scheme_id", "household_id"],
            ["households.scheme_id", "households.id"],
            name=op.f("fk_supervised_charges_scheme_id_household_id"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "lead_id"], ["leads.scheme_id", "leads.id"], name="fk_supervised_charges_lead"
        ),
        sa.ForeignKeyConstraint(
            ["scheme_id", "outlet_id"], ["outlets.scheme_id", "outlets.id"], name="fk_supervised_charges_outlet"
        ),
        sa.ForeignKeyConstraint(["scheme_id"], ["schemes.id"], name=op.f("fk_supervised_charges_scheme_id")),
        sa.PrimaryKeyConstraint("scheme_id", "id", name=op.f("pk_supervised_charges")),
    )
    with op.batch_alter_table("supervised_charges", schema=None) as batch_op:
        batch_op.create_index(
            "ix_supervised_charges_household", ["scheme_id", "household_id", "started_at"], unique=False
        )

    with op.batch_alter_table("circuit_runs", schema=None) as batch_op:
        batch_op.add_column(sa.Column("device_kind", sa.String(length=16), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("device_a", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("rcd_type", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("rcd_ma", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("cable_kind", sa.String(length=20), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("cable_mm2", sa.Numeric(precision=5, scale=2), nullable=True))
        batch_op.add_column(sa.Column("installed", sa.String(length=8), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("ambient_c", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("grouped_circuits", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("insulation_mm", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(
            batch_op.f("ck_circuit_runs_cable_kind_known"),
            "cable_kind IN ('flat_twin_and_earth', 'armoured', 'other', 'not_known')",
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_circuit_runs_device_kind_known"),
            "device_kind IN ('mcb_b', 'mcb_c', 'mcb_d', 'fuse_rewireable', 'fuse_cartridge', 'plug_fuse', 'not_known')",
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_circuit_runs_rcd_type_known"), "rcd_type IN ('none', 'ac', 'a', 'f', 'b', 'not_known')"
        )

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.add_column(sa.Column("tenure", sa.String(length=16), nullable=False, server_default="not_known"))
        batch_op.create_check_constraint(
            batch_op.f("ck_households_tenure_known"),
            "tenure IN ('owner', 'private_rented', 'social_rented', 'not_known')",
        )

    with op.batch_alter_table("inspection_observations", schema=None) as batch_op:
        batch_op.add_column(sa.Column("closed_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("reach", sa.String(length=8), nullable=False, server_default="outlet"))
        batch_op.create_check_constraint(
            batch_op.f("ck_inspection_observations_reach_known"), "reach IN ('outlet', 'circuit', 'home')"
        )

    with op.batch_alter_table("inspections", schema=None) as batch_op:
        batch_op.add_column(sa.Column("source", sa.String(length=8), nullable=False, server_default="typed"))
        batch_op.add_column(sa.Column("registration", sa.String(length=200), nullable=False, server_default=""))
        batch_op.add_column(
            sa.Column("certificate_kind", sa.String(length=16), nullable=False, server_default="not_known")
        )
        batch_op.add_column(sa.Column("file_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("circuit_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("was_tested", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("limitation", sa.String(length=500), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("knew_use", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("answers", sa.JSON(), nullable=False, server_default="{}"))
        batch_op.add_column(sa.Column("limit_a", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("limit_reason", sa.String(length=500), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("is_partial", sa.Boolean(), nullable=False, server_default=sa.false()))
        batch_op.add_column(sa.Column("visit_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("link_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("electrician_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("asked_by", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("received_by", sa.String(length=254), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("supersedes_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("superseded_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("accepted_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("accepted_by", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("acceptance_ground", sa.String(length=12), nullable=True))
        batch_op.add_column(sa.Column("refused_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("refused_by", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("refusal_reason", sa.String(length=500), nullable=True))
        batch_op.create_foreign_key(
            "fk_inspections_link", "inspection_links", ["scheme_id", "link_id"], ["scheme_id", "id"]
        )
        batch_op.create_foreign_key("fk_inspections_visit", "visits", ["scheme_id", "visit_id"], ["scheme_id", "id"])
        batch_op.create_foreign_key(
            "fk_inspections_electrician", "electricians", ["scheme_id", "electrician_id"], ["scheme_id", "id"]
        )
        batch_op.create_foreign_key("fk_inspections_file", "files", ["scheme_id", "file_id"], ["scheme_id", "id"])
        batch_op.create_check_constraint(
            batch_op.f("ck_inspections_acceptance_ground_known"), "acceptance_ground IN ('listed', 'officer')"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_inspections_certificate_kind_known"),
            "certificate_kind IN ('eic', 'minor_works', 'eicr', 'other', 'not_known')",
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_inspections_knew_use_known"), "knew_use IN ('yes', 'no', 'not_known')"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_inspections_source_known"), "source IN ('link', 'officer', 'typed', 'import')"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_inspections_was_tested_known"), "was_tested IN ('yes', 'no', 'not_known')"
        )

    with op.batch_alter_table("leads", schema=None) as batch_op:
        batch_op.add_column(sa.Column("settings_a", sa.JSON(), nullable=False, server_default="[]"))
        batch_op.add_column(sa.Column("phases", sa.Integer(), nullable=False, server_default="1"))
        batch_op.add_column(
            sa.Column("has_plug_sensor", sa.String(length=12), nullable=False, server_default="not_known")
        )
        batch_op.add_column(sa.Column("length_m", sa.Numeric(precision=5, scale=1), nullable=True))
        batch_op.add_column(sa.Column("setting_shown_a", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("setting_shown_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("setting_file_id", sa.String(length=32), nullable=True))
        batch_op.create_foreign_key(
            "fk_leads_setting_file", "files", ["scheme_id", "setting_file_id"], ["scheme_id", "id"]
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_leads_has_plug_sensor_known"), "has_plug_sensor IN ('yes', 'no', 'not_known')"
        )

    with op.batch_alter_table("mail", schema=None) as batch_op:
        batch_op.add_column(sa.Column("account_id", sa.String(length=32), nullable=True))
        batch_op.add_column(sa.Column("unsubscribe_url", sa.String(length=300), nullable=True))
        batch_op.add_column(sa.Column("calendar", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("bounced_at", service.infrastructure.db.types.UtcInstant(), nullable=True))
        batch_op.add_column(sa.Column("resend_of_id", sa.String(length=32), nullable=True))

    with op.batch_alter_table("memberships", schema=None) as batch_op:
        batch_op.add_column(sa.Column("is_safety_officer", sa.Boolean(), nullable=False, server_default=sa.false()))
        batch_op.add_column(sa.Column("is_duty_contact", sa.Boolean(), nullable=False, server_default=sa.false()))
        batch_op.add_column(sa.Column("telephone", sa.String(length=40), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("tips_muted_at", service.infrastructure.db.types.UtcInstant(), nullable=True))

    with op.batch_alter_table("outlets", schema=None) as batch_op:
        batch_op.add_column(sa.Column("car_place", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("ip_code", sa.String(length=8), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("ev_mark", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("in_sun", sa.String(length=12), nullable=False, server_default="not_known"))
        batch_op.add_column(sa.Column("nights_a_week", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(
            batch_op.f("ck_outlets_car_place_known"), "car_place IN ('indoors', 'outdoors', 'not_known')"
        )
        batch_op.create_check_constraint(
            batch_op.f("ck_outlets_ev_mark_known"), "ev_mark IN ('yes', 'no', 'not_known')"
        )
        batch_op.create_check_constraint(batch_op.f("ck_outlets_in_sun_known"), "in_sun IN ('yes', 'no', 'not_known')")

    with op.batch_alter_table("rechecks", schema=None) as batch_op:
        batch_op.add_column(sa.Column("rule_name", sa.String(length=40), nullable=False, server_default=""))
        batch_op.add_column(sa.Column("interval_days", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("is_claimed", sa.Boolean(), nullable=False, server_default=sa.false()))

    with op.batch_alter_table("sign_reports", schema=None) as batch_op:
        batch_op.add_column(sa.Column("withdrawal_file_id", sa.String(length=32), nullable=True))
        batch_op.create_foreign_key(
            "fk_sign_reports_withdrawal_file", "files", ["scheme_id", "withdrawal_file_id"], ["scheme_id", "id"]
        )

    with op.batch_alter_table("supplies", schema=None) as batch_op:
        batch_op.add_column(sa.Column("loads", sa.JSON(), nullable=False, server_default="[]"))



def downgrade() -> None:
    # Existing rows take the server's default: what they do not say is not known.
    with op.batch_alter_table("supplies", schema=None) as batch_op:
        batch_op.drop_column("loads")

    with op.batch_alter_table("sign_reports", schema=None) as batch_op:
        batch_op.drop_constraint("fk_sign_reports_withdrawal_file", type_="foreignkey")
        batch_op.drop_column("withdrawal_file_id")

    with op.batch_alter_table("rechecks", schema=None) as batch_op:
        batch_op.drop_column("is_claimed")
        batch_op.drop_column("interval_days")
        batch_op.drop_column("rule_name")

    with op.batch_alter_table("outlets", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_outlets_in_sun_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_outlets_ev_mark_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_outlets_car_place_known"), type_="check")
        batch_op.drop_column("nights_a_week")
        batch_op.drop_column("in_sun")
        batch_op.drop_column("ev_mark")
        batch_op.drop_column("ip_code")
        batch_op.drop_column("car_place")

    with op.batch_alter_table("memberships", schema=None) as batch_op:
        batch_op.drop_column("tips_muted_at")
        batch_op.drop_column("telephone")
        batch_op.drop_column("is_duty_contact")
        batch_op.drop_column("is_safety_officer")

    with op.batch_alter_table("mail", schema=None) as batch_op:
        batch_op.drop_column("resend_of_id")
        batch_op.drop_column("bounced_at")
        batch_op.drop_column("calendar")
        batch_op.drop_column("unsubscribe_url")
        batch_op.drop_column("account_id")

    with op.batch_alter_table("leads", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_leads_has_plug_sensor_known"), type_="check")
        batch_op.drop_constraint("fk_leads_setting_file", type_="foreignkey")
        batch_op.drop_column("setting_file_id")
        batch_op.drop_column("setting_shown_at")
        batch_op.drop_column("setting_shown_a")
        batch_op.drop_column("length_m")
        batch_op.drop_column("has_plug_sensor")
        batch_op.drop_column("phases")
        batch_op.drop_column("settings_a")

    with op.batch_alter_table("inspection_observations", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_inspection_observations_reach_known"), type_="check")
        batch_op.drop_column("reach")
        batch_op.drop_column("closed_at")

    with op.batch_alter_table("inspections", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_inspections_was_tested_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_inspections_source_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_inspections_knew_use_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_inspections_certificate_kind_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_inspections_acceptance_ground_known"), type_="check")
        batch_op.drop_constraint("fk_inspections_file", type_="foreignkey")
        batch_op.drop_constraint("fk_inspections_electrician", type_="foreignkey")
        batch_op.drop_constraint("fk_inspections_visit", type_="foreignkey")
        batch_op.drop_constraint("fk_inspections_link", type_="foreignkey")
        batch_op.drop_column("refusal_reason")
        batch_op.drop_column("refused_by")
        batch_op.drop_column("refused_at")
        batch_op.drop_column("acceptance_ground")
        batch_op.drop_column("accepted_by")
        batch_op.drop_column("accepted_at")
        batch_op.drop_column("superseded_at")
        batch_op.drop_column("supersedes_id")
        batch_op.drop_column("received_by")
        batch_op.drop_column("asked_by")
        batch_op.drop_column("electrician_id")
        batch_op.drop_column("link_id")
        batch_op.drop_column("visit_id")
        batch_op.drop_column("is_partial")
        batch_op.drop_column("limit_reason")
        batch_op.drop_column("limit_a")
        batch_op.drop_column("answers")
        batch_op.drop_column("knew_use")
        batch_op.drop_column("limitation")
        batch_op.drop_column("was_tested")
        batch_op.drop_column("circuit_id")
        batch_op.drop_column("file_id")
        batch_op.drop_column("certificate_kind")
        batch_op.drop_column("registration")
        batch_op.drop_column("source")

    with op.batch_alter_table("households", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_households_tenure_known"), type_="check")
        batch_op.drop_column("tenure")

    with op.batch_alter_table("circuit_runs", schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_circuit_runs_rcd_type_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_circuit_runs_device_kind_known"), type_="check")
        batch_op.drop_constraint(batch_op.f("ck_circuit_runs_cable_kind_known"), type_="check")
        batch_op.drop_column("insulation_mm")
        batch_op.drop_column("grouped_circuits")
        batch_op.drop_column("ambient_c")
        batch_op.drop_column("installed")
        batch_op.drop_column("cable_mm2")
        batch_op.drop_column("cable_kind")
        batch_op.drop_column("rcd_ma")
        batch_op.drop_column("rcd_type")
        batch_op.drop_column("device_a")
        batch_op.drop_column("device_kind")

    with op.batch_alter_table("supervised_charges", schema=None) as batch_op:
        batch_op.drop_index("ix_supervised_charges_household")

    op.drop_table("supervised_charges")
    with op.batch_alter_table("visit_steps", schema=None) as batch_op:
        batch_op.drop_index("ix_visit_steps_visit")

    op.drop_table("visit_steps")
    with op.batch_alter_table("overrides", schema=None) as batch_op:
        batch_op.drop_index("ix_overrides_household")

    op.drop_table("overrides")
    op.drop_table("linked_visits")
    with op.batch_alter_table("consents", schema=None) as batch_op:
        batch_op.drop_index("ix_consents_household")

    op.drop_table("consents")
    with op.batch_alter_table("visits", schema=None) as batch_op:
        batch_op.drop_index("ix_visits_state")
        batch_op.drop_index("ix_visits_household")

    op.drop_table("visits")
    with op.batch_alter_table("survey_answers", schema=None) as batch_op:
        batch_op.drop_index("ix_survey_answers_household")

    op.drop_table("survey_answers")
    with op.batch_alter_table("shown_answers", schema=None) as batch_op:
        batch_op.drop_index("ix_shown_answers_item")

    op.drop_table("shown_answers")
    with op.batch_alter_table("safety_notices", schema=None) as batch_op:
        batch_op.drop_index("ix_safety_notices_unread")
        batch_op.drop_index("ix_safety_notices_household")

    op.drop_table("safety_notices")
    with op.batch_alter_table("inspection_links", schema=None) as batch_op:
        batch_op.drop_index("ix_inspection_links_token")
        batch_op.drop_index("ix_inspection_links_made")

    op.drop_table("inspection_links")
    with op.batch_alter_table("files", schema=None) as batch_op:
        batch_op.drop_index("ix_files_household")

    op.drop_table("files")
    with op.batch_alter_table("feed_addresses", schema=None) as batch_op:
        batch_op.drop_index("ix_feed_addresses_token")
        batch_op.drop_index("ix_feed_addresses_account")

    op.drop_table("feed_addresses")
    op.drop_table("scheme_rules")
    op.drop_table("electricians")
    op.drop_table("clock_leases")
