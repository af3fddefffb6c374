"""A photo of a lead's setting: kept with what it shows, and reckoned with from then on."""

import pytest
from sqlalchemy import select

from service.accounts.models import AuditEntry
from service.common.errors import NotFound, Rejected
from service.households.operations import change_lead, get_household, get_lead
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile
from service.safety import operations
from tests.factories.households import NOON, WRITING, FurnishedHome, furnished_home
from tests.factories.safety import document, inspect

pytestmark = pytest.mark.both_databases


@pytest.fixture
def home(session: SchemeSession) -> FurnishedHome:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    session.commit()
    return home


def photo(session: SchemeSession, home: FurnishedHome, purpose: str = "setting_photo") -> str:
    file_id = document(session, home.id)
    session.get_one(StoredFile, (session.scheme_id, file_id)).purpose = purpose
    session.flush()
    return file_id


def test_the_photo_says_what_the_lead_is_set_to_and_the_plan_is_made_anew(
    session: SchemeSession, home: FurnishedHome
) -> None:
    before = get_household(session, home.id).change_counter
    file_id = photo(session, home)
    operations.record_setting_photo(session, home.id, home.lead_id, file_id, 8, **WRITING)
    session.commit()
    session.expire_all()
    lead = get_lead(session, home.id, home.lead_id)
    assert (lead.set_a, lead.setting_shown_a, lead.setting_shown_at, lead.setting_file_id) == (8, 8, NOON, file_id)
    assert get_household(session, home.id).change_counter == before + 1
    assert operations.home_clearance(session, home.id, at=NOON).leads[0].limit_a == 8
    assert "photograph" in session.scalars(select(AuditEntry.action)).all()


def test_set_higher_than_its_photo_shows_a_lead_has_no_photo_any_more_and_old_plans_are_hidden(
    session: SchemeSession, home: FurnishedHome
) -> None:
    operations.record_setting_photo(session, home.id, home.lead_id, photo(session, home), 8, **WRITING)
    lower = change_lead(session, home.id, home.lead_id, {"set_a": 6}, **WRITING)
    assert (lower.setting_shown_a, get_household(session, home.id).stopped_at) == (8, None)
    higher = change_lead(session, home.id, home.lead_id, {"set_a": 10}, **WRITING)
    assert (higher.set_a, higher.setting_shown_a, higher.setting_shown_at, higher.setting_file_id) == (
        10, None, None, None,
    )  # fmt: skip
    session.flush()
    session.expire_all()
    household = get_household(session, home.id)
    assert household.stopped_at_change == household.change_counter


def test_a_setting_the_lead_does_not_have_is_refused(session: SchemeSession, home: FurnishedHome) -> None:
    change_lead(session, home.id, home.lead_id, {"settings_a": (6, 8, 10)}, **WRITING)
    for shown in (7, 5, 13):
        with pytest.raises(Rejected) as error:
            operations.record_setting_photo(session, home.id, home.lead_id, photo(session, home), shown, **WRITING)
        assert [fault.field for fault in error.value.faults] == ["shown_a"]


def test_only_a_setting_photo_of_this_home_counts(session: SchemeSession, home: FurnishedHome) -> None:
    neighbour = furnished_home(session, reference="H-2")
    for file_id in (photo(session, neighbour), photo(session, home, "certificate"), "0" * 32):
        with pytest.raises(Rejected) as error:
            operations.record_setting_photo(session, home.id, home.lead_id, file_id, 8, **WRITING)
        assert [fault.field for fault in error.value.faults] == ["file_id"]
    with pytest.raises(NotFound):
        operations.record_setting_photo(session, home.id, neighbour.lead_id, photo(session, home), 8, **WRITING)
