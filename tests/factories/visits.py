"""An electrician's side for tests: uploads that read as what they are, and a scheme with its people signed in."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from io import BytesIO
from typing import Any

from argon2 import PasswordHasher
from PIL import Image
from sqlalchemy import select

from service.accounts import operations as accounts
from service.accounts.domain import Duties
from service.accounts.models import Role
from service.common.clock import FixedClock
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.mail.queue import Mail, Postmark, Rendered
from service.safety import operations
from service.safety.domain.link_rules import LinkRequest, hash_of
from service.safety.domain.submission import build_submission
from service.safety.domain.visit_details import ElectricianDetails, VisitRequest
from service.safety.models import Electrician, Visit
from service.safety.operations import LinkLetter, NewLink, Posting
from service.safety.operations.link_list import MAIL_KIND
from tests.conftest import NOON, PASSWORD, sign_in
from tests.factories.households import WRITING, FurnishedHome, furnished_home
from tests.factories.safety import document
from tests.factories.signs import GOOD_ANSWERS

CERTIFICATE = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\nstartxref\n9\n%%EOF\n"
ELECTRICIAN = "hollin@wiring.example"
MEMBER = "member@home.example"
BASE = "/api/v1"


def photo(kind: str = "JPEG", size: tuple[int, int] = (64, 48), **saving: Any) -> bytes:
    """Return a small picture."""
    out = BytesIO()
    Image.new("RGB", size, (120, 40, 30)).save(out, kind, **saving)
    return out.getvalue()


def listed(session: SchemeSession, email: str = ELECTRICIAN) -> Electrician:
    """Put an invented electrician on the list."""
    details = ElectricianDetails("Hollin Wiring (invented)", email, registration="a body, number 12 (invented)")
    return operations.list_electrician(session, details, **WRITING)


def agreed_visit(session: SchemeSession, home: FurnishedHome, *, on: datetime = NOON, **terms: Any) -> Visit:
    """Ask for a visit to the home's outlet and agree a day."""
    visit = operations.ask_visit(session, home.id, VisitRequest((home.outlet_id,), "a test's reason"), **WRITING)
    return operations.change_visit(session, visit.id, {"agreed_on": on.date(), **terms}, **WRITING)


def posting(letters: list[LinkLetter] | None = None) -> Posting:
    """Return how links leave in a test; what the messages were made of ends up in ``letters``."""

    def render(letter: LinkLetter) -> Rendered:
        if letters is not None:
            letters.append(letter)
        return Rendered("A link", letter.url, letter.url)

    return Posting("https://plugward.example", render, Postmark("k" * 32, "plugward.example"))


def sent_link(
    session: SchemeSession, *visits: Visit, electrician: Electrician | None = None, **changes: Any
) -> NewLink:
    """Send a link for some visits, by usual to the electrician's own address."""
    usual = {
        "visit_ids": tuple(visit.id for visit in visits),
        "sent_to": electrician.email if electrician else "somebody@wiring.example",
        "expires_in_days": 14,
        "electrician_id": electrician.id if electrician else None,
    }
    return operations.send_link(session, LinkRequest(**{**usual, **changes}), posting(), **WRITING)


def secret_of(url: str) -> str:
    """Return what stands behind the # of a link."""
    return url.partition("#")[2]


def mailed_url(app: Any, scheme_id: str, link_id: str) -> str:
    """Return the address of a link as its queued message tells it."""
    with app.extensions["plugward"].database.scheme(scheme_id, write=False) as session:
        text = session.scalars(select(Mail.text).where(Mail.dedupe_key == f"{MAIL_KIND}/{link_id}")).one()
    found = re.search(r"\S+/inspect#[\w-]{43}", text)
    assert found is not None, text
    return found[0]


def secret_for(name: str) -> str:
    """Return a secret of the right length that a test can tell."""
    return (name * 43)[:43]


