"""Tariffs over HTTP: typed in, looked at, changed under its ETag, published; prices as CSV."""

from collections.abc import Callable
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from service.accounts.operations import create_scheme
from service.households.models import Household
from service.infrastructure.db.sessions import Database
from service.infrastructure.outbox import Event
from tests.factories.tariffs import draft_json, price_csv

FIRST_AT = datetime(2026, 11, 26, tzinfo=UTC)
BASE = "/api/v1/tariffs"
UNKNOWN = "0" * 32


@pytest.fixture
def admin(client: Callable[..., Any], scheme: str) -> Any:
    """A signed-in administrator."""
    return client("administrator", scheme)


def _create(admin: Any, *, kind: str = "banded", name: str = "Alder Fixed") -> str:
    reply = admin.post(BASE, json={"name": name, "kind": kind, "clock": "local"})
    assert reply.status_code == 201, reply.get_data(as_text=True)
    return str(reply.json["id"])


def _draft(admin: Any, tariff_id: str, **changes: Any) -> Any:
    reply = admin.post(f"{BASE}/{tariff_id}/versions", json=draft_json(**changes))
    assert reply.status_code == 201, reply.get_data(as_text=True)
    return reply


def _put_prices(admin: Any, tariff_id: str, text: str | bytes) -> Any:
    return admin.put(f"{BASE}/{tariff_id}/prices", data=text, content_type="text/csv")


def _pointers(reply: Any) -> dict[str, str]:
    assert reply.content_type == "application/problem+json"
    return {entry["pointer"]: entry["detail"] for entry in reply.json.get("errors", [])}


def _event_names(database: Database, scheme: str) -> list[str]:
    with database.scheme(scheme, write=False) as session:
        return list(session.scalars(select(Event.name)))


def test_a_tariff_is_created_listed_and_got(admin: Any) -> None:
    tariff_id = _create(admin)
    expected = {
        "id": tariff_id,
        "name": "Alder Fixed",
        "kind": "banded",
        "clock": "local",
        "current_version_id": None,
        "versions": [],
        "series": None,
        "meter_needed": "any",
        "needs_charging_point": False,
        "other_terms": "",
        "is_open": True,
        "exit_fee_pence": None,
        "fixed_months": None,
    }
    assert admin.get(f"{BASE}/{tariff_id}").json == expected
    assert admin.get(BASE).json == {"items": [expected]}


def test_a_taken_name_is_a_conflict_that_says_so(admin: Any) -> None:
    _create(admin)
    reply = admin.post(BASE, json={"name": "Alder Fixed", "kind": "banded", "clock": "gmt"})
    assert (reply.status_code, reply.json["type"]) == (409, "/problems/tariff-name-taken")
    assert "Alder Fixed" in reply.json["detail"]


def test_a_repeated_creation_under_one_key_creates_once(admin: Any) -> None:
    body, headers = {"name": "Rowan", "kind": "banded", "clock": "local"}, {"Idempotency-Key": "one-key"}
    first, second = (admin.post(BASE, json=body, headers=headers) for _ in range(2))
    assert (first.status_code, second.status_code, first.json) == (201, 201, second.json)
    assert len(admin.get(BASE).json["items"]) == 1


def test_a_draft_comes_back_as_it_was_sent_with_its_etag(admin: Any) -> None:
    tariff_id = _create(admin)
    made = _draft(admin, tariff_id)
    body = dict(made.json)
    version_id = body.pop("id")
    assert body == {**draft_json(), "tariff_id": tariff_id, "published_at": None}
    got = admin.get(f"{BASE}/{tariff_id}/versions/{version_id}")
    assert (got.json, got.headers["ETag"]) == (made.json, made.headers["ETag"])
    again = admin.get(f"{BASE}/{tariff_id}/versions/{version_id}", headers={"If-None-Match": got.headers["ETag"]})
    assert (again.status_code, again.get_data()) == (304, b"")


def test_days_and_months_left_out_mean_always_and_midnight_ends_a_day(admin: Any) -> None:
    body = draft_json()
    body["sheets"][0]["bands"][0]["windows"] = [{"starts_at": "22:00", "ends_at": "24:00"}]
    reply = admin.post(f"{BASE}/{_create(admin)}/versions", json=body)
    [window] = reply.json["sheets"][0]["bands"][0]["windows"]
    assert window == {
        "starts_at": "22:00",
        "ends_at": "00:00",
        "day_kinds": ["weekday", "weekend", "bank_holiday"],
        "months": list(range(1, 13)),
    }


