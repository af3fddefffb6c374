"""What can be done with evidence, and what others may ask of it."""

from service.safety.operations.clearances import household_clearances as household_clearances
from service.safety.operations.clearances import load_clearances as load_clearances
from service.safety.operations.clearances import load_evidence as load_evidence
from service.safety.operations.home_record import HomeRecord as HomeRecord
from service.safety.operations.home_record import get_home_record as get_home_record
from service.safety.operations.inspections import InspectionView as InspectionView
from service.safety.operations.inspections import close_observation as close_observation
from service.safety.operations.inspections import list_inspections as list_inspections
from service.safety.operations.inspections import record_inspection as record_inspection
from service.safety.operations.rechecks import DueRecheck as DueRecheck
from service.safety.operations.rechecks import InspectionNeeded as InspectionNeeded
from service.safety.operations.rechecks import RecheckView as RecheckView
from service.safety.operations.rechecks import complete_recheck as complete_recheck
from service.safety.operations.rechecks import list_due as list_due
from service.safety.operations.rechecks import list_rechecks as list_rechecks
from service.safety.operations.rechecks import schedule_recheck as schedule_recheck
from service.safety.operations.standing import refresh_status as refresh_status
