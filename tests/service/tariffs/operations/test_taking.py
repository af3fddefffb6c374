"""Who can take a tariff is recorded, replaced as a whole, and changes nothing of its prices."""

import pytest
from sqlalchemy import select
from sqlalchemy.orm.exc import StaleDataError

from service.accounts.models import AuditEntry
from service.common.errors import NotFound
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import Event
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.operations import get_taking, list_taking, put_taking
from tests.factories.tariffs import NOON, night_draft, tariff_with

TERMS = TakingTerms("two_rate", needs_charging_point=True, other_terms="By e-mail", exit_fee_pence=0, fixed_months=12)


def test_terms_are_put_in_place_of_those_before_and_kept_in_the_audit_trail(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, night_draft())
    events = len(session.scalars(select(Event)).all())
    row = put_taking(session, tariff_id, TERMS, by=None, at=NOON)
    assert list_taking(session) == [(tariff_id, "Alder Fixed", TERMS)]
    assert get_taking(session, tariff_id) is row
    put_taking(session, tariff_id, TakingTerms(), of_version=row.version, by=None, at=NOON)
    assert list_taking(session)[0][2] == TakingTerms()
    audited = session.scalars(select(AuditEntry).where(AuditEntry.action == "put_taking")).all()
    assert [entry.subject_id for entry in audited] == [tariff_id, tariff_id]
    assert len(session.scalars(select(Event)).all()) == events  # no plan depends on them


def test_a_stale_edit_and_a_foreign_tariff_are_refused(session: SchemeSession) -> None:
    tariff_id, _ = tariff_with(session, night_draft())
    version = get_taking(session, tariff_id).version
    put_taking(session, tariff_id, TERMS, of_version=version, by=None, at=NOON)
    with pytest.raises(StaleDataError):
        put_taking(session, tariff_id, TakingTerms(), of_version=version, by=None, at=NOON)
    with pytest.raises(NotFound):
        put_taking(session, "0" * 32, TERMS, by=None, at=NOON)
