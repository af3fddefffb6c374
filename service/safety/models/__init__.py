"""Stored rows of safety: evidence and what it said, visits and links of electricians, the home survey."""

from service.safety.models.evidence import CHANGED_ITEMS as CHANGED_ITEMS
from service.safety.models.evidence import OVERRIDE_KINDS as OVERRIDE_KINDS
from service.safety.models.evidence import Check as Check
from service.safety.models.evidence import ClearanceChange as ClearanceChange
from service.safety.models.evidence import ClearanceStatus as ClearanceStatus
from service.safety.models.evidence import ExtensionLead as ExtensionLead
from service.safety.models.evidence import Inspection as Inspection
from service.safety.models.evidence import LeadTest as LeadTest
from service.safety.models.evidence import Observation as Observation
from service.safety.models.evidence import Override as Override
from service.safety.models.evidence import Recheck as Recheck
from service.safety.models.evidence import SchemeRule as SchemeRule
from service.safety.models.evidence import ShownAnswer as ShownAnswer
from service.safety.models.evidence import SignReport as SignReport
from service.safety.models.evidence import SupervisedCharge as SupervisedCharge
from service.safety.models.survey import Consent as Consent
from service.safety.models.survey import SurveyAnswers as SurveyAnswers
from service.safety.models.visits import Electrician as Electrician
from service.safety.models.visits import InspectionLink as InspectionLink
from service.safety.models.visits import LinkedVisit as LinkedVisit
from service.safety.models.visits import Visit as Visit
from service.safety.models.visits import VisitStep as VisitStep