def test_an_edit_needs_the_etag_of_the_copy_it_was_made_from(admin: Any) -> None:
    tariff_id = _create(admin)
    made = _draft(admin, tariff_id)
    address, etag = f"{BASE}/{tariff_id}/versions/{made.json['id']}", made.headers["ETag"]
    changed = draft_json()
    changed["sheets"][0]["bands"][1]["price_pence_per_kwh"] = "32"
    assert admin.put(address, json=changed).status_code == 428
    assert admin.delete(address).status_code == 428
    done = admin.put(address, json=changed, headers={"If-Match": etag})
    assert (done.status_code, done.json["sheets"]) == (200, changed["sheets"])
    assert done.headers["ETag"] != etag
    assert admin.put(address, json=draft_json(), headers={"If-Match": etag}).status_code == 412
    assert admin.delete(address, headers={"If-Match": etag}).status_code == 412
    assert admin.get(address).json["sheets"] == changed["sheets"]
    assert admin.delete(address, headers={"If-Match": done.headers["ETag"]}).status_code == 204
    assert admin.get(address).status_code == 404


def test_publishing_is_answered_the_same_twice_and_announced_once(admin: Any, database: Database, scheme: str) -> None:
    tariff_id = _create(admin)
    version_id = _draft(admin, tariff_id, valid_from_on="2026-11-01").json["id"]
    address = f"{BASE}/{tariff_id}/versions/{version_id}/publication"
    first, second = admin.post(address), admin.post(address)
    assert (first.status_code, second.status_code) == (200, 200)
    assert first.json == second.json == {"version_id": version_id, "published_at": "2026-11-25T12:00:00+00:00"}
    assert _event_names(database, scheme) == ["TariffChanged"]
    assert admin.get(f"{BASE}/{tariff_id}").json["current_version_id"] == version_id


def test_a_published_version_is_a_conflict_to_change(admin: Any) -> None:
    tariff_id = _create(admin)
    version_id = _draft(admin, tariff_id).json["id"]
    address = f"{BASE}/{tariff_id}/versions/{version_id}"
    admin.post(f"{address}/publication")
    headers = {"If-Match": admin.get(address).headers["ETag"]}
    replies = [admin.put(address, json=draft_json(), headers=headers), admin.delete(address, headers=headers)]
    assert [(reply.status_code, reply.json["type"]) for reply in replies] == [(409, "/problems/version-frozen")] * 2


def test_a_second_version_on_one_day_is_a_conflict_that_names_the_first(admin: Any) -> None:
    tariff_id = _create(admin)
    for label in ("Winter", "Winter again"):
        version_id = _draft(admin, tariff_id, label=label).json["id"]
        reply = admin.post(f"{BASE}/{tariff_id}/versions/{version_id}/publication")
    assert (reply.status_code, reply.json["type"]) == (409, "/problems/version-start-taken")
    assert "Winter already starts on 2026-12-01" in reply.json["detail"]


DAY = {"starts_at": "06:00", "ends_at": "00:30"}  # leaves 05:30 to 06:00 open
BAD_DRAFTS = [
    ("an unknown name", [], "colour", "blue", "#/colour"),
    ("no sheets", [], "sheets", [], "#/sheets"),
    ("a label of blanks", [], "label", "  ", "#/label"),
    ("a date that is none", [], "valid_from_on", "2026-02-30", "#/valid_from_on"),
    ("VAT over 100", [], "vat_percent", "101", "#/vat_percent"),
    ("VAT as a number", [], "vat_percent", 5, "#/vat_percent"),
    ("a negative standing charge", ["sheets", 0], "standing_pence_per_day", "-1", "#/sheets/0/standing_pence_per_day"),
    ("no bands", ["sheets", 0], "bands", [], "#/sheets/0/bands"),
    ("a price in words", ["sheets", 0, "bands", 1], "price_pence_per_kwh", "dear",
     "#/sheets/0/bands/1/price_pence_per_kwh"),
    ("a band name twice", ["sheets", 0, "bands", 1], "name", "night", "#/sheets/0/bands/1/name"),
    ("two otherwise bands", ["sheets", 0, "bands", 0], "is_otherwise", True, "#/sheets/0/bands/0/windows"),
    ("a band that never holds", ["sheets", 0, "bands", 1], "is_otherwise", False, "#/sheets/0/bands/1/windows"),
    ("a gap", ["sheets", 0, "bands"], 1, {"name": "day", "price_pence_per_kwh": "31", "windows": [DAY]},
     "#/sheets/0/bands"),
    ("a window off the half-hour", ["sheets", 0, "bands", 0, "windows", 0], "starts_at", "00:15",
     "#/sheets/0/bands/0/windows/0/starts_at"),
    ("a month that is none", ["sheets", 0, "bands", 0, "windows", 0], "months", [13],
     "#/sheets/0/bands/0/windows/0/months/0"),
    ("a month twice", ["sheets", 0, "bands", 0, "windows", 0], "months", [1, 1],
     "#/sheets/0/bands/0/windows/0/months"),
    ("no day kind", ["sheets", 0, "bands", 0, "windows", 0], "day_kinds", [],
     "#/sheets/0/bands/0/windows/0/day_kinds"),
]  # fmt: skip


