"""The pages about business miles, claims, statements and rules, in the states worth looking at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from playwright.sync_api import Page

from tests.browser.page_states import ENDED_MEMBER, NEW_MEMBER, PageState
from tests.browser.visitor import ADMINISTRATOR, FINANCE, MEMBER_WHOSE_TIMES_MOVE, Visitor

_STATE_OF_A_MONTH = """month => fetch("/api/v1/statements", {
  method: "POST", body: JSON.stringify({ month }),
  headers: { "Content-Type": "application/json", "X-Requested-By": "plugward" },
}).then(reply => reply.json())"""


@dataclass(frozen=True)
class ClaimIds:
    """Claims of the demo by where they stand, and a statement."""

    own_queried: str
    sent: str
    stated: str
    statement: str


def read_claim_ids(administrator: Visitor) -> ClaimIds:
    """Ask for the demo's claims; the approved one goes on a statement, unless there is one already."""
    statements = administrator.read("/statements")["items"]
    if not statements:
        (approved,) = administrator.read("/claims?state=approved")["items"]
        statements = [administrator.page.evaluate(_STATE_OF_A_MONTH, approved["month"])]
    first = {
        state: administrator.read(f"/claims?state={state}")["items"][0]["id"] for state in ("queried", "sent", "stated")
    }
    return ClaimIds(first["queried"], first["sent"], first["stated"], statements[0]["id"])


def claim_states(ids: ClaimIds) -> Iterator[PageState]:
    """Yield them as a member, an administrator and finance see them."""
    member = MEMBER_WHOSE_TIMES_MOVE
    yield PageState("member-miles", "/miles", member)
    yield PageState("member-miles-opened", "/miles", member, _open_all)
    yield PageState("member-miles-not-known", "/miles", ENDED_MEMBER, _open_all)
    yield PageState("member-miles-new", "/miles", NEW_MEMBER)
    yield PageState("member-claim-queried", f"/miles/{ids.own_queried}", member, _open_all)
    paths = {
        "claims": ("/claims", None),
        "claims-found-none": ("/claims?month=2001-01", None),
        "claim-sent": (f"/claims/{ids.sent}", _open_all),
        "claim-asking": (f"/claims/{ids.sent}", _ask),
        "claim-stated": (f"/claims/{ids.stated}", None),
        "statements": ("/statements", None),
        "statement": (f"/statements/{ids.statement}", _open_all),
        "reimbursement-rules": ("/reimbursement-rules", _add_a_rule),
    }
    for name, (path, act) in paths.items():
        yield PageState(f"administrator-{name}", path, ADMINISTRATOR, act)
    yield PageState("finance-claims", "/claims?state=sent", FINANCE, _choose_all)
    yield PageState("finance-claim-sent", f"/claims/{ids.sent}", FINANCE)
    yield PageState("finance-statements", "/statements", FINANCE)


def _open_all(page: Page) -> None:
    for part in page.locator("main details > summary").all():
        part.click()


def _ask(page: Page) -> None:
    page.get_by_role("button", name="Ask about it").click()
    page.get_by_label("Your question").wait_for()


def _add_a_rule(page: Page) -> None:
    page.get_by_role("button", name="Add a rule").click()
    page.get_by_label("Company cars are paid by").wait_for()


def _choose_all(page: Page) -> None:
    page.locator("main").get_by_role("button", name="Choose all").click()
    page.get_by_role("button", name="Choose none").wait_for()
