"""JSON shapes of plans and runs, and of comparisons of a home with what it might be."""

from service.planning.schemas.ocpp import ChargingProfileQuery as ChargingProfileQuery
from service.planning.schemas.plans import PlanQuery as PlanQuery
from service.planning.schemas.plans import PlanSchema as PlanSchema
from service.planning.schemas.plans import PlanWorkingSchema as PlanWorkingSchema
from service.planning.schemas.plans import PreviewSchema as PreviewSchema
from service.planning.schemas.plans import RunQuery as RunQuery
from service.planning.schemas.plans import RunSchema as RunSchema
from service.planning.schemas.plans import TotalsSchema as TotalsSchema
from service.planning.schemas.plans import WeekSchema as WeekSchema
from service.planning.schemas.what_ifs import ChangesSchema as ChangesSchema
from service.planning.schemas.what_ifs import SharedWhatIfListSchema as SharedWhatIfListSchema
from service.planning.schemas.what_ifs import SharingSchema as SharingSchema
from service.planning.schemas.what_ifs import TariffChoiceListSchema as TariffChoiceListSchema
from service.planning.schemas.what_ifs import WhatIfEntrySchema as WhatIfEntrySchema
from service.planning.schemas.what_ifs import WhatIfListSchema as WhatIfListSchema
from service.planning.schemas.what_ifs import WhatIfSchema as WhatIfSchema
from service.planning.schemas.what_ifs import WorthSchema as WorthSchema
