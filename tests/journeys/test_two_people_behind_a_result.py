"""What counts without a safety officer's look has two people behind it, and neither of them holds the link."""

from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from service.accounts.domain import Duties
from service.accounts.models import Role
from service.accounts.operations import add_membership
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database
from service.safety.models import InspectionLink
from tests.factories.visits import BASE, ELECTRICIAN, MEMBER, Doorstep, doorstep, found_at, person, submission

OTHER = "other@wiring.example"


@pytest.fixture
def door(app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme: str) -> Doorstep:
    return doorstep(app, database, hasher, clock, scheme)


def make(door: Doorstep, by: Any, visit_id: str, **changes: Any) -> dict[str, Any]:
    """Make a link as somebody, by usual to the electrician on the list, and return the answer."""
    usual = {"visit_ids": [visit_id], "electrician_id": door.electrician_id, "sent_to": ELECTRICIAN}
    reply = by.post(f"{BASE}/inspection_links", json={**usual, "expires_in_days": 14, **changes})
    assert reply.status_code == 201, reply.json
    return dict(reply.json)


def submitted(door: Doorstep, made: dict[str, Any], visit_id: str) -> dict[str, Any]:
    """Submit a whole result by a link, with its certificate, and return the answer."""
    holder = door.holder_of(made)
    file_id = holder.upload(visit_id).json["id"]
    reply = holder.submit(visit_id, submission(found_at(door.home.outlet_id, file_id=file_id)))
    assert reply.status_code == 201, reply.json
    return dict(reply.json)


def list_other(door: Doorstep, by: Any, email: str = OTHER) -> str:
    reply = by.post(f"{BASE}/electricians", json={"name": "Other (invented)", "email": email})
    assert reply.status_code == 201, reply.json
    return str(reply.json["id"])


def test_the_address_of_a_link_whose_result_counts_at_once_is_told_to_nobody_but_its_electrician(
    door: Doorstep, database: Database
) -> None:
    visit_id = door.ask()
    key = {"Idempotency-Key": "once"}
    body = {"visit_ids": [visit_id], "electrician_id": door.electrician_id, "sent_to": ELECTRICIAN}
    for _ in range(2):
        made = door.administrator.post(f"{BASE}/inspection_links", json=body, headers=key).json
        assert made["url"] is None
        assert "counts at once" in made["url_withheld_because"]
    secret = door.holder_of(made).client.environ_base["HTTP_INSPECTION_LINK"]
    for path in ("/inspection_links", "/mail", f"/visits/{visit_id}"):
        assert secret not in door.administrator.get(f"{BASE}{path}").get_data(as_text=True)
    assert submitted(door, made, visit_id)["is_accepted"]


@pytest.mark.parametrize(
    "changes",
    [{"electrician_id": None, "sent_to": "somebody@wiring.example"}, {"sent_to": "elsewhere@wiring.example"}],
)
def test_where_a_result_waits_anyway_the_address_is_told_and_who_made_the_link_does_not_accept(
    door: Doorstep, changes: dict[str, Any]
) -> None:
    visit_id = door.ask()
    made = make(door, door.officer, visit_id, **changes)
    assert made["url"] and made["url_withheld_because"] == ""
    answer = submitted(door, made, visit_id)
    assert not answer["is_accepted"]
    path = f"{door.path}/inspections/{answer['inspections'][0]['id']}/acceptance"
    own = door.officer.post(path, json={})
    assert (own.status_code, own.json["title"]) == (403, "Not by the same person")


def test_another_safety_officer_accepts_what_came_by_a_colleagues_link(
    door: Doorstep, database: Database, hasher: PasswordHasher
) -> None:
    visit_id = door.ask()
    answer = submitted(door, make(door, door.officer, visit_id, electrician_id=None, sent_to=OTHER), visit_id)
    person(database, hasher, door.scheme_id, "second@scheme.example", duties=Duties(is_safety_officer=True))
    path = f"{door.path}/inspections/{answer['inspections'][0]['id']}/acceptance"
    assert door.client_of("second@scheme.example").post(path, json={}).status_code == 200


def test_a_link_that_was_told_never_counts_by_itself_whatever_the_list_says_later(door: Doorstep) -> None:
    visit_id = door.ask()
    made = make(door, door.administrator, visit_id, sent_to="mine@elsewhere.example")
    assert made["url"]
    # The address of the list becomes that of the link: before, this made the result count.
    path = f"{BASE}/electricians/{door.electrician_id}"
    etag = door.officer.get(path).headers["ETag"]
    changed = door.officer.patch(path, json={"email": "mine@elsewhere.example"}, headers={"If-Match": etag})
    assert changed.status_code == 200
    answer = submitted(door, made, visit_id)
    assert (answer["is_accepted"], "told its address" in answer["waits_because"]) == (False, True)


def test_only_safety_officers_keep_the_list(door: Doorstep) -> None:
    entry = {"name": "Mine", "email": "mine@elsewhere.example"}
    assert door.administrator.post(f"{BASE}/electricians", json=entry).status_code == 403
    path = f"{BASE}/electricians/{door.electrician_id}"
    etag = door.administrator.get(path).headers["ETag"]
    change = {"email": "mine@elsewhere.example"}
    assert door.administrator.patch(path, json=change, headers={"If-Match": etag}).status_code == 403
    assert door.administrator.post(f"{path}/removal").status_code == 403


