"""Store what is missing of the demo scheme, in a few transactions; read everything before the first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.domain import check_password
from service.accounts.models import Account, Membership, Role, Scheme
from service.accounts.operations import create_scheme
from service.cli.seed.charged import CHARGED_FILE, SeededCharging, read_charging, store_charging
from service.cli.seed.claims import CLAIMS_FILE, SeededClaims, read_claims, store_claims
from service.cli.seed.drives import DRIVES_FILE, SeededDrive, read_drives, store_drives
from service.cli.seed.files import Moment, Node, SeedError, files_in, read_json, stable_id
from service.cli.seed.home_parts import STAGES, HomeRows
from service.cli.seed.homes import home_rows
from service.cli.seed.people import Person, accounts, administrator, person
from service.cli.seed.results import ANSWERS_FILE, read_templates
from service.cli.seed.taking import TAKING_FILE, add_taking
from service.cli.seed.tariffs import TariffRows, tariff_rows
from service.common.slots import checked_zone
from service.households.models import Household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.files import FilesOnDisk
from service.safety.domain.visit_details import ElectricianDetails
from service.safety.models import Electrician, Recheck
from service.safety.operations import refresh_status
from service.tariffs.models import Tariff

SCHEME_FILE = "scheme.json"


@dataclass(frozen=True)
class DemoSignIns:
    """The demo's one password, and who is worth signing in as: (e-mail address, what it shows)."""

    password: str
    people: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class LoadedDemo:
    """The demo's scheme, and how much of it was not stored before."""

    scheme_id: str
    added_accounts: int
    added_tariffs: int
    added_households: int


@dataclass(frozen=True)
class _Seed:
    """Everything the files say, checked."""

    scheme_id: str
    name: str
    sign_ins: DemoSignIns
    administrators: list[Person]
    finance: list[Person]
    electricians: list[dict[str, str]]
    tariffs: list[TariffRows]
    homes: list[HomeRows]
    claims: SeededClaims
    charging: tuple[SeededCharging, ...]
    drives: tuple[SeededDrive, ...]
    moment: Moment

    @property
    def people(self) -> list[Person]:
        """Everybody who signs in."""
        return [*self.administrators, *self.finance, *(each for home in self.homes for each in home.people)]


def sign_ins(folder: Path) -> DemoSignIns:
    """Return how to sign in to the demo of a seed folder; raises ``SeedError``."""
    return _sign_ins(_scheme_file(folder))


def load_demo(
    database: Database, *, now: datetime, hasher: PasswordHasher, folder: Path, files: FilesOnDisk | None = None
) -> LoadedDemo:
    """Store what is missing of the demo scheme of a seed folder; ``files`` keeps its certificates, where it is given.

    What is stored already stays as it is, edits included, so a second call adds nothing. A home is
    stored whole or not at all. Nothing is announced: the worker plans every home without a plan.

    Raises
    ------
    SeedError
        Before anything is written, naming file, place and rule.
    """
    seed = _read(folder, now)
    with database.system(write=True) as session:
        if session.get(Scheme, seed.scheme_id) is None:
            create_scheme(session, scheme_id=seed.scheme_id, name=seed.name, now=now)
    added_accounts = _store_accounts(database, seed, hasher)
    with database.scheme(seed.scheme_id, write=True) as scheme_session:
        _store_administrators(scheme_session, seed)
        _store_finance(scheme_session, seed)
        _store_electricians(scheme_session, seed)
        added_tariffs = _store_tariffs(scheme_session, seed.tariffs)
    with database.scheme(seed.scheme_id, write=True) as scheme_session:
        added_households = _store_homes(scheme_session, seed, files)
        store_drives(scheme_session, seed.drives, seed.moment)
        store_claims(scheme_session, seed.claims, seed.moment)
        store_charging(scheme_session, seed.charging, seed.moment)
    return LoadedDemo(seed.scheme_id, added_accounts, added_tariffs, added_households)


def _scheme_file(folder: Path) -> Node:
    names = ("name", "demo_password", "zone", "administrators", "finance", "electricians", "sign_ins")
    return read_json(folder, SCHEME_FILE).object(*names)


def _electrician(node: Node) -> dict[str, str]:
    names = ("name", "firm", "email", "telephone", "registration")
    node.object(*names)
    with node.checked():
        return asdict(ElectricianDetails(**{name: node.text(name) for name in names}))


def _sign_ins(root: Node) -> DemoSignIns:
    with root.checked():
        check_password(root.name("demo_password"))
    people = [node.object("email", "what") for node in root.items("sign_ins")]
    return DemoSignIns(root.name("demo_password"), tuple((node.name("email"), node.name("what")) for node in people))


