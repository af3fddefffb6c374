"""A secret opens its own link of its own scheme, while that is open; anything else opens nothing."""

from datetime import timedelta

import pytest

from service.common.errors import Gone, NotFound
from service.infrastructure.db.sessions import Database
from service.safety.operations import find_holder, revoke_link, submit
from tests.factories.households import NOON, furnished_home
from tests.factories.visits import agreed_visit, secret_of, sent_link
from tests.service.safety.operations.test_submissions import results

pytestmark = pytest.mark.both_databases


def test_a_link_is_found_by_its_secret_until_it_expires(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        made = sent_link(session, agreed_visit(session, furnished_home(session)), expires_in_days=3)
    secret = secret_of(made.url)
    holder = find_holder(database, secret, at=NOON + timedelta(days=3, seconds=-1))
    assert (holder.scheme_id, holder.link_id, holder.is_spent) == (scheme, made.link.id, False)
    with pytest.raises(Gone, match="expired"):
        find_holder(database, secret, at=NOON + timedelta(days=3))


@pytest.mark.parametrize("secret", ["", "x", "A" * 43, "A" * 10_000, "\ud800", "' OR 1=1 --"])
def test_what_is_no_secret_of_ours_is_not_found(database: Database, scheme: str, secret: str) -> None:
    with database.scheme(scheme, write=True) as session:
        sent_link(session, agreed_visit(session, furnished_home(session)))
    with pytest.raises(NotFound):
        find_holder(database, secret, at=NOON)


def test_a_revoked_link_is_gone_and_a_spent_one_says_so(database: Database, scheme: str) -> None:
    with database.scheme(scheme, write=True) as session:
        home = furnished_home(session)
        visit = agreed_visit(session, home)
        first, second = sent_link(session, visit), sent_link(session, visit)
        revoke_link(session, first.link.id, by=None, at=NOON)
        submit(session, second.link.id, visit.id, results(home.outlet_id), at=NOON)
    with pytest.raises(Gone, match="withdrawn"):
        find_holder(database, secret_of(first.url), at=NOON)
    assert find_holder(database, secret_of(second.url), at=NOON).is_spent
