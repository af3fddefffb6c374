"""The kept standing of a home equals what its evidence says."""

from datetime import date, timedelta

import pytest
from sqlalchemy import func, select

from service.common.errors import NotFound
from service.households.operations import add_outlet, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.clearance import worst_of
from service.safety.models import Check, ClearanceStatus
from tests.factories.households import NOON, WRITING, furnished_home, open_home, outlet_details
from tests.factories.safety import inspect


def test_the_kept_standing_is_what_the_evidence_says(session: SchemeSession) -> None:
    homes = [furnished_home(session, reference=f"H-{number}") for number in range(4)]
    inspect(session, homes[0].id, homes[0].outlet_id)
    inspect(session, homes[1].id, homes[1].outlet_id, "FI")
    inspect(
        session, homes[2].id, homes[2].outlet_id, inspected_on=date(2020, 1, 1), next_due_on=date(2025, 1, 1)
    )
    operations.refresh_status(session, homes[3].id, at=NOON)
    inputs = load_homes(session, [home.id for home in homes], from_at=NOON)
    derived = operations.load_clearances(session, inputs, at=NOON)
    kept = {row.household_id: row.clearance for row in session.scalars(select(ClearanceStatus))}
    assert kept == {home_id: worst_of(each.clearance for each in found).value for home_id, found in derived.items()}
    assert sorted(kept.values()) == ["do_not_use", "fit_to_use", "not_known", "not_known"]


def test_a_second_outlet_without_an_inspection_makes_the_home_not_known(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    add_outlet(session, home.id, outlet_details(label="porch"), **WRITING)
    status = operations.refresh_status(session, home.id, at=NOON)
    assert (status.clearance, status.valid_until_on) == ("not_known", date(2026, 12, 24))


def test_the_first_end_of_evidence_counts(session: SchemeSession) -> None:
    home = furnished_home(session)
    porch = add_outlet(session, home.id, outlet_details(label="porch"), **WRITING)
    inspect(session, home.id, home.outlet_id)
    inspect(session, home.id, porch.id, next_due_on=date(2026, 12, 20))
    status = operations.refresh_status(session, home.id, at=NOON)
    assert (status.clearance, status.valid_until_on, status.next_recheck_on) == (
        "fit_to_use", date(2026, 12, 20), date(2026, 12, 20),
    )


def test_the_end_of_a_leads_evidence_counts_too(session: SchemeSession) -> None:
    home = furnished_home(session)
    inspect(session, home.id, home.outlet_id)
    later = NOON + timedelta(days=20)
    session.add(Check(household_id=home.id, outlet_id=home.outlet_id, made_at=later, answers=[], is_clear=True))
    session.flush()
    status = operations.refresh_status(session, home.id, at=later)
    # The outlet was checked again, the lead was not: a month after 24 November.
    assert status.valid_until_on == date(2026, 12, 24)


def test_a_home_has_one_standing_however_often_it_is_refreshed(session: SchemeSession) -> None:
    home_id = open_home(session)
    for _ in range(2):
        assert operations.refresh_status(session, home_id, at=NOON).clearance == "not_known"
    assert session.scalar(select(func.count()).select_from(ClearanceStatus)) == 1


def test_an_unknown_home_has_none(session: SchemeSession) -> None:
    with pytest.raises(NotFound):
        operations.refresh_status(session, "0" * 32, at=NOON)
