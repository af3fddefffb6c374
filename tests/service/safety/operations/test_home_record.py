"""One home with its evidence."""

from service.infrastructure.db.sessions import SchemeSession
from service.safety import operations
from service.safety.domain.clearance import Clearance
from service.safety.domain.rechecks import Task
from tests.factories.households import NOON, furnished_home
from tests.factories.safety import inspect


def test_a_homes_record_holds_parts_evidence_and_what_follows(session: SchemeSession) -> None:
    home, other = furnished_home(session), furnished_home(session, reference="H-2")
    inspect(session, home.id, home.outlet_id, "C2")
    inspect(session, other.id, other.outlet_id)
    record = operations.get_home_record(session, home.id, at=NOON)
    assert record.home.household.reference == "H-1"
    assert len(record.inspections) == 1
    assert {recheck.task for recheck in record.rechecks} == {Task.INSPECTION, Task.CHECK}
    assert [outlet.clearance for outlet in record.clearances] == [Clearance.DO_NOT_USE]
