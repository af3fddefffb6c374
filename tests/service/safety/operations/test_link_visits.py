"""A home of a link opens to its holder while the link holds, and not one statement longer."""

import pytest

from service.common.errors import Gone
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from tests.factories.households import NOON, WRITING, furnished_home
from tests.factories.visits import agreed_visit, sent_link
from tests.service.safety.operations.test_submissions import results


def test_a_link_withdrawn_after_its_holder_was_let_in_changes_nothing_any_more(session: SchemeSession) -> None:
    home = furnished_home(session)
    visit = agreed_visit(session, home)
    link_id = sent_link(session, visit).link.id
    operations.save_draft(session, link_id, visit.id, {"a": 1}, 0, at=NOON)
    operations.revoke_link(session, link_id, **WRITING)
    for attempt in (
        lambda: operations.get_sheet(session, link_id, visit.id, at=NOON),
        lambda: operations.save_draft(session, link_id, visit.id, {"a": 2}, 1, at=NOON),
        lambda: operations.submit(session, link_id, visit.id, results(home.outlet_id), at=NOON),
    ):
        with pytest.raises(Gone, match="withdrawn"):
            attempt()