def add_doorstep(session: SchemeSession, home_id: str, outlet_id: str, *, link_secret: str) -> dict[str, str]:
    """Add an electrician, an agreed visit with a link that is open, and a result that waits; return their ids."""
    home = FurnishedHome(home_id, outlet_id, "", "")
    electrician = listed(session, f"{session.scheme_id[:4]}@wiring.example")
    visit = agreed_visit(session, home, electrician_id=electrician.id)
    link = sent_link(session, visit, electrician=electrician).link
    link.token_hash = hash_of(link_secret)
    earlier = agreed_visit(session, home)
    by_hand = sent_link(session, earlier).link
    days = {"inspected_on": NOON.date(), "next_due_on": date(2027, 11, 25)}
    found = {**found_at(outlet_id), **days, "file_id": document(session, home_id)}
    submitted = operations.submit(session, by_hand.id, earlier.id, build_submission(submission(found)), at=NOON)
    ids = {"electrician_id": electrician.id, "visit_id": visit.id, "link_id": link.id}
    return {**ids, "waiting_id": submitted.inspections[0].id}


def found_at(outlet_id: str, **changes: Any) -> dict[str, Any]:
    """Return a result of one outlet as the form sends it, with everything recorded and in order."""
    usual = {
        "outlet_id": outlet_id,
        "certificate_kind": "eicr",
        "certificate_number": "C-77",
        "inspected_on": "2026-11-25",
        "next_due_on": "2027-11-25",
        "file_id": None,
        "was_tested": "yes",
        "limitation": "",
        "knew_use": "yes",
        "answers": GOOD_ANSWERS.to_json(),
        "limit_a": None,
        "limit_reason": "",
        "observations": [],
    }
    return {**usual, **changes}