@pytest.mark.parametrize(("case", "path", "name", "value", "pointer"), BAD_DRAFTS, ids=[row[0] for row in BAD_DRAFTS])
def test_a_faulty_draft_is_answered_with_a_pointer_to_the_field(
    admin: Any, case: str, path: list[Any], name: Any, value: object, pointer: str
) -> None:
    body = deepcopy(draft_json())
    target: Any = body
    for part in path:
        target = target[part]
    target[name] = value
    reply = admin.post(f"{BASE}/{_create(admin)}/versions", json=body)
    assert reply.status_code == 422
    assert pointer in _pointers(reply)


def test_an_overlap_is_refused_in_words(admin: Any) -> None:
    body = draft_json()
    peak = {"name": "peak", "price_pence_per_kwh": "40", "windows": [{"starts_at": "05:00", "ends_at": "06:00"}]}
    body["sheets"][0]["bands"].append(peak)
    reply = admin.post(f"{BASE}/{_create(admin)}/versions", json=body)
    assert _pointers(reply)["#/sheets/0/bands/2/windows"] == "night and peak both cover 05:00-05:30 every day"


def test_prices_are_uploaded_counted_and_listed(admin: Any, database: Database, scheme: str) -> None:
    tariff_id = _create(admin, kind="half_hourly")
    late = price_csv(FIRST_AT + timedelta(hours=2), ["5"]).split("\n", 1)[1]
    text = "\ufeff" + (price_csv(FIRST_AT, ["11.4", "-0.75"]) + late).replace("\n", "\r\n")
    reply = _put_prices(admin, tariff_id, text)
    gap = {"region": None, "starts_at": "2026-11-26T01:00:00+00:00", "ends_at": "2026-11-26T02:00:00+00:00"}
    assert (reply.status_code, reply.json) == (200, {"stored_count": 3, "changed_count": 3, "missing": [gap]})
    assert _put_prices(admin, tariff_id, text).json["changed_count"] == 0
    assert _event_names(database, scheme) == ["PricesArrived"]
    listed = admin.get(f"{BASE}/{tariff_id}/prices?from=2026-11-26T00:00:00Z&to=2026-11-26T02:00:00Z")
    assert listed.json == {
        "items": [
            {"starts_at": "2026-11-26T00:00:00+00:00", "price_pence_per_kwh": "11.4"},
            {"starts_at": "2026-11-26T00:30:00+00:00", "price_pence_per_kwh": "-0.75"},
        ]
    }
    assert admin.get(f"{BASE}/{tariff_id}").json["series"] == {
        "first_at": "2026-11-26T00:00:00+00:00",
        "last_at": "2026-11-26T02:00:00+00:00",
        "count": 3,
    }


OFF_AT = FIRST_AT.replace(minute=10)
ONE_PRICE = price_csv(FIRST_AT, ["1"])
BAD_PRICES = [
    ("a price in words", price_csv(FIRST_AT, ["1", "cheap"]).encode(), "#/rows/1/price_pence_per_kwh", "line 3"),
    ("a time off the half-hour", price_csv(OFF_AT, ["1"]).encode(), "#/rows/0/starts_at", "line 2"),
    ("a half-hour twice", (ONE_PRICE + "2026-11-26T00:00:00Z,2\n").encode(), "#/rows/1/starts_at", "line 3"),
    ("another header", b"when,price\n", "#/header", "line 1"),
    ("no rows", b"starts_at,price_pence_per_kwh\n", "#/rows", "at least one"),
    ("not UTF-8", b"starts_at,price_pence_per_kwh\n\xff", "#", "byte 31"),
    ("nothing", b"", "#/header", "line 1"),
]


@pytest.mark.parametrize(("case", "body", "pointer", "words"), BAD_PRICES, ids=[row[0] for row in BAD_PRICES])
def test_a_faulty_price_file_is_answered_by_row_and_column(
    admin: Any, case: str, body: bytes, pointer: str, words: str
) -> None:
    tariff_id = _create(admin, kind="half_hourly")
    reply = _put_prices(admin, tariff_id, body)
    assert reply.status_code == 422
    assert words in _pointers(reply)[pointer]
    assert admin.get(f"{BASE}/{tariff_id}").json["series"] is None


