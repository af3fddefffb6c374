"""What can be asked of tariffs: tariffs and their versions, publication, half-hourly prices, terms for planning."""

from service.tariffs.operations.prices import PricePoint as PricePoint
from service.tariffs.operations.prices import UploadedPrices as UploadedPrices
from service.tariffs.operations.prices import list_prices as list_prices
from service.tariffs.operations.prices import upload_prices as upload_prices
from service.tariffs.operations.sheets import read_sheets as read_sheets
from service.tariffs.operations.tariffs import TariffNameTaken as TariffNameTaken
from service.tariffs.operations.tariffs import TariffView as TariffView
from service.tariffs.operations.tariffs import create_tariff as create_tariff
from service.tariffs.operations.tariffs import get_tariff as get_tariff
from service.tariffs.operations.tariffs import list_tariffs as list_tariffs
from service.tariffs.operations.tariffs import offered_tariffs as offered_tariffs
from service.tariffs.operations.terms import load_terms as load_terms
from service.tariffs.operations.versions import Draft as Draft
from service.tariffs.operations.versions import VersionFrozen as VersionFrozen
from service.tariffs.operations.versions import VersionStartTaken as VersionStartTaken
from service.tariffs.operations.versions import VersionView as VersionView
from service.tariffs.operations.versions import create_draft as create_draft
from service.tariffs.operations.versions import delete_draft as delete_draft
from service.tariffs.operations.versions import edit_draft as edit_draft
from service.tariffs.operations.versions import find_version as find_version
from service.tariffs.operations.versions import get_version as get_version
from service.tariffs.operations.versions import get_version_label as get_version_label
from service.tariffs.operations.versions import publish_version as publish_version