def submission(*outlets: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """Return a whole submission as the form sends it."""
    usual = {"is_partial": False, "electrician_name": "H. Hollin (invented)", "registration": "a body, number 12"}
    return {"outlets": list(outlets), **usual, **changes}


@dataclass
class Doorstep:
    """Two homes of a scheme with their people, and an electrician on its list."""

    app: Any
    clock: FixedClock
    scheme_id: str
    home: FurnishedHome
    neighbour: FurnishedHome
    electrician_id: str
    signed_in: dict[str, Any] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """The home's path."""
        return f"{BASE}/households/{self.home.id}"

    @property
    def administrator(self) -> Any:
        """A client of somebody who runs the scheme."""
        return self.client_of("administrator@scheme.example")

    @property
    def officer(self) -> Any:
        """A client of the safety officer, who lives elsewhere."""
        return self.client_of("officer@scheme.example")

    @property
    def member(self) -> Any:
        """A client of the home's member."""
        return self.client_of(MEMBER)

    def client_of(self, email: str) -> Any:
        """Return a client of a person, signed in since time last passed."""
        if email not in self.signed_in:
            self.signed_in[email] = sign_in(self.app, email)
        return self.signed_in[email]

    def later(self, **time: float) -> None:
        """Let time pass: everybody signs in again, for no session lasts that long."""
        self.clock.move(timedelta(**time))
        self.signed_in.clear()

    def ask(self, home: FurnishedHome | None = None, on: str | None = "2026-11-25") -> str:
        """Ask for a visit to a home's outlet, agree a day, and return its id."""
        home = home or self.home
        body = {"outlet_ids": [home.outlet_id], "reason": "before the first charge"}
        reply = self.administrator.post(f"{BASE}/households/{home.id}/visits", json=body)
        assert reply.status_code == 201, reply.get_data(as_text=True)
        visit_id = str(reply.json["id"])
        if on is not None:
            path = f"{BASE}/visits/{visit_id}"
            etag = self.administrator.get(path).headers["ETag"]
            reply = self.administrator.patch(path, json={"agreed_on": on}, headers={"If-Match": etag})
            assert reply.status_code == 200, reply.get_data(as_text=True)
        return visit_id

    def link(self, *visit_ids: str, **changes: Any) -> Holder:
        """Send a link, by usual to the electrician on the list, and return its holder."""
        body = {
            "visit_ids": list(visit_ids), "electrician_id": self.electrician_id, "sent_to": ELECTRICIAN,
            "expires_in_days": 14, **changes,
        }
        reply = self.administrator.post(f"{BASE}/inspection_links", json=body)
        assert reply.status_code == 201, reply.get_data(as_text=True)
        return self.holder_of(reply.json)

    def holder_of(self, made: dict[str, Any]) -> Holder:
        """Return the holder of a link just made, who has its address from the message as an electrician has."""
        return Holder(self.app, made, secret_of(mailed_url(self.app, self.scheme_id, made["id"])))

    def clearance(self, home: FurnishedHome | None = None) -> dict[str, Any]:
        """Return the clearance of a home's outlet as its page shows it now."""
        home = home or self.home
        found = self.administrator.get(f"{BASE}/households/{home.id}").json["clearances"]
        return next(each for each in found if each["outlet_id"] == home.outlet_id)

    def inspections(self) -> list[dict[str, Any]]:
        """Return the home's inspections as its page shows them."""
        return list(self.administrator.get(self.path).json["inspections"])


class Holder:
    """Somebody with a link: no account, no cookie."""

    def __init__(self, app: Any, made: dict[str, Any], secret: str) -> None:
        self.made = made
        self.client = app.test_client()
        self.client.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
        self.client.environ_base["HTTP_INSPECTION_LINK"] = secret

    def get(self, path: str = "") -> Any:
        """Read something of the link."""
        return self.client.get(f"{BASE}/inspection_link{path}")

    def upload(self, visit_id: str, content: bytes = CERTIFICATE, **query: str) -> Any:
        """Upload a file for a visit."""
        asked = {"purpose": "certificate", "name": "certificate.pdf", **query}
        return self.client.post(
            f"{BASE}/inspection_link/visits/{visit_id}/files", data=content, query_string=asked,
            content_type="application/octet-stream",
        )

    def draft(self, visit_id: str, draft: dict[str, Any], version: int) -> Any:
        """Save a draft."""
        body = {"draft": draft, "draft_version": version}
        return self.client.put(f"{BASE}/inspection_link/visits/{visit_id}/draft", json=body)

    def submit(self, visit_id: str, body: dict[str, Any], key: str = "") -> Any:
        """Submit results."""
        headers = {"Idempotency-Key": key} if key else {}
        return self.client.post(f"{BASE}/inspection_link/visits/{visit_id}/submission", json=body, headers=headers)


def doorstep(
    app: Any, database: Database, hasher: PasswordHasher, clock: FixedClock, scheme_id: str
) -> Doorstep:
    """Open the homes and sign in the people; the member's address is ``MEMBER``."""
    with database.scheme(scheme_id, write=True) as session:
        home, neighbour = furnished_home(session), furnished_home(session, reference="H-2", postcode="ZZ2 2BB")
        electrician_id = listed(session).id
    officer = Duties(is_safety_officer=True)
    person(database, hasher, scheme_id, "administrator@scheme.example")
    person(database, hasher, scheme_id, "officer@scheme.example", duties=officer)
    person(database, hasher, scheme_id, MEMBER, Role.MEMBER, home.id)
    return Doorstep(app, clock, scheme_id, home, neighbour, electrician_id)


def person(
    database: Database,
    hasher: PasswordHasher,
    scheme_id: str,
    email: str,
    role: Role = Role.ADMINISTRATOR,
    household_id: str | None = None,
    duties: Duties | None = None,
) -> str:
    """Add a person who can sign in, and return the account's id."""
    with database.system(write=True) as session:
        account = accounts.create_account(
            session, email=email, name=email.partition("@")[0], password=PASSWORD, hasher=hasher, now=NOON
        )
        account_id = account.id
    with database.scheme(scheme_id, write=True) as session:
        accounts.add_membership(
            session, account_id=account_id, role=role, household_id=household_id, now=NOON, duties=duties
        )
    return account_id
