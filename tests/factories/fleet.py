"""A fleet of invented homes, written in bulk, for proofs and benchmarks that need thousands.

Each home has one car on a 10 A lead, a two-rate tariff whose cheap hours hold all it needs, an accepted
inspection, a supervised charge and a check of yesterday. The draft version moves the cheap hours of one
region only, so exactly its homes get new charging times once it is published.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Table, insert

from service.accounts.models import Account, Membership, Role, Scheme
from service.common.calendar import DayKind, Nation
from service.households import models as households
from service.infrastructure.db.base import Base
from service.infrastructure.db.sessions import Database
from service.infrastructure.files import StoredFile
from service.safety import models as safety
from service.safety.domain.due_dates import months_after
from service.tariffs import models as tariffs
from tests.factories.signs import GOOD_ANSWERS

ZONE = ZoneInfo("Europe/London")
MOVING_REGION = "Driftmoor"
SETTLED_REGIONS = ("Northmere", "Saltmarsh", "Highfell")
NIGHT, MOVED_NIGHT = (60, 300), (150, 390)  # 01:00-05:00 and 02:30-06:30, minutes after midnight
NO_PASSWORD = "!no password opens this account"
HOMES_A_WRITE = 500
_ANSWERS = GOOD_ANSWERS.to_json()


@dataclass(frozen=True)
class Fleet:
    """What was made: the tariff all homes are on, the draft to publish, and whose times it moves."""

    tariff_id: str
    draft_version_id: str
    moving_household_ids: tuple[str, ...]
    household_ids: tuple[str, ...]


def make_fleet(
    database: Database, scheme_id: str, count: int, *, seed: int, now: datetime, moving_share: float = 0.02
) -> Fleet:
    """Write ``count`` homes into a scheme, which is made if it is missing, and return what was made.

    The same seed gives the same homes in every database. ``moving_share`` of them, rounded, and one at
    least unless it is 0, live in the region whose cheap hours the draft moves, from the day of ``now``.
    """
    rng = random.Random(f"{seed}/{scheme_id}")
    _ensure_scheme(database, scheme_id, now)
    today = now.astimezone(ZONE).date()
    tariff_id, draft_id = _write_tariff(database, scheme_id, rng, today, now)
    moving_count = max(1, round(count * moving_share)) if moving_share else 0
    moving = frozenset(rng.sample(range(count), moving_count))
    ids: list[str] = []
    for start in range(0, count, HOMES_A_WRITE):
        homes = [
            _Home(rng, number, scheme_id, MOVING_REGION if number in moving else rng.choice(SETTLED_REGIONS))
            for number in range(start, min(count, start + HOMES_A_WRITE))
        ]
        _write_homes(database, scheme_id, homes, tariff_id, today, now)
        ids.extend(home.id for home in homes)
        if start in (0, HOMES_A_WRITE * 3) and not database.is_sqlite:
            _tell_sizes(database, scheme_id)
    return Fleet(tariff_id, draft_id, tuple(ids[number] for number in sorted(moving)), tuple(ids))


def _tell_sizes(database: Database, scheme_id: str) -> None:
    """Let PostgreSQL know that tables have grown: until then it checks references by reading whole tables."""
    with database.fleet(scheme_id) as writer:
        writer.connection.exec_driver_sql("ANALYZE")


def _ensure_scheme(database: Database, scheme_id: str, now: datetime) -> None:
    with database.system(write=True) as session:
        if session.get(Scheme, scheme_id) is None:
            session.add(Scheme(id=scheme_id, name=f"Fleet {scheme_id[:8]} (invented)", created_at=now))


def _new_id(rng: random.Random) -> str:
    return f"{rng.getrandbits(128):032x}"


def _write_tariff(
    database: Database, scheme_id: str, rng: random.Random, today: date, now: datetime
) -> tuple[str, str]:
    """Write the tariff with a published version and the draft; return the ids of tariff and draft."""
    tariff_id, version_id, draft_id = _new_id(rng), _new_id(rng), _new_id(rng)
    name = f"Fleet two-rate {tariff_id[:6]} (invented)"
    shared = {"tariff_id": tariff_id, "vat_percent": Decimal(5), "vat_included": True, "version": 1}
    began_on = today - timedelta(days=100)
    versions = [
        {**shared, "id": version_id, "label": "Two rates", "valid_from_on": began_on, "published_at": now},
        {**shared, "id": draft_id, "label": f"{MOVING_REGION} moves", "valid_from_on": today, "published_at": None},
    ]
    sheets = [*_sheets(rng, version_id, NIGHT), *_sheets(rng, draft_id, MOVED_NIGHT)]
    with database.fleet(scheme_id) as writer:
        writer.insert(
            table(tariffs.Tariff),
            [{"id": tariff_id, "name": name, "kind": "banded", "clock": "local", "created_at": now, "version": 1}],
        )
        writer.insert(table(tariffs.TariffVersion), versions)
        writer.insert(table(tariffs.RateSheet), [sheet for sheet, _ in sheets])
        writer.insert(table(tariffs.RateBand), [band for _, bands in sheets for band in bands])
    return tariff_id, draft_id


def _sheets(
    rng: random.Random, version_id: str, moving_night: tuple[int, int]
) -> Iterator[tuple[dict[str, Any], list[dict[str, Any]]]]:
    """Yield a sheet and its bands for each region; only the moving region's cheap hours are ``moving_night``."""
    for position, region in enumerate((MOVING_REGION, *SETTLED_REGIONS)):
        sheet_id = _new_id(rng)
        night = moving_night if region == MOVING_REGION else NIGHT
        sheet = {"id": sheet_id, "version_id": version_id, "position": position, "region": region, "payment": None}
        yield (
            {**sheet, "standing_up_per_day": 43_700_000},
            [
                _band(rng, sheet_id, 0, "night", 9_400_000 + 310_000 * position, [_window(*night)]),
                _band(rng, sheet_id, 1, "day", 31_200_000 + 270_000 * position, []),
            ],
        )


