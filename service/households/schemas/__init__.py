"""JSON shapes of homes.

An entry schema is what a person sends to create, a change schema what they send to change some of it.
"""

from service.households.schemas.charging_records import ChargingCdrsSchema as ChargingCdrsSchema
from service.households.schemas.charging_records import ChargingChangeSchema as ChargingChangeSchema
from service.households.schemas.charging_records import ChargingCsvSchema as ChargingCsvSchema
from service.households.schemas.charging_records import ChargingEntrySchema as ChargingEntrySchema
from service.households.schemas.charging_records import ChargingImportSchema as ChargingImportSchema
from service.households.schemas.charging_records import ChargingQuery as ChargingQuery
from service.households.schemas.charging_records import ChargingRecordSchema as ChargingRecordSchema
from service.households.schemas.diary import JourneyChangeSchema as JourneyChangeSchema
from service.households.schemas.diary import JourneyEntrySchema as JourneyEntrySchema
from service.households.schemas.diary import JourneyListSchema as JourneyListSchema
from service.households.schemas.diary import JourneySchema as JourneySchema
from service.households.schemas.diary import RoutineSchema as RoutineSchema
from service.households.schemas.equipment import CircuitEntrySchema as CircuitEntrySchema
from service.households.schemas.equipment import CircuitSchema as CircuitSchema
from service.households.schemas.equipment import LeadChangeSchema as LeadChangeSchema
from service.households.schemas.equipment import LeadEntrySchema as LeadEntrySchema
from service.households.schemas.equipment import LeadSchema as LeadSchema
from service.households.schemas.equipment import OutletChangeSchema as OutletChangeSchema
from service.households.schemas.equipment import OutletEntrySchema as OutletEntrySchema
from service.households.schemas.equipment import OutletSchema as OutletSchema
from service.households.schemas.equipment import SupplySchema as SupplySchema
from service.households.schemas.habits import DiaryEntriesSchema as DiaryEntriesSchema
from service.households.schemas.habits import DiarySchema as DiarySchema
from service.households.schemas.habits import HabitsSchema as HabitsSchema
from service.households.schemas.homes import ContractChangeSchema as ContractChangeSchema
from service.households.schemas.homes import ContractEntrySchema as ContractEntrySchema
from service.households.schemas.homes import ContractSchema as ContractSchema
from service.households.schemas.homes import HomeChangeSchema as HomeChangeSchema
from service.households.schemas.homes import HomeEntrySchema as HomeEntrySchema
from service.households.schemas.homes import HomeSchema as HomeSchema
from service.households.schemas.house_readings import HouseFileSchema as HouseFileSchema
from service.households.schemas.house_readings import ReadingsSummarySchema as ReadingsSummarySchema
from service.households.schemas.house_readings import ReadingsTakenSchema as ReadingsTakenSchema
from service.households.schemas.meter import MeterEntrySchema as MeterEntrySchema
from service.households.schemas.meter import MeterReadingListSchema as MeterReadingListSchema
from service.households.schemas.meter import MeterReadingSchema as MeterReadingSchema
from service.households.schemas.meter import MeterSchema as MeterSchema
from service.households.schemas.vehicles import ChargeEntrySchema as ChargeEntrySchema
from service.households.schemas.vehicles import ChargeSchema as ChargeSchema
from service.households.schemas.vehicles import VehicleChangeSchema as VehicleChangeSchema
from service.households.schemas.vehicles import VehicleEntrySchema as VehicleEntrySchema
from service.households.schemas.vehicles import VehicleListSchema as VehicleListSchema
from service.households.schemas.vehicles import VehicleSchema as VehicleSchema