def test_prices_are_read_as_csv_only_and_not_beyond_the_cap(admin: Any, settings: Any) -> None:
    tariff_id = _create(admin, kind="half_hourly")
    address = f"{BASE}/{tariff_id}/prices"
    assert admin.put(address, json={"prices": []}).status_code == 415
    assert _put_prices(admin, tariff_id, "x" * (settings.max_body_bytes + 1)).status_code == 413


def test_prices_for_a_tariff_with_bands_are_a_conflict(admin: Any) -> None:
    reply = _put_prices(admin, _create(admin), price_csv(FIRST_AT, ["1"]))
    assert (reply.status_code, reply.json["type"]) == (409, "/problems/not-half-hourly")


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ("", "#/from"),
        ("from=2026-11-26T00:00:00Z&to=yesterday", "#/to"),
        ("from=2026-11-26T00:00:00Z&to=2026-11-26T00:00:00Z", "#/to"),
        ("from=2020-01-01T00:00:00Z&to=2026-01-01T00:00:00Z", "#/to"),
        ("from=2026-11-26T00:00:00Z&to=2026-11-27T00:00:00Z&page=2", "#/page"),
    ],
)
def test_a_faulty_price_query_is_answered_with_a_pointer(admin: Any, query: str, pointer: str) -> None:
    reply = admin.get(f"{BASE}/{_create(admin, kind='half_hourly')}/prices?{query}")
    assert reply.status_code == 422
    assert pointer in _pointers(reply)


def _every_operation(tariff_id: str, version_id: str) -> list[tuple[str, str, dict[str, Any]]]:
    version = f"{BASE}/{tariff_id}/versions/{version_id}"
    match = {"headers": {"If-Match": '"1"'}}
    window = "?from=2026-11-26T00:00:00Z&to=2026-11-27T00:00:00Z"
    return [
        ("GET", f"{BASE}/{tariff_id}", {}),
        ("POST", f"{BASE}/{tariff_id}/versions", {"json": draft_json()}),
        ("GET", version, {}),
        ("PUT", version, {"json": draft_json(), **match}),
        ("DELETE", version, match),
        ("POST", f"{version}/publication", {}),
        ("GET", f"{BASE}/{tariff_id}/prices{window}", {}),
        ("PUT", f"{BASE}/{tariff_id}/prices", {"data": price_csv(FIRST_AT, ["1"]), "content_type": "text/csv"}),
    ]


def test_another_schemes_tariff_answers_like_one_that_is_not_there(
    admin: Any, client: Callable[..., Any], database: Database
) -> None:
    tariff_id = _create(admin)
    version_id = _draft(admin, tariff_id).json["id"]
    with database.system(write=True) as session:
        create_scheme(session, scheme_id="b" * 32, name="Other", now=FIRST_AT)
    stranger = client("administrator", "b" * 32)
    foreign, unknown = _every_operation(tariff_id, version_id), _every_operation(UNKNOWN, UNKNOWN)
    for (method, address, sent), (_, nowhere, also_sent) in zip(foreign, unknown, strict=True):
        reply = stranger.open(address, method=method, **sent)
        same = stranger.open(nowhere, method=method, **also_sent)
        assert (reply.status_code, same.status_code) == (404, 404), (method, address)
        assert reply.json["detail"] == same.json["detail"]
    assert admin.get(f"{BASE}/{tariff_id}").json["versions"][0]["published_at"] is None


def test_members_are_refused_and_strangers_asked_to_sign_in(
    client: Callable[..., Any], app: Any, scheme: str, member_home: str
) -> None:
    member = client("member", scheme, member_home)
    nobody = app.test_client()
    nobody.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
    operations = [("GET", BASE, {}), ("POST", BASE, {"json": {}}), *_every_operation(UNKNOWN, UNKNOWN)]
    for method, address, sent in operations:
        assert member.open(address, method=method, **sent).status_code == 403, (method, address)
        assert nobody.open(address, method=method, **sent).status_code == 401, (method, address)


@pytest.fixture
def member_home(database: Database, scheme: str) -> str:
    """A household for the member to belong to."""
    with database.scheme(scheme, write=True) as session:
        home = Household(
            reference="H1",
            member_name="Ada Finch",
            address="1 Mill Lane",
            postcode="ZZ1 1ZZ",
            zone="Europe/London",
            nation="england",
            created_at=FIRST_AT,
        )
        session.add(home)
        session.flush()
        return home.id
