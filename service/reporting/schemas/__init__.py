"""JSON shapes of the scheme's lists, carbon, the safety desk and the safety file."""

from service.reporting.schemas.carbon import CarbonQuery as CarbonQuery
from service.reporting.schemas.carbon import CarbonSchema as CarbonSchema
from service.reporting.schemas.carbon import SchemeCarbonSchema as SchemeCarbonSchema
from service.reporting.schemas.lists import HomeQuery as HomeQuery
from service.reporting.schemas.lists import HouseholdRowSchema as HouseholdRowSchema
from service.reporting.schemas.lists import MailQuery as MailQuery
from service.reporting.schemas.lists import MailRowSchema as MailRowSchema
from service.reporting.schemas.lists import TariffUsesSchema as TariffUsesSchema
from service.reporting.schemas.safety_desk import ChosenHomesSchema as ChosenHomesSchema
from service.reporting.schemas.safety_desk import DeskCheckRemindersSchema as DeskCheckRemindersSchema
from service.reporting.schemas.safety_desk import DeskQuery as DeskQuery
from service.reporting.schemas.safety_desk import DeskSchema as DeskSchema
from service.reporting.schemas.safety_desk import DeskVisitsEntrySchema as DeskVisitsEntrySchema
from service.reporting.schemas.safety_desk import DeskVisitsSchema as DeskVisitsSchema
from service.reporting.schemas.safety_desk import ExportQuery as ExportQuery
from service.reporting.schemas.safety_file import FileQuery as FileQuery
from service.reporting.schemas.safety_file import SafetyFileSchema as SafetyFileSchema