def _read(folder: Path, now: datetime) -> _Seed:
    root = _scheme_file(folder)
    with root.checked():
        moment = Moment(now, checked_zone(root.name("zone")))
    administrators = [administrator(node) for node in root.items("administrators")]
    if not administrators:
        raise root.at("administrators").fault("must name at least one person")
    tariffs = [
        tariff_rows(read_json(folder, file), moment, folder, published_by=administrators[0].account_id)
        for file in files_in(folder, "tariffs")
    ]
    terms = {rows.tariff.name: rows.version_terms for rows in tariffs}
    templates = read_templates(read_json(folder, ANSWERS_FILE))
    homes = [home_rows(read_json(folder, file), moment, terms, templates) for file in files_in(folder, "homes")]
    households = [row for home in homes for stage in home.stages for row in stage if isinstance(row, Household)]
    add_taking(read_json(folder, TAKING_FILE), {rows.tariff.name: rows.tariff for rows in tariffs}, households)
    seed = _Seed(
        stable_id("scheme", root.name("name")),
        root.name("name"),
        _sign_ins(root),
        administrators,
        [person(node) for node in root.items("finance")],
        [_electrician(node) for node in root.items("electricians")],
        tariffs,
        homes,
        read_claims(read_json(folder, CLAIMS_FILE), moment),
        read_charging(read_json(folder, CHARGED_FILE), moment),
        read_drives(read_json(folder, DRIVES_FILE)),
        moment,
    )
    _check_whole(root, seed)
    return seed


def _check_whole(root: Node, seed: _Seed) -> None:
    """Refuse what no file shows alone: repeated names, and sign-ins that nobody has."""
    for what, names in (
        ("tariffs", [rows.tariff.name for rows in seed.tariffs]),
        ("homes", [home.reference for home in seed.homes]),
        ("people", [each.email for each in seed.people]),
    ):
        repeated = sorted({name for name in names if names.count(name) > 1})
        if repeated:
            raise SeedError(f"{what}: more than one is named {', '.join(repeated)}")
    strangers = {email for email, _ in seed.sign_ins.people} - {each.email for each in seed.people}
    if strangers:
        raise root.at("sign_ins").fault(f"names {', '.join(sorted(strangers))}, who has no account")


def _store_accounts(database: Database, seed: _Seed, hasher: PasswordHasher) -> int:
    with database.system(write=False) as session:
        wanted = [each.account_id for each in seed.people]
        known = set(session.scalars(select(Account.id).where(Account.id.in_(wanted))))
    missing = [each for each in seed.people if each.account_id not in known]
    # Hashing is slow on purpose: it is done before the write lock is taken.
    rows = accounts(missing, seed.sign_ins.password, hasher, seed.moment)
    if rows:
        with database.system(write=True) as session:
            session.add_all(rows)
    return len(rows)


def _store_administrators(session: SchemeSession, seed: _Seed) -> None:
    for each in seed.administrators:
        membership_id = stable_id("membership", "administrator", each.email)
        if session.get(Membership, (session.scheme_id, membership_id)) is None:
            session.add(
                Membership(
                    id=membership_id,
                    account_id=each.account_id,
                    role=Role.ADMINISTRATOR.value,
                    since_at=seed.moment.now,
                    is_safety_officer=each.is_safety_officer,
                    is_duty_contact=each.is_duty_contact,
                )
            )


def _store_finance(session: SchemeSession, seed: _Seed) -> None:
    for each in seed.finance:
        membership_id = stable_id("membership", "finance", each.email)
        if session.get(Membership, (session.scheme_id, membership_id)) is None:
            session.add(
                Membership(
                    id=membership_id,
                    account_id=each.account_id,
                    role=Role.FINANCE.value,
                    since_at=seed.moment.now,
                )
            )


def _store_electricians(session: SchemeSession, seed: _Seed) -> None:
    for values in seed.electricians:
        electrician_id = stable_id("electrician", values["email"])
        if session.get(Electrician, (session.scheme_id, electrician_id)) is None:
            session.add(Electrician(id=electrician_id, listed_at=seed.moment.now, **values))


def _store_tariffs(session: SchemeSession, tariffs: Sequence[TariffRows]) -> int:
    stored = set(session.scalars(select(Tariff.id)))
    missing = [rows for rows in tariffs if rows.tariff.id not in stored]
    for rows in missing:
        for stage in rows.in_order():
            session.add_all(stage)
            session.flush()
    return len(missing)


def _store_homes(session: SchemeSession, seed: _Seed, files: FilesOnDisk | None) -> int:
    stored = set(session.scalars(select(Household.id)))
    missing = [home for home in seed.homes if home.household_id not in stored]
    # A row never points at nothing: the files come first.
    if files is not None:
        for document in (each for home in missing for each in home.certificates):
            document.keep(files, session.scheme_id)
    for stage in range(STAGES):
        session.add_all(row for home in missing for row in home.stages[stage])
        session.flush()
    for home in missing:
        refresh_status(session, home.household_id, at=seed.moment.now)
    _name_rechecks(session, [home.household_id for home in missing])
    return len(missing)


def _name_rechecks(session: SchemeSession, household_ids: Sequence[str]) -> None:
    """Give dates that evidence set ids that follow from them, so that the same instant gives the same rows."""
    for row in session.scalars(select(Recheck).where(Recheck.household_id.in_(household_ids))):
        row.id = stable_id("recheck", row.household_id, row.item_kind, row.item_id, row.due_on.isoformat())
    session.flush()
