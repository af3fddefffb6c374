"""Consents: appended, the newest counts, and a document is one of this home's about a consent."""

from datetime import date, timedelta

import pytest

from service.common.errors import Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.safety import operations
from service.safety.domain.survey_answers import ConsentDetails
from tests.factories.households import NOON, WRITING, open_home

pytestmark = pytest.mark.both_databases


def stored(session: SchemeSession, household_id: str, purpose: str) -> str:
    row = StoredFile(
        household_id=household_id, purpose=purpose, sha256="0" * 64, media_type="application/pdf", size_bytes=9,
        uploaded_at=NOON,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row.id


def test_the_newest_answer_counts_and_the_older_is_kept(session: SchemeSession) -> None:
    home_id = open_home(session)
    later = {"by": None, "at": NOON + timedelta(days=1)}
    operations.record_consent(session, home_id, ConsentDetails("landlord", "no", date(2026, 11, 1)), **WRITING)
    operations.record_consent(session, home_id, ConsentDetails("landlord", "yes", date(2026, 11, 2)), **later)
    assert [each.answer for each in operations.list_consents(session, home_id)] == ["yes", "not_known", "not_known"]
    assert operations.list_consents(session, home_id, until=NOON)[0].answer == "no"


def test_its_document_is_one_about_a_consent_of_this_home(session: SchemeSession) -> None:
    home_id, elsewhere = open_home(session), open_home(session, reference="H-2")
    letter = stored(session, home_id, "consent")
    kept = operations.record_consent(session, home_id, ConsentDetails("insurer", "yes", None, letter), **WRITING)
    assert kept.file_id == letter
    for file_id in (stored(session, home_id, "photo"), stored(session, elsewhere, "consent"), "0" * 32):
        with pytest.raises(Rejected) as refused:
            operations.record_consent(session, home_id, ConsentDetails("insurer", "yes", None, file_id), **WRITING)
        assert refused.value.faults[0].field == "file_id"


def test_a_day_to_come_is_refused(session: SchemeSession) -> None:
    with pytest.raises(Rejected):
        operations.record_consent(
            session, open_home(session), ConsentDetails("insurer", "yes", date(2026, 11, 26)), **WRITING
        )
