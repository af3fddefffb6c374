"""Two schemes with one of everything, so that every operation has something to act on, and something foreign."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from argon2 import PasswordHasher
from sqlalchemy import select, update

from service.accounts import operations as accounts
from service.accounts.domain import Duties
from service.accounts.models import Role
from service.advice.models import Drive, UpgradeQuote
from service.common.clock import FixedClock
from service.households.models import (
    ChargingRecord,
    Circuit,
    Contract,
    DiaryDay,
    Household,
    Journey,
    Lead,
    MeterReading,
    OdometerReading,
    Outlet,
    Supply,
    Vehicle,
)
from service.infrastructure.db.sessions import Database
from service.infrastructure.files import StoredFile
from service.infrastructure.mail.queue import Mail
from service.infrastructure.settings import Settings
from service.planning.models import ReplanRun, WhatIf
from service.reimbursement.models import BusinessTrip, ClaimMessage
from service.reminders.models import SafetyNotice
from service.safety.models import (
    Check,
    Electrician,
    ExtensionLead,
    Inspection,
    LeadTest,
    Observation,
    Override,
    Recheck,
    SignReport,
    SupervisedCharge,
    Visit,
)
from service.tariffs.models import Tariff, TariffVersion
from service.worker import create_worker
from tests.conftest import NOON, PASSWORD
from tests.factories.claim_world import add_claims
from tests.factories.drives import simple_drive
from tests.factories.fleet import make_fleet
from tests.factories.notices import add_told_person
from tests.factories.visits import add_doorstep, person, secret_for

CANARY = "canary-of-the-other-scheme"


@dataclass(frozen=True)
class Side:
    """One scheme's ids by the names paths use, and its people's addresses."""

    scheme_id: str
    ids: Mapping[str, str]
    second_household_id: str
    administrator: str
    member: str
    safety_officer: str = ""
    finance: str = ""
    link_secret: str = ""


@dataclass(frozen=True)
class World:
    """Ours, where requests come from, and theirs, which must never show."""

    ours: Side
    theirs: Side


def build_world(database: Database, settings: Settings, hasher: PasswordHasher) -> World:
    """Fill an empty, migrated database."""
    world = World(_side(database, "a" * 32, "ours", hasher), _side(database, "b" * 32, "theirs", hasher))
    worker = create_worker(settings, database=database, clock=FixedClock(NOON))
    worker.prepare_plans()
    for side in (world.ours, world.theirs):
        with database.scheme(side.scheme_id, write=False) as session:
            side.ids["run_id"] = session.scalars(select(ReplanRun.id)).first()  # type: ignore[index]
    return world


def _side(database: Database, scheme_id: str, name: str, hasher: PasswordHasher) -> Side:
    with database.system(write=True) as session:
        accounts.create_scheme(session, scheme_id=scheme_id, name=name, now=NOON)
    fleet = make_fleet(database, scheme_id, 2, seed=len(name), now=NOON)
    home, second = fleet.household_ids
    people = {}
    account_ids = {}
    for role, household_id in ((Role.ADMINISTRATOR, None), (Role.MEMBER, home), (Role.FINANCE, None)):
        email = f"{role}@{name}.example"
        with database.system(write=True) as session:
            account = accounts.create_account(
                session, email=email, name=f"{role} of {name}", password=PASSWORD, hasher=hasher, now=NOON
            )
        with database.scheme(scheme_id, write=True) as session:
            accounts.add_membership(session, account_id=account.id, role=role, household_id=household_id, now=NOON)
        people[role], account_ids[role] = email, account.id
    ids = {"household_id": home, "tariff_id": fleet.tariff_id, "version_id": fleet.draft_version_id, "position": "1"}
    ids["kind"] = "landlord"
    ids |= _one_of_everything(database, scheme_id, home)
    ids["other_home_id"] = second
    with database.scheme(scheme_id, write=False) as session:
        ids["other_car_id"] = session.scalars(select(Vehicle.id).where(Vehicle.household_id == second)).first()
    with database.scheme(scheme_id, write=True) as session:
        ids |= add_told_person(session, home, account_ids[Role.ADMINISTRATOR])
        ids |= add_claims(
            session, home, ids["vehicle_id"], member=account_ids[Role.MEMBER], decider=account_ids[Role.ADMINISTRATOR]
        )
        ids |= add_doorstep(session, home, ids["outlet_id"], link_secret=secret_for(name))
    officer = f"officer@{name}.example"
    ids["account_id"] = person(database, hasher, scheme_id, officer, duties=Duties(is_safety_officer=True))
    if name == "theirs":
        _plant_canaries(database, scheme_id)
    return Side(
        scheme_id, ids, second, people[Role.ADMINISTRATOR], people[Role.MEMBER], officer, people[Role.FINANCE],
        secret_for(name),
    )


def _one_of_everything(database: Database, scheme_id: str, home: str) -> dict[str, str]:
    ids: dict[str, str] = {}
    with database.scheme(scheme_id, write=True) as session:
        for name, model in (
            ("vehicle_id", Vehicle),
            ("outlet_id", Outlet),
            ("lead_id", Lead),
            ("circuit_id", Circuit),
            ("contract_id", Contract),
            ("supply_id", Supply),
        ):
            ids[name] = session.scalars(select(model.id).where(model.household_id == home)).first()
        journey = Journey(
            household_id=home,
            vehicle_id=ids["vehicle_id"],
            leaves_at=NOON + timedelta(days=2),
            returns_at=NOON + timedelta(days=3),
            miles=Decimal(90),
        )
        inspection = session.scalars(select(Inspection).where(Inspection.household_id == home)).first()
        recheck = Recheck(
            household_id=home, item_kind="lead", item_id=ids["lead_id"], due_on=date(2027, 1, 1), rule="a test's rule"
        )
        half_hourly = Tariff(name=f"Half-hours {scheme_id[:3]}", kind="half_hourly", clock="local", created_at=NOON)
        # Long ago, and lifted by the inspection: the home's plan charges.
        long_ago = NOON - timedelta(days=900)
        report = SignReport(
            household_id=home, sign="outlet_replaced", outlet_id=ids["outlet_id"], outlet_ids=[ids["outlet_id"]],
            lead_ids=[], seen_at=long_ago, reported_at=long_ago, note="a note",
        )
        check = Check(
            household_id=home, outlet_id=ids["outlet_id"], lead_id=ids["lead_id"], made_at=long_ago, answers=[],
            is_clear=False, note="a note",
        )
        test = LeadTest(
            household_id=home, lead_id=ids["lead_id"], kind="test", is_passed=True, done_at=long_ago,
            tested_by="Somebody", reference="T-1", recorded_at=long_ago,
        )
        charge = SupervisedCharge(
            household_id=home, outlet_id=ids["outlet_id"], lead_id=ids["lead_id"], started_at=NOON, current_a=8,
            is_clear=False,
        )
        file = StoredFile(
            household_id=home, purpose="setting_photo", sha256="0" * 64, media_type="image/jpeg", size_bytes=1_000,
            name="setting.jpg", uploaded_at=NOON,
        )
        # No stricter than the outlet's own limit: the home's plan charges.
        override = Override(
            household_id=home, kind="stricter", item_kind="outlet", item_id=ids["outlet_id"], made_at=long_ago,
            clearance="use_with_limits", limit_a=10, reason="a note",
        )
        # Not used any more: the home's plan charges.
        extension = ExtensionLead(
            household_id=home, outlet_id=ids["outlet_id"], label="A drum", mark="1", recorded_at=long_ago,
            ended_at=long_ago + timedelta(days=1),
        )
        day = DiaryDay(household_id=home, vehicle_id=ids["vehicle_id"], on_date=NOON.date(), miles=Decimal(31))
        odometer = OdometerReading(
            household_id=home, vehicle_id=ids["vehicle_id"], read_on=date(2026, 11, 1), miles=Decimal(20_000)
        )
        session.add(odometer)
        meter = MeterReading(household_id=home, read_on=date(2026, 10, 1), kwh=Decimal("10000"))
        session.add(meter)
        charged = ChargingRecord(
            household_id=home, vehicle_id=ids["vehicle_id"], place="home", starts_at=NOON - timedelta(hours=9),
            ends_at=NOON - timedelta(hours=7), energy_wh=2_300, is_metered=False, half_hours=[], source="typed",
            note="a note", created_at=NOON,
        )
        side = {"cost_up": 1, "energy_wh": 100, "short_wh": 0, "short_departures": 0, "night_count": 1}
        drive = Drive(
            household_id=home, label="The drive", drawing=simple_drive().to_json(), created_at=NOON,
        )
        what_if = WhatIf(
            household_id=home,
            label="A bigger fuse",
            changes={"supply": {"fuse_a": 100, "phases": 1}},
            result={
                "starts_at": NOON.isoformat(), "ends_at": NOON.isoformat(), "now": side, "changed": side,
                "yearly": {"saved_up": 0, "closed_wh": 0}, "notes": [], "working": [],
            },
            created_at=NOON,
            is_shared=True,
        )
        session.add_all(
            [journey, recheck, half_hourly, report, check, test, charge, file, override, extension, day, what_if, drive,
             charged]
        )
        session.add(Observation(inspection_id=inspection.id, position=1, code="C3", note="a note"))
        quote = UpgradeQuote(
            household_id=home, kind="point_tethered", cost_pence=110_000, quoted_on=NOON.date(), note="a note",
            created_at=NOON,
        )
        session.add(quote)
        session.flush()
        ids |= {
            "journey_id": journey.id,
            "day_id": day.id,
            "odometer_reading_id": odometer.id,
            "reading_id": meter.id,
            "recheck_id": recheck.id,
            "report_id": report.id,
            "charge_id": charge.id,
            "override_id": override.id,
            "extension_id": extension.id,
            "what_if_id": what_if.id,
            "drive_id": drive.id,
            "quote_id": quote.id,
            "record_id": charged.id,
            "item_id": ids["outlet_id"],
            "file_id": file.id,
            "inspection_id": inspection.id,
            "half_hourly_id": half_hourly.id,
        }
    return ids


def _plant_canaries(database: Database, scheme_id: str) -> None:
    texts = {
        Household: ("member_name", "address"),
        Outlet: ("label", "maker_model"),
        Lead: ("label", "supplied_by"),
        Vehicle: ("label",),
        Circuit: ("label",),
        Tariff: ("name",),
        TariffVersion: ("label",),
        Inspection: ("electrician", "certificate_number"),
        Observation: ("note",),
        Journey: ("note",),
        Recheck: ("rule",),
        Override: ("reason",),
        Check: ("note",),
        ExtensionLead: ("label", "mark"),
        LeadTest: ("tested_by", "reference"),
        SignReport: ("note",),
        Electrician: ("name", "firm", "registration"),
        Visit: ("reason",),
        StoredFile: ("name",),
        WhatIf: ("label",),
        Drive: ("label",),
        UpgradeQuote: ("note",),
        ChargingRecord: ("note",),
        BusinessTrip: ("origin", "destination", "reason"),
        ClaimMessage: ("text",),
        SafetyNotice: ("subject", "text"),
        Mail: ("subject", "text", "reason"),
    }
    with database.scheme(scheme_id, write=True) as session:
        for model, columns in texts.items():
            for row_id in session.scalars(select(model.id)).all():
                values = dict.fromkeys(columns, f"{CANARY} {row_id[:4]}")
                session.execute(update(model).where(model.id == row_id).values(**values))