def _band(
    rng: random.Random, sheet_id: str, position: int, name: str, price_up: int, windows: list[dict[str, Any]]
) -> dict[str, Any]:
    return {
        "id": _new_id(rng),
        "sheet_id": sheet_id,
        "position": position,
        "name": name,
        "price_up": price_up,
        "windows": windows,
        "is_otherwise": not windows,
    }


def _window(starts_at_min: int, ends_at_min: int) -> dict[str, Any]:
    return {
        "starts_at_min": starts_at_min,
        "ends_at_min": ends_at_min,
        "day_kinds": [kind.value for kind in DayKind],
        "months": list(range(1, 13)),
    }


def table(model: type[Base]) -> Table:
    """Return the table behind a model, as the fleet writer wants it."""
    assert isinstance(model.__table__, Table)
    return model.__table__


class _Home:
    """One invented home: its ids and what differs from the next one's."""

    def __init__(self, rng: random.Random, number: int, scheme_id: str, region: str) -> None:
        self.number, self.region, self.scheme_id = number, region, scheme_id
        ids = rng.randbytes(16 * len(_ID_NAMES)).hex()
        self.ids = {name: ids[32 * place : 32 * place + 32] for place, name in enumerate(_ID_NAMES)}
        self.id = self.ids["household"]
        self.departure_ids = [_new_id(rng) for _ in range(rng.randint(5, 7))]
        self.leaves_min = rng.randrange(7 * 60, 9 * 60, 5)
        self.returns_min = rng.randrange(16 * 60, 19 * 60, 5)
        # A week takes at least 100 miles, 23 kWh; the charge above the reserve is at most 18 kWh. So
        # every home charges in the week, and not in one night: a 10 A lead gives 8 kWh in four hours.
        self.miles = Decimal(rng.randint(20, 28))
        self.battery_wh = rng.randrange(40, 61) * 1000
        self.miles_per_kwh = Decimal(rng.randint(32, 42)) / 10
        self.charge_percent = rng.randint(30, 50)


_ID_NAMES = (
    "account",
    "household",
    "membership",
    "supply",
    "circuit",
    "run",
    "outlet",
    "lead",
    "vehicle",
    "contract",
    "inspection",
    "recheck",
    "status",
    "file",
    "check",
    "supervised",
)


def _write_homes(
    database: Database, scheme_id: str, homes: Sequence[_Home], tariff_id: str, today: date, now: datetime
) -> None:
    """Write some homes in one transaction, their people in another before it."""
    with database.system(write=True) as session:
        session.execute(insert(Account), [_account(home, now) for home in homes])
    rows: dict[Table, list[dict[str, Any]]] = {}
    for home in homes:
        for model, row in _rows(home, tariff_id, today, now):
            rows.setdefault(table(model), []).append(row)
    with database.fleet(scheme_id) as writer:
        for each, values in rows.items():
            writer.insert(each, values)


def _account(home: _Home, now: datetime) -> dict[str, Any]:
    email = f"driver-{home.number + 1}@{home.scheme_id[:12]}.fleet.example"
    name = f"Driver {home.number + 1}"
    return {"id": home.ids["account"], "email": email, "name": name, "password_hash": NO_PASSWORD, "created_at": now}


def _rows(home: _Home, tariff_id: str, today: date, now: datetime) -> Iterator[tuple[type[Base], dict[str, Any]]]:
    """Yield a home's rows, each after those it refers to."""
    yield from _premises(home, now)
    yield from _car(home, now)
    of_home = {"household_id": home.id, "version": 1}
    yield (
        households.Contract,
        {
            **of_home,
            "id": home.ids["contract"],
            "tariff_id": tariff_id,
            "starts_on": today - timedelta(days=90),
            "windows": {},
        },
    )
    yield from _evidence(home, today, now)