def test_who_put_an_address_on_the_list_sends_no_link_there_that_counts_at_once(door: Doorstep) -> None:
    other = list_other(door, door.officer)
    first, second = door.ask(), door.ask(door.neighbour)
    own = make(door, door.officer, first, electrician_id=other, sent_to=OTHER)
    answer = submitted(door, own, first)
    assert (answer["is_accepted"], "also set this" in answer["waits_because"]) == (False, True)
    path = f"{door.path}/inspections/{answer['inspections'][0]['id']}/acceptance"
    assert door.officer.post(path, json={}).status_code == 403
    assert make(door, door.administrator, second, electrician_id=other, sent_to=OTHER)["url"] is None


def test_who_changed_an_address_stands_for_it_as_who_listed_it_does(door: Doorstep) -> None:
    path = f"{BASE}/electricians/{door.electrician_id}"
    etag = door.officer.get(path).headers["ETag"]
    etag = door.officer.patch(path, json={"firm": "A firm"}, headers={"If-Match": etag}).headers["ETag"]
    visit_id = door.ask()
    assert make(door, door.officer, visit_id)["url"] is None  # another field: the operator's entry stands
    door.officer.patch(path, json={"email": OTHER}, headers={"If-Match": etag})
    assert make(door, door.officer, visit_id, sent_to=OTHER)["url"] is not None


def test_whose_home_it_is_does_not_vouch_for_its_electrician(
    door: Doorstep, database: Database, hasher: PasswordHasher
) -> None:
    at_home = person(database, hasher, door.scheme_id, "both@scheme.example", duties=Duties(is_safety_officer=True))
    with database.scheme(door.scheme_id, write=True) as session:
        add_membership(session, account_id=at_home, role=Role.MEMBER, household_id=door.home.id, now=door.clock.now())
    other = list_other(door, door.client_of("both@scheme.example"))
    mine, theirs = door.ask(), door.ask(door.neighbour)
    answer = submitted(door, make(door, door.administrator, mine, electrician_id=other, sent_to=OTHER), mine)
    assert (answer["is_accepted"], "lived in this home" in answer["waits_because"]) == (False, True)
    assert make(door, door.administrator, theirs, electrician_id=other, sent_to=OTHER)["url"] is None


def test_a_correction_of_what_counted_is_told_to_nobody_either(door: Doorstep) -> None:
    visit_id = door.ask()
    recorded = submitted(door, make(door, door.administrator, visit_id), visit_id)["inspections"][0]
    path = f"{door.path}/inspections/{recorded['id']}/correction_link"
    assert door.administrator.post(path, json={"sent_to": ELECTRICIAN}).json["url"] is None
    assert door.administrator.post(path, json={"sent_to": MEMBER}).json["url"] is not None


def test_a_link_ends_once_its_visit_is_another_electricians(door: Doorstep, database: Database) -> None:
    unlisted = {"electrician_id": None, "sent_to": "somebody@wiring.example"}
    visit_id = door.ask()
    first = door.holder_of(make(door, door.administrator, visit_id, **unlisted))
    assert first.get(f"/visits/{visit_id}").status_code == 200
    path = f"{BASE}/visits/{visit_id}"
    etag = door.administrator.get(path).headers["ETag"]
    given = door.administrator.patch(path, json={"electrician_id": door.electrician_id}, headers={"If-Match": etag})
    assert given.status_code == 200
    body = submission(found_at(door.home.outlet_id))
    for reply in (first.get(f"/visits/{visit_id}"), first.submit(visit_id, body), first.draft(visit_id, {}, 0)):
        assert (reply.status_code, "another electrician" in reply.json["detail"]) == (410, True)

    # And the other way round: sent to somebody who is not on the list, the visit is no longer the listed one's.
    listed = door.link(visit_id)
    assert listed.get(f"/visits/{visit_id}").status_code == 200
    door.later(minutes=1)
    latest = door.holder_of(make(door, door.administrator, visit_id, **unlisted))
    assert listed.submit(visit_id, body).status_code == 410
    assert latest.get(f"/visits/{visit_id}").status_code == 200


def test_of_two_who_are_not_on_the_list_the_later_link_holds_the_visit(door: Doorstep, database: Database) -> None:
    visit_id = door.ask()
    holders = []
    for address in ("one@wiring.example", "two@wiring.example"):
        holders.append(door.holder_of(make(door, door.administrator, visit_id, electrician_id=None, sent_to=address)))
        door.later(minutes=1)
    assert [holder.get(f"/visits/{visit_id}").status_code for holder in holders] == [410, 200]
    # Withdrawn, it holds nothing: the first one's visit is his again.
    with database.scheme(door.scheme_id, write=False) as session:
        last = session.scalars(select(InspectionLink.id).where(InspectionLink.sent_to == "two@wiring.example")).one()
    assert door.administrator.post(f"{BASE}/inspection_links/{last}/revocation").status_code == 200
    assert holders[0].get(f"/visits/{visit_id}").status_code == 200
