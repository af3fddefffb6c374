"""Is the lead enough for a car of a home: read once, worked out now, stored nowhere."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from service.advice.domain.lead_verdict import Asked, LeadVerdict, lead_verdict
from service.common.slots import slot_start
from service.figures.operations import load_book
from service.households.operations import get_vehicle, load_homes
from service.infrastructure.db.sessions import SchemeSession
from service.planning.domain.car_week import CarSetting, car_week
from service.planning.domain.price_book import LocalWeek
from service.planning.operations.runs import next_slot
from service.safety.operations import load_for_planning

PUBLIC_PRICE = "public_charging_price"


def get_lead_verdict(
    session: SchemeSession, household_id: str, vehicle_id: str, asked: Asked, *, at: datetime
) -> LeadVerdict:
    """Return the verdict on a car's lead as things stand now; raises ``NotFound``."""
    get_vehicle(session, household_id, vehicle_id)
    (home,) = load_homes(session, [household_id], from_at=at)
    slot, zone = next_slot(at), ZoneInfo(home.zone)
    cleared = load_for_planning(session, [home], at=slot_start(slot))[home.id]
    local = LocalWeek.at(slot, zone)
    setting = CarSetting(
        outlets={outlet.id: outlet for outlet in home.outlets},
        cleared={each.outlet_id: each for each in cleared.outlets},
        cleared_leads={each.lead_id: each for each in cleared.leads},
        quantile_permille=home.evening.need_quantile_permille,
        local=local,
        zone=zone,
    )
    car = next(car for car in home.cars if car.id == vehicle_id)
    price = load_book(session).find(PUBLIC_PRICE, local.first_day)
    return lead_verdict(home, car_week(car, setting, None), asked, today=local.first_day, public_price=price)