def _premises(home: _Home, now: datetime) -> Iterator[tuple[type[Base], dict[str, Any]]]:
    ids, of_home = home.ids, {"household_id": home.id}
    yield (
        households.Household,
        {
            "id": home.id,
            "reference": f"F-{home.number + 1:05d}",
            "member_name": f"Driver {home.number + 1}",
            "address": f"{home.number + 1} Tallow Lane, {home.region}",
            "postcode": "ZZ9 9ZZ",
            "zone": ZONE.key,
            "nation": Nation.ENGLAND.value,
            "region": home.region,
            "payment": "direct debit",
            "created_at": now,
            "version": 1,
        },
    )
    yield (
        Membership,
        {
            **of_home,
            "id": ids["membership"],
            "account_id": ids["account"],
            "role": Role.MEMBER.value,
            "since_at": now,
        },
    )
    yield (
        households.Supply,
        {
            **of_home,
            "id": ids["supply"],
            "version": 1,
            "fuse_a": 80,
            "earthing": "tn_c_s",
            "looped": "no",
        },
    )
    yield households.Circuit, {**of_home, "id": ids["circuit"], "label": "garage radial"}
    yield households.CircuitRun, {"id": ids["run"], "circuit_id": ids["circuit"], "position": 0, "kind": "radial"}
    yield (
        households.Outlet,
        {
            **of_home,
            "id": ids["outlet"],
            "version": 1,
            "circuit_id": ids["circuit"],
            "ordinal": 1,
            "label": "garage socket",
            "kind": "socket_13a",
            "place": "indoors",
            "limit_a": 10,
        },
    )
    yield (
        households.Lead,
        {
            **of_home,
            "id": ids["lead"],
            "version": 1,
            "label": "portable lead",
            "kind": "mode_2",
            "rated_a": 10,
            "set_a": 10,
        },
    )


def _car(home: _Home, now: datetime) -> Iterator[tuple[type[Base], dict[str, Any]]]:
    of_home = {"household_id": home.id}
    yield (
        households.Vehicle,
        {
            **of_home,
            "id": home.ids["vehicle"],
            "version": 1,
            "ordinal": 1,
            "label": "hatchback",
            "battery_wh": home.battery_wh,
            "miles_per_kwh": home.miles_per_kwh,
            "onboard_limit_a": 32,
            "outlet_id": home.ids["outlet"],
            "lead_id": home.ids["lead"],
            "charge_percent": home.charge_percent,
            "charge_read_at": now - timedelta(hours=1),
        },
    )
    leaves_at, returns_at = (time(*divmod(minutes, 60)) for minutes in (home.leaves_min, home.returns_min))
    for weekday, departure_id in enumerate(home.departure_ids):
        yield (
            households.RoutineDeparture,
            {
                **of_home,
                "id": departure_id,
                "vehicle_id": home.ids["vehicle"],
                "weekday": weekday,
                "leaves_at": leaves_at,
                "returns_at": returns_at,
                "miles": home.miles,
            },
        )


def _evidence(home: _Home, today: date, now: datetime) -> Iterator[tuple[type[Base], dict[str, Any]]]:
    ids, of_home, due_on = home.ids, {"household_id": home.id}, today + timedelta(days=1600)
    known_at = now - timedelta(days=190)
    yield (
        StoredFile,
        {
            **of_home,
            "id": ids["file"],
            "purpose": "certificate",
            "sha256": "0" * 64,
            "media_type": "application/pdf",
            "size_bytes": 1_000,
            "name": "certificate.pdf",
            "uploaded_at": known_at,
        },
    )
    yield (
        safety.Inspection,
        {
            **of_home,
            "id": ids["inspection"],
            "outlet_id": ids["outlet"],
            "inspected_on": today - timedelta(days=200),
            "next_due_on": due_on,
            "certificate_number": f"FLEET-{home.number + 1}",
            "electrician": "Hollin Wiring (invented)",
            "recorded_at": known_at,
            "source": "link",
            "file_id": ids["file"],
            "was_tested": "yes",
            "knew_use": "yes",
            "answers": _ANSWERS,
            "accepted_at": known_at,
            "acceptance_ground": "listed",
        },
    )
    felt = {"first_felt_at": known_at, "first_answer": "cool", "later_felt_at": known_at, "later_answer": "cool"}
    of_outlet = {**of_home, "outlet_id": ids["outlet"], "lead_id": ids["lead"]}
    yield (
        safety.SupervisedCharge,
        {
            **of_outlet,
            **felt,
            "id": ids["supervised"],
            "started_at": known_at,
            "current_a": 10,
            "ended_at": known_at,
            "is_clear": True,
        },
    )
    yield (
        safety.Check,
        {**of_outlet, "id": ids["check"], "made_at": now - timedelta(days=1), "answers": [], "is_clear": True},
    )
    yield (
        safety.Recheck,
        {
            **of_home,
            "id": ids["recheck"],
            "item_kind": "outlet",
            "item_id": ids["outlet"],
            "due_on": due_on,
            "rule": "the inspection's own next due date",
        },
    )
    yield (
        safety.ClearanceStatus,
        {
            **of_home,
            "id": ids["status"],
            "clearance": "fit_to_use",
            "valid_until_on": months_after(today - timedelta(days=1), 1),
            "next_recheck_on": due_on,
            "derived_at": now,
        },
    )
