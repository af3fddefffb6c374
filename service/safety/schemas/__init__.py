"""JSON shapes of safety: recorded evidence, what it says, reported signs."""

from service.safety.schemas.clearances import LeadClearanceSchema as LeadClearanceSchema
from service.safety.schemas.clearances import OutletClearanceSchema as OutletClearanceSchema
from service.safety.schemas.clearances import WorkingStepSchema as WorkingStepSchema
from service.safety.schemas.evidence import ClosureSchema as ClosureSchema
from service.safety.schemas.evidence import CompletionSchema as CompletionSchema
from service.safety.schemas.evidence import InspectionEntrySchema as InspectionEntrySchema
from service.safety.schemas.evidence import InspectionSchema as InspectionSchema
from service.safety.schemas.evidence import LeadTestEntrySchema as LeadTestEntrySchema
from service.safety.schemas.evidence import LeadTestSchema as LeadTestSchema
from service.safety.schemas.evidence import ObservationSchema as ObservationSchema
from service.safety.schemas.evidence import RecheckSchema as RecheckSchema
from service.safety.schemas.signs import CheckEntrySchema as CheckEntrySchema
from service.safety.schemas.signs import CheckSchema as CheckSchema
from service.safety.schemas.signs import IncidentEntrySchema as IncidentEntrySchema
from service.safety.schemas.signs import IncidentSchema as IncidentSchema
from service.safety.schemas.signs import SafetyReportSchema as SafetyReportSchema
from service.safety.schemas.signs import SignTableSchema as SignTableSchema
from service.safety.schemas.signs import WithdrawalSchema as WithdrawalSchema
