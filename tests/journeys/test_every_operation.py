"""Every operation of the OpenAPI document: who may call it, whose rows it shows, how it answers bad input.

An operation that is not in ``VALID`` fails: whoever adds one says here what a right call looks like.
"""

import hashlib
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from service.app import create_app
from service.common.clock import FixedClock
from service.infrastructure.db.base import GLOBAL_TABLES, Base
from service.infrastructure.db.sessions import Database
from service.infrastructure.files import FilesOnDisk
from service.infrastructure.settings import Settings
from tests.conftest import NOON, sign_in
from tests.factories.apps import app_on
from tests.factories.databases import Databases
from tests.factories.drives import DRIVE_BODY
from tests.factories.visits import CERTIFICATE, found_at, submission
from tests.factories.world import CANARY, World, build_world

pytestmark = pytest.mark.both_databases

BASE = "/api/v1"
SHEET = {
    "region": None,
    "payment": None,
    "standing_pence_per_day": "40",
    "bands": [{"name": "all day", "price_pence_per_kwh": "25", "is_otherwise": True, "windows": []}],
}
DRAFT = {"valid_from_on": "2027-02-01", "label": "Spring", "vat_percent": "5", "vat_included": True, "sheets": [SHEET]}
IDENTITY = {"maker_model": "M", "serial_or_batch": "S", "supplied_by": "scheme", "since_on": "2026-01-01"}

CDR = {
    "country_code": "GB",
    "party_id": "XXX",
    "id": "1",
    "start_date_time": "2026-11-22T00:30:00Z",
    "end_date_time": "2026-11-22T02:30:00Z",
    "cdr_token": {},
    "auth_method": "WHITELIST",
    "cdr_location": {},
    "currency": "GBP",
    "charging_periods": [
        {"start_date_time": "2026-11-22T00:30:00Z", "dimensions": [{"type": "ENERGY", "volume": 4.5}]}
    ],
    "total_cost": {"excl_vat": 1.0},
    "total_energy": 4.5,
    "total_time": 2,
    "last_updated": "2026-11-22T03:00:00Z",
    "home_charging_compensation": True,
}

OCPI_TARIFF = {
    "country_code": "GB",
    "party_id": "EXA",
    "id": "1",
    "currency": "GBP",
    "elements": [{"price_components": [{"type": "ENERGY", "price": 0.25, "vat": 5, "step_size": 1}]}],
    "last_updated": "2026-11-01T00:00:00Z",
}

# "METHOD path" -> the body of a right call, given our ids; None where there is no body.
VALID: dict[str, Callable[[dict[str, str]], Any]] = {
    "POST /session": lambda ids: None,
    "GET /session": lambda ids: None,
    "DELETE /session": lambda ids: None,
    "GET /households": lambda ids: None,
    "POST /households": lambda ids: {
        "reference": "N-1",
        "member_name": "New",
        "address": "1 Row",
        "postcode": "ZZ1 1AA",
        "zone": "Europe/London",
        "nation": "wales",
        "region": None,
        "payment": None,
    },
    "GET /households/{household_id}": lambda ids: None,
    "PATCH /households/{household_id}": lambda ids: {"member_name": "Changed"},
    "GET /households/{household_id}/clearance": lambda ids: None,
    "GET /households/{household_id}/safety_file": lambda ids: None,
    "GET /households/{household_id}/safety_file.pdf": lambda ids: None,
    "GET /safety_desk": lambda ids: None,
    "GET /safety_desk/export": lambda ids: None,
    "POST /safety_desk/visits": lambda ids: {
        "household_ids": [ids["household_id"]],
        "all_matching": None,
        "household_count": 1,
        "reason": "seen at the desk",
    },
    "POST /safety_desk/check_reminders": lambda ids: {
        "household_ids": [ids["household_id"]],
        "all_matching": None,
        "household_count": 1,
    },
    "GET /households/{household_id}/totals": lambda ids: None,
    "GET /households/{household_id}/plan": lambda ids: None,
    "GET /households/{household_id}/plan/week": lambda ids: None,
    "GET /households/{household_id}/plan/working": lambda ids: None,
    "GET /households/{household_id}/plan/charging_profile": lambda ids: None,
    "GET /households/{household_id}/plan/worth": lambda ids: None,
    "GET /households/{household_id}/tariff_choices": lambda ids: None,
    "GET /households/{household_id}/what_ifs": lambda ids: None,
    "POST /households/{household_id}/what_ifs": lambda ids: {
        "label": "More current",
        "changes": {"outlet": {"outlet_id": ids["outlet_id"], "kind": "charging_point", "limit_a": 32}},
    },
    "GET /households/{household_id}/what_ifs/{what_if_id}": lambda ids: None,
    "DELETE /households/{household_id}/what_ifs/{what_if_id}": lambda ids: None,
    "POST /households/{household_id}/what_ifs/{what_if_id}/sharing": lambda ids: {"is_shared": True},
    "GET /households/{household_id}/shared_what_ifs": lambda ids: None,
    "GET /households/{household_id}/upgrade": lambda ids: None,
    "GET /households/{household_id}/upgrade_quotes": lambda ids: None,
    "POST /households/{household_id}/upgrade_quotes": lambda ids: {
        "kind": "point_tethered", "cost_pence": "115000", "quoted_on": "2026-11-20", "note": "cable run of 8 m",
    },
    "GET /households/{household_id}/upgrade_quotes/{quote_id}": lambda ids: None,
    "PATCH /households/{household_id}/upgrade_quotes/{quote_id}": lambda ids: {"cost_pence": "99000"},
    "DELETE /households/{household_id}/upgrade_quotes/{quote_id}": lambda ids: None,
    "GET /upgrades": lambda ids: None,
    "GET /upgrades/export": lambda ids: None,
    "GET /households/{household_id}/drives": lambda ids: None,
    "POST /households/{household_id}/drives": lambda ids: {"label": "The drive", "drawing": DRIVE_BODY},
    "GET /households/{household_id}/drives/{drive_id}": lambda ids: None,
    "PUT /households/{household_id}/drives/{drive_id}": lambda ids: {"label": "Changed", "drawing": DRIVE_BODY},
    "DELETE /households/{household_id}/drives/{drive_id}": lambda ids: None,
    "GET /households/{household_id}/drives/{drive_id}/positions": lambda ids: None,
    "GET /households/{household_id}/drives/{drive_id}/drive.svg": lambda ids: None,
    "GET /households/{household_id}/supply": lambda ids: None,
    "PUT /households/{household_id}/supply": lambda ids: {
        "fuse_a": 80,
        "phases": 1,
        "earthing": "tn_s",
        "looped": "no",
        "other_loads": "shower",
    },
    "POST /households/{household_id}/circuits": lambda ids: {
        "label": "Garage",
        "runs": [{"kind": "radial", "device": "B20", "cable": "2.5", "method": "C", "length_m": 12}],
    },
    "GET /households/{household_id}/circuits/{circuit_id}": lambda ids: None,
    "PUT /households/{household_id}/circuits/{circuit_id}": lambda ids: {
        "label": "Garage",
        "runs": [{"kind": "ring", "device_kind": "mcb_b", "device_a": 32, "cable_mm2": 2.5, "length_m": 40}],
    },
    "GET /households/{household_id}/circuits/{circuit_id}/arithmetic": lambda ids: None,
    "GET /households/{household_id}/demand": lambda ids: None,
    "GET /households/{household_id}/survey": lambda ids: None,
    "PUT /households/{household_id}/survey/home": lambda ids: {"answers": {"tenure": "owner"}},
    "PUT /households/{household_id}/survey/supply": lambda ids: {"answers": {"fuse_a": 80, "looped": "no"}},
    "PUT /households/{household_id}/survey/outlet": lambda ids: {"answers": {"place": "indoors"}},
    "PUT /households/{household_id}/survey/circuit": lambda ids: {"answers": {"runs": [{"kind": "ring"}]}},
    "PUT /households/{household_id}/survey/lead": lambda ids: {"answers": {"has_plug_sensor": "yes"}},
    "PUT /households/{household_id}/survey/consents": lambda ids: {"answers": {"landlord": {"answer": "yes"}}},
    "PUT /households/{household_id}/consents/{kind}": lambda ids: {"answer": "yes", "given_on": "2026-11-01"},
    "POST /households/{household_id}/outlets": lambda ids: {
        "label": "Drive",
        "kind": "socket_13a",
        "is_tethered": None,
        "place": "outdoors",
        "limit_a": 10,
        "circuit_id": ids["circuit_id"],
        **IDENTITY,
    },
    "GET /households/{household_id}/outlets/{outlet_id}": lambda ids: None,
    "PATCH /households/{household_id}/outlets/{outlet_id}": lambda ids: {"label": "Wall"},
    "POST /households/{household_id}/leads": lambda ids: {
        "label": "Spare",
        "kind": "mode_2",
        "rated_a": 10,
        "set_a": 8,
        **IDENTITY,
    },
    "GET /households/{household_id}/leads/{lead_id}": lambda ids: None,
    "PATCH /households/{household_id}/leads/{lead_id}": lambda ids: {"set_a": 6},
    "GET /households/{household_id}/vehicles": lambda ids: None,
    "POST /households/{household_id}/vehicles": lambda ids: {
        "label": "Second",
        "battery_kwh": 40,
        "miles_per_kwh": 3.5,
        "onboard_limit_a": 32,
        "onboard_phases": 1,
        "ceiling_percent": 80,
        "reserve_percent": 20,
        "outlet_id": ids["outlet_id"],
        "lead_id": ids["lead_id"],
    },
    "GET /households/{household_id}/vehicles/{vehicle_id}": lambda ids: None,
    "PATCH /households/{household_id}/vehicles/{vehicle_id}": lambda ids: {"ceiling_percent": 90},
    "DELETE /households/{household_id}/vehicles/{vehicle_id}": lambda ids: None,
    "GET /households/{household_id}/vehicles/{vehicle_id}/state_of_charge": lambda ids: None,
    "PUT /households/{household_id}/vehicles/{vehicle_id}/state_of_charge": lambda ids: {"percent": 55},
    "GET /households/{household_id}/vehicles/{vehicle_id}/routine": lambda ids: None,
    "PUT /households/{household_id}/vehicles/{vehicle_id}/routine": lambda ids: {
        "departures": [
            {"weekday": 0, "leaves_at": "07:30", "returns_at": "17:45", "returns_days_later": 0, "miles": "42"}
        ]
    },
    "GET /households/{household_id}/vehicles/{vehicle_id}/journeys": lambda ids: None,
    "POST /households/{household_id}/vehicles/{vehicle_id}/journeys": lambda ids: {
        "leaves_at": "2026-12-01T08:00:00Z",
        "returns_at": "2026-12-01T18:00:00Z",
        "miles": "120",
        "is_important": True,
        "replaces_routine": True,
        "note": "",
    },
    "GET /households/{household_id}/vehicles/{vehicle_id}/journeys/{journey_id}": lambda ids: None,
    "PATCH /households/{household_id}/vehicles/{vehicle_id}/journeys/{journey_id}": lambda ids: {"miles": "95"},
    "DELETE /households/{household_id}/vehicles/{vehicle_id}/journeys/{journey_id}": lambda ids: None,
    "GET /households/{household_id}/habits": lambda ids: None,
    "GET /households/{household_id}/house_readings": lambda ids: None,
    "POST /households/{household_id}/house_readings": lambda ids: {
        "text": "time,kWh\n2026-11-01T00:00:00+00:00,0.4\n",
        "layout": "half_hour_a_line",
        "clock": "stated",
        "marks": "start",
        "unit": "kwh",
        "is_dry_run": False,
    },
    "DELETE /households/{household_id}/house_readings": lambda ids: None,
    "PUT /households/{household_id}/habits": lambda ids: {
        "swap_times": ["19:00", "22:30"],
        "need_quantile_permille": 950,
        "yearly_kwh": 2700,
        "quiet_from": None,
        "quiet_until": None,
    },
    "GET /households/{household_id}/vehicles/{vehicle_id}/diary": lambda ids: None,
    "POST /households/{household_id}/vehicles/{vehicle_id}/diary": lambda ids: {
        "days": [{"on": "2026-11-23", "miles": "31.5"}]
    },
    "DELETE /households/{household_id}/vehicles/{vehicle_id}/diary/{day_id}": lambda ids: None,
    "POST /households/{household_id}/vehicles/{vehicle_id}/diary/import": lambda ids: "on,miles\n2026-11-22,12.5\n",
    "GET /households/{household_id}/vehicles/{vehicle_id}/odometer": lambda ids: None,
    "POST /households/{household_id}/vehicles/{vehicle_id}/odometer": lambda ids: {
        "read_on": "2026-11-24",
        "miles": "20150",
    },
    "DELETE /households/{household_id}/vehicles/{vehicle_id}/odometer/{odometer_reading_id}": lambda ids: None,
    "GET /households/{household_id}/vehicles/{vehicle_id}/lead_verdict": lambda ids: None,
    "GET /households/{household_id}/charged": lambda ids: None,
    "GET /households/{household_id}/appliances": lambda ids: None,
    "PUT /households/{household_id}/appliances": lambda ids: {
        "appliances": [{"kind": "dishwasher", "runs_a_week": 5}],
        "awake": [{"from": "06:30", "until": "23:00"}],
    },
    "GET /households/{household_id}/appliance_advice": lambda ids: None,
    "GET /households/{household_id}/charging_records": lambda ids: None,
    "POST /households/{household_id}/charging_records": lambda ids: {
        "vehicle_id": ids["vehicle_id"],
        "place": "home",
        "starts_at": "2026-11-20T00:30:00Z",
        "ends_at": "2026-11-20T04:30:00Z",
        "energy_kwh": 8.5,
        "outlet_id": ids["outlet_id"],
    },
    "GET /households/{household_id}/charging_records/{record_id}": lambda ids: None,
    "PATCH /households/{household_id}/charging_records/{record_id}": lambda ids: {"energy_kwh": 2.5},
    "DELETE /households/{household_id}/charging_records/{record_id}": lambda ids: None,
    "POST /households/{household_id}/charging_records/csv": lambda ids: {
        "csv": "starts_at,ends_at,energy_kwh,place\n2026-11-21 00:30,2026-11-21 04:30,8.5,home\n",
        "is_dry_run": False,
    },
    "POST /households/{household_id}/charging_records/ocpi_cdrs": lambda ids: {
        "vehicle_id": ids["vehicle_id"],
        "outlet_id": ids["outlet_id"],
        "cdrs": [CDR],
        "is_dry_run": False,
    },
    "POST /households/{household_id}/contracts": lambda ids: {
        "tariff_id": ids["tariff_id"],
        "starts_on": "2019-01-01",
        "ends_on": "2019-06-01",
        "clock": None,
        "windows": [],
    },
    "GET /households/{household_id}/contracts/{contract_id}": lambda ids: None,
    "PATCH /households/{household_id}/contracts/{contract_id}": lambda ids: {"ends_on": "2029-01-01"},
    "POST /households/{household_id}/inspections": lambda ids: {
        "outlet_id": ids["outlet_id"],
        "inspected_on": "2026-11-20",
        "next_due_on": "2027-11-20",
        "certificate_number": "C-1",
        "electrician": "E. Volt",
        "observations": [{"code": "C3", "note": "label", "closed_on": None}],
    },
    "POST /households/{household_id}/inspections/{inspection_id}/observations/{position}/closure": lambda ids: {
        "closed_on": "2026-11-24"
    },
    "POST /households/{household_id}/inspections/{inspection_id}/acceptance": lambda ids: {},
    "POST /households/{household_id}/inspections/{inspection_id}/refusal": lambda ids: {"reason": "another home's"},
    "POST /households/{household_id}/inspections/{inspection_id}/correction_link": lambda ids: {
        "sent_to": "hollin@wiring.example"
    },
    "GET /inspections": lambda ids: None,
    "GET /administrators": lambda ids: None,
    "POST /administrators/{account_id}/duties": lambda ids: {
        "is_safety_officer": False,
        "is_duty_contact": True,
        "telephone": "01632 960 001",
    },
    "GET /electricians": lambda ids: None,
    "POST /electricians": lambda ids: {"name": "New", "email": "new@wiring.example"},
    "GET /electricians/{electrician_id}": lambda ids: None,
    "PATCH /electricians/{electrician_id}": lambda ids: {"firm": "Another"},
    "POST /electricians/{electrician_id}/removal": lambda ids: None,
    "GET /visits": lambda ids: None,
    "GET /visits/{visit_id}": lambda ids: None,
    "PATCH /visits/{visit_id}": lambda ids: {"electrician_id": ids["electrician_id"], "agreed_on": "2026-11-30"},
    "POST /visits/{visit_id}/steps": lambda ids: {"state": "no_access", "note": "nobody opened"},
    "GET /households/{household_id}/visits": lambda ids: None,
    "POST /households/{household_id}/visits": lambda ids: {"outlet_ids": [ids["outlet_id"]], "reason": "a new car"},
    "GET /inspection_links": lambda ids: None,
    "POST /inspection_links": lambda ids: {
        "visit_ids": [ids["visit_id"]],
        "electrician_id": ids["electrician_id"],
        "sent_to": "hollin@wiring.example",
        "expires_in_days": 7,
    },
    "POST /inspection_links/{link_id}/revocation": lambda ids: None,
    "GET /inspection_link": lambda ids: None,
    "GET /inspection_link/visits/{visit_id}": lambda ids: None,
    "PUT /inspection_link/visits/{visit_id}/draft": lambda ids: {"draft": {"outlets": []}, "draft_version": 0},
    "POST /inspection_link/visits/{visit_id}/files": lambda ids: CERTIFICATE,
    "POST /inspection_link/visits/{visit_id}/submission": lambda ids: submission(found_at(ids["outlet_id"])),
    "POST /households/{household_id}/files": lambda ids: CERTIFICATE,
    "GET /households/{household_id}/files/{file_id}": lambda ids: None,
    "POST /households/{household_id}/rechecks/{recheck_id}/completion": lambda ids: {"done_on": "2026-11-24"},
    "GET /households/{household_id}/signs": lambda ids: None,
    "POST /households/{household_id}/checks": lambda ids: {
        "outlet_id": ids["outlet_id"],
        "lead_id": ids["lead_id"],
        "answers": [{"question": "scorch", "answer": "yes"}],
        "note": "brown at one pin",
    },
    "POST /households/{household_id}/incidents": lambda ids: {
        "sign": "warm",
        "outlet_id": ids["outlet_id"],
        "lead_id": ids["lead_id"],
        "seen_at": None,
        "note": "",
    },
    "GET /households/{household_id}/safety_reports": lambda ids: None,
    "POST /households/{household_id}/safety_reports/{report_id}/withdrawal": lambda ids: {
        "reason": "another home",
        "file_id": ids["file_id"],
    },
    "GET /households/{household_id}/overrides": lambda ids: None,
    "POST /households/{household_id}/overrides": lambda ids: {
        "kind": "stricter", "item_kind": "outlet", "item_id": ids["outlet_id"], "clearance": "use_with_limits",
        "limit_a": 8, "reason": "worn shutters",
    },
    "POST /households/{household_id}/overrides/{override_id}/ending": lambda ids: None,
    "GET /households/{household_id}/extension_leads": lambda ids: None,
    "POST /households/{household_id}/extension_leads": lambda ids: {
        "outlet_id": ids["outlet_id"], "label": "Orange drum", "mark": "7", "size_mm2": 1.5, "length_m": 10,
        "is_coiled": "no", "place": "outdoors",
    },
    "POST /households/{household_id}/extension_leads/{extension_id}/ending": lambda ids: None,
    "GET /households/{household_id}/supervised_charges": lambda ids: None,
    "POST /households/{household_id}/supervised_charges": lambda ids: {
        "outlet_id": ids["outlet_id"],
        "lead_id": ids["lead_id"],
        "current_a": 8,
    },
    "POST /households/{household_id}/supervised_charges/{charge_id}/feelings": lambda ids: {"answer": "warm"},
    "POST /households/{household_id}/leads/{lead_id}/setting_photo": lambda ids: {
        "file_id": ids["file_id"],
        "shown_a": 8,
    },
    "POST /households/{household_id}/leads/{lead_id}/tests": lambda ids: {
        "kind": "test",
        "done_at": "2026-11-25T09:00:00Z",
        "is_passed": True,
        "tested_by": "Hollin Wiring (invented)",
        "reference": "T-9",
    },
    "GET /tariffs": lambda ids: None,
    "POST /tariffs": lambda ids: {"name": "Another", "kind": "banded", "clock": "local"},
    "POST /tariffs/import_ocpi": lambda ids: {
        "name": "Taken in",
        "valid_from_on": "2027-01-01",
        "standing_pence_per_day": "40",
        "tariff": OCPI_TARIFF,
    },
    "GET /tariffs/{tariff_id}": lambda ids: None,
    "GET /tariffs/{tariff_id}/taking": lambda ids: None,
    "PUT /tariffs/{tariff_id}/taking": lambda ids: {
        "meter_needed": "half_hourly",
        "needs_charging_point": False,
        "other_terms": "A direct debit",
        "is_open": True,
        "exit_fee_pence": 5000,
        "fixed_months": 12,
    },
    "GET /households/{household_id}/meter": lambda ids: None,
    "PUT /households/{household_id}/meter": lambda ids: {"meter_kind": "half_hourly", "yearly_kwh": 2900},
    "GET /households/{household_id}/meter_readings": lambda ids: None,
    "POST /households/{household_id}/meter_readings": lambda ids: {"read_on": "2026-11-20", "kwh": "10400.5"},
    "DELETE /households/{household_id}/meter_readings/{reading_id}": lambda ids: None,
    "GET /households/{household_id}/house_use": lambda ids: None,
    "GET /households/{household_id}/tariff_comparison": lambda ids: None,
    "POST /tariffs/{tariff_id}/versions": lambda ids: DRAFT,
    "GET /tariffs/{tariff_id}/versions/{version_id}": lambda ids: None,
    "PUT /tariffs/{tariff_id}/versions/{version_id}": lambda ids: DRAFT,
    "DELETE /tariffs/{tariff_id}/versions/{version_id}": lambda ids: None,
    "GET /tariffs/{tariff_id}/versions/{version_id}/preview": lambda ids: None,
    "POST /tariffs/{tariff_id}/versions/{version_id}/publication": lambda ids: None,
    "GET /tariffs/{tariff_id}/prices": lambda ids: None,
    "PUT /tariffs/{tariff_id}/prices": lambda ids: "starts_at,price_pence_per_kwh\n2026-11-26T00:00:00+00:00,12.5\n",
    "GET /runs": lambda ids: None,
    "GET /runs/{run_id}": lambda ids: None,
    "GET /mail": lambda ids: None,
    "POST /mail/{mail_id}/resend": lambda ids: None,
    "GET /notices": lambda ids: None,
    "POST /notices/{notice_id}/reading": lambda ids: None,
    "GET /raised_notices": lambda ids: None,
    "POST /notices/{notice_id}/ringing": lambda ids: {"note": "spoke to Bo: the car is unplugged"},
    "GET /feeds": lambda ids: None,
    "POST /feeds": lambda ids: {"kind": "rechecks"},
    "POST /feeds/{feed_id}/revocation": lambda ids: None,
    "GET /feeds/{token}.ics": lambda ids: None,
    "GET /mute/{token}": lambda ids: None,
    "POST /mute/{token}": lambda ids: None,
    "GET /mail_settings": lambda ids: None,
    "PUT /mail_settings": lambda ids: {"tips_muted": True, "telephone": "01632 960 001"},
    "GET /tariff_uses": lambda ids: None,
    "GET /households/{household_id}/car_holdings": lambda ids: None,
    "POST /households/{household_id}/car_holdings": lambda ids: {
        "vehicle_id": ids["vehicle_id"], "from_on": "2026-11-01", "held_as": "company_car",
    },
    "DELETE /households/{household_id}/car_holdings/{car_holding_id}": lambda ids: None,
    "GET /households/{household_id}/miles_elsewhere": lambda ids: None,
    "PUT /households/{household_id}/miles_elsewhere": lambda ids: {
        "items": [{"tax_year_from_on": "2026-04-06", "miles": "250"}]
    },
    "GET /households/{household_id}/business_trips": lambda ids: None,
    "POST /households/{household_id}/business_trips": lambda ids: {
        "vehicle_id": ids["vehicle_id"], "on_date": "2026-11-20", "origin": "A", "destination": "B", "reason": "C",
        "miles": "12.5",
    },
    "GET /households/{household_id}/business_trips/{business_trip_id}": lambda ids: None,
    "PATCH /households/{household_id}/business_trips/{business_trip_id}": lambda ids: {"miles": "13"},
    "DELETE /households/{household_id}/business_trips/{business_trip_id}": lambda ids: None,
    "POST /households/{household_id}/business_trips/import": lambda ids: "date,car,from,to,reason,miles\n",
    "GET /households/{household_id}/business_journeys": lambda ids: None,
    "POST /households/{household_id}/business_journeys": lambda ids: {
        "journeys": [
            {"journey_id": ids.get("past_journey_id"), "origin": "A", "destination": "B", "reason": "C"}
        ]
    },
    "GET /households/{household_id}/claim_preview": lambda ids: None,
    "GET /households/{household_id}/claims": lambda ids: None,
    "POST /households/{household_id}/claims": lambda ids: {"month": "2026-10"},
    "GET /households/{household_id}/claims/{claim_id}": lambda ids: None,
    "PATCH /households/{household_id}/claims/{claim_id}": lambda ids: {"home_shares": []},
    "DELETE /households/{household_id}/claims/{claim_id}": lambda ids: None,
    "POST /households/{household_id}/claims/{claim_id}/sending": lambda ids: {},
    "POST /households/{household_id}/claims/{claim_id}/withdrawal": lambda ids: {},
    "POST /households/{household_id}/claims/{claim_id}/answer": lambda ids: {"text": "the one at the ford"},
    "POST /households/{household_id}/claims/{claim_id}/correction": lambda ids: {"reason": "a mistyped distance"},
    "GET /households/{household_id}/claims/{claim_id}/copy.pdf": lambda ids: None,
    "GET /claims": lambda ids: None,
    "GET /claims/{claim_id}": lambda ids: None,
    "POST /claims/{claim_id}/query": lambda ids: {"text": "which site?"},
    "POST /claims/{claim_id}/approval": lambda ids: {},
    "POST /claims/{claim_id}/refusal": lambda ids: {"text": "a private trip"},
    "POST /claims/approvals": lambda ids: {"claims": [{"claim_id": ids.get("claim_id"), "version": 1}]},
    "GET /statements": lambda ids: None,
    "POST /statements": lambda ids: {"month": "2026-10"},
    "GET /statements/{statement_id}": lambda ids: None,
    "GET /statements/{statement_id}/export": lambda ids: None,
    "GET /reimbursement_rules": lambda ids: None,
    "POST /reimbursement_rules": lambda ids: {"from_on": "2026-12-01", "company_method": "actual_cost"},
    "GET /figures": lambda ids: None,
    "GET /carbon": lambda ids: None,
    "GET /households/{household_id}/carbon": lambda ids: None,
}
# Where the tariff of a path must be another one than the usual.
HALF_HOURLY = {"GET /tariffs/{tariff_id}/prices", "PUT /tariffs/{tariff_id}/prices"}
QUERY = {
    "GET /households/{household_id}/plan/charging_profile": "?version=1.6&vehicle_id={vehicle_id}",
    "GET /households/{household_id}/claim_preview": "?month=2026-10",
    "GET /statements/{statement_id}/export": "?format=csv",
    "GET /tariffs/{tariff_id}/prices": "?from=2026-11-26T00:00:00Z&to=2026-11-27T00:00:00Z",
    "POST /inspection_link/visits/{visit_id}/files": "?purpose=certificate&name=c.pdf",
    "POST /households/{household_id}/files": "?purpose=certificate&name=c.pdf",
    "PUT /households/{household_id}/survey/outlet": "?item_id={outlet_id}",
    "PUT /households/{household_id}/survey/circuit": "?item_id={outlet_id}",
    "PUT /households/{household_id}/survey/lead": "?item_id={lead_id}",
}
# Where a part of a path must be another one than the usual: a result that waits to be decided.
STAND_INS = {
    f"POST /households/{{household_id}}/inspections/{{inspection_id}}/{act}": {"inspection_id": "waiting_id"}
    for act in ("acceptance", "refusal", "correction_link")
}
# A claim must stand where the operation may be done.
STAND_INS |= {
    f"{method} /households/{{household_id}}/claims/{{claim_id}}{rest}": {"claim_id": f"{state}_claim_id"}
    for method, rest, state in (
        ("PATCH", "", "draft"), ("DELETE", "", "draft"), ("POST", "/sending", "draft"), ("POST", "/answer", "queried"),
        ("POST", "/correction", "approved"),
    )
}  # fmt: skip
# A car that trips stand open of stays; another home's has none.
STAND_INS["DELETE /households/{household_id}/vehicles/{vehicle_id}"] = {
    "household_id": "other_home_id", "vehicle_id": "other_car_id",
}  # fmt: skip
ANY_VALUE = {"draft"}
"""Fields of a body that take any object, because only their sender reads them."""

NO_IDS = ("position", "kind")
"""Parts of paths that are numbers or words."""


class Rig:
    """The app on a copy of the built world."""

    def __init__(self, settings: Settings, world: World) -> None:
        self.database = Database(settings.database_url)
        self.app = app_on(settings, self.database, FixedClock(NOON))
        self.world = world
        self._sessions: dict[str, Any] = {}
        self._theirs = ""

    def client(self, role: str) -> Any:
        """Return a client of this role; who has an account signs in once."""
        if role != "electrician":
            if role not in self._sessions:
                self._sessions[role] = sign_in(self.app, getattr(self.world.ours, role))
            return self._sessions[role]
        holder = self.app.test_client()
        holder.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
        holder.environ_base["HTTP_INSPECTION_LINK"] = self.world.ours.link_secret
        return holder

    def call(self, client: Any, name: str, ids: dict[str, str] | None = None, body: Any = ...) -> Any:
        method, path = name.split(" ")
        ours = dict(self.world.ours.ids)
        if name in HALF_HOURLY:
            ours["tariff_id"] = ours["half_hourly_id"]
        ours |= {part: ours[other] for part, other in STAND_INS.get(name, {}).items()}
        url = BASE + (path + QUERY.get(name, "")).format(**(ours | (ids or {})))
        body = VALID[name](ours) if body is ... else body
        headers = {"If-Match": "*"} if method in ("PUT", "PATCH", "DELETE") else {}
        if isinstance(body, bytes):
            return client.open(url, method=method, data=body, content_type="application/pdf", headers=headers)
        if isinstance(body, str):
            return client.open(url, method=method, data=body, content_type="text/csv", headers=headers)
        return client.open(url, method=method, json=body, headers=headers)

    def have_theirs_changed(self) -> bool:
        """Say whether any row of the other scheme has changed since this was last asked."""
        before, self._theirs = self._theirs, self._read_theirs()
        return self._theirs != before

    def _read_theirs(self) -> str:
        digest = hashlib.sha256()
        with self.database.engine.connect() as connection:
            for table in Base.metadata.sorted_tables:
                if table.name not in GLOBAL_TABLES:
                    rows = connection.execute(select(table).where(table.c.scheme_id == self.world.theirs.scheme_id))
                    digest.update(repr(sorted(map(repr, rows))).encode())
        return digest.hexdigest()


@pytest.fixture(scope="module")
def built(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, World]]:
    folder = tmp_path_factory.mktemp("world")
    url = databases.migrated(folder)
    database = Database(url)
    quick = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    world = build_world(database, Settings(data_dir=str(folder)), quick)
    database.close()
    yield url, world
    databases.drop(url)


@pytest.fixture(scope="module")
def shared_rig(
    built: tuple[str, World], databases: Databases, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Rig]:
    """One copy for all calls that must change nothing."""
    for rig in rig_on_copy(built, databases, tmp_path_factory.mktemp("shared")):
        rig.have_theirs_changed()  # asked again after each call: since now
        yield rig


@pytest.fixture
def rig(request: pytest.FixtureRequest, name: str, databases: Databases, tmp_path: Path) -> Iterator[Rig]:
    """A copy of the test's own for a call that changes something, else the shared one."""
    if name.startswith("GET"):
        yield request.getfixturevalue("shared_rig")
    else:
        yield from rig_on_copy(request.getfixturevalue("built"), databases, tmp_path)


def rig_on_copy(built: tuple[str, World], databases: Databases, folder: Path) -> Iterator[Rig]:
    url, world = built
    settings = Settings(
        database_url=databases.copy(url, folder), data_dir=str(folder), argon2_memory_kib=64, argon2_time_cost=1
    )
    for side in (world.ours, world.theirs):
        FilesOnDisk(settings.files_dir).put(side.scheme_id, "0" * 64, CERTIFICATE)
    rig = Rig(settings, world)
    yield rig
    rig.database.close()
    databases.drop(settings.database_url)


def document() -> dict[str, Any]:
    app = create_app(Settings(database_url="sqlite://"))
    found: dict[str, Any] = app.test_client().get(f"{BASE}/openapi.json").get_json()
    return found


DOCUMENT = document()
OPERATIONS: dict[str, dict[str, Any]] = {
    f"{method.upper()} {path.removeprefix(BASE)}": operation
    for path, methods in DOCUMENT["paths"].items()
    for method, operation in methods.items()
    if method != "parameters"
}
GUARDED = sorted(name for name in OPERATIONS if OPERATIONS[name].get("security") != [])


def test_every_operation_has_a_right_call_here() -> None:
    assert set(OPERATIONS) == set(VALID)


@pytest.mark.parametrize("name", GUARDED)
def test_a_right_call_succeeds(rig: Rig, name: str) -> None:
    role = OPERATIONS[name]["x-roles"][0]
    reply = rig.call(rig.client(role), name)
    told = reply.get_data().decode(errors="replace")  # a file is no text
    assert 200 <= reply.status_code < 300, told
    assert CANARY not in told


@pytest.mark.parametrize("name", GUARDED)
def test_without_a_session_it_answers_401(shared_rig: Rig, name: str) -> None:
    nobody = shared_rig.app.test_client()
    nobody.environ_base["HTTP_X_REQUESTED_BY"] = "plugward"
    reply = shared_rig.call(nobody, name)
    assert (reply.status_code, reply.mimetype) == (401, "application/problem+json")


@pytest.mark.parametrize("name", GUARDED)
def test_another_role_is_answered_403(shared_rig: Rig, name: str) -> None:
    for role in {"administrator", "member", "finance"} - set(OPERATIONS[name]["x-roles"]):
        reply = shared_rig.call(shared_rig.client(role), name)
        assert (reply.status_code, reply.mimetype) == (403, "application/problem+json")
    assert not shared_rig.have_theirs_changed()


FINANCE_READS = ("/session", "/claims", "/statements", "/reimbursement_rules", "/figures")
"""All that finance is let into: no home, plan, routine, journey, diary, charge or safety record."""


def test_finance_is_let_into_claims_statements_and_figures_alone() -> None:
    let_in = {name.split(" ")[1] for name in GUARDED if "finance" in OPERATIONS[name]["x-roles"]}
    assert "/session" in let_in
    assert {path for path in let_in if not path.startswith(FINANCE_READS)} == set()


@pytest.mark.parametrize("name", [name for name in GUARDED if "{" in name])
def test_another_schemes_ids_are_answered_404(shared_rig: Rig, name: str) -> None:
    parts = [part for part in (after.split("}")[0] for after in name.split("{")[1:]) if part not in NO_IDS]
    for role in OPERATIONS[name]["x-roles"]:
        client = shared_rig.client(role)
        for part in parts:
            other = "half_hourly_id" if name in HALF_HOURLY else STAND_INS.get(name, {}).get(part, part)
            theirs = shared_rig.world.theirs.ids[other]
            reply = shared_rig.call(client, name, {part: theirs})
            assert (reply.status_code, reply.mimetype) == (404, "application/problem+json"), (role, part)
            assert CANARY not in reply.get_data(as_text=True) + str(reply.headers)
            unknown = shared_rig.call(client, name, {part: "f" * 32})
            assert shape(unknown) == shape(reply), "a foreign id must answer as an unknown one"
    assert not shared_rig.have_theirs_changed()


ANY_IDS = dict.fromkeys(
    (
        "household_id", "circuit_id", "outlet_id", "lead_id", "tariff_id", "file_id", "visit_id", "electrician_id",
        "vehicle_id",
    ),
    "0" * 32,
)


@pytest.mark.parametrize("name", [name for name in GUARDED if name in VALID and VALID[name](ANY_IDS)])
def test_another_schemes_ids_in_a_body_are_refused(shared_rig: Rig, name: str) -> None:
    body = VALID[name](dict(shared_rig.world.ours.ids))
    client = shared_rig.client(OPERATIONS[name]["x-roles"][0])
    for field in (field for field in body if isinstance(body, dict) and field.endswith("_id")):
        reply = shared_rig.call(client, name, body={**body, field: shared_rig.world.theirs.ids[field]})
        assert reply.status_code in (404, 422), field
        assert CANARY not in reply.get_data(as_text=True)
    assert not shared_rig.have_theirs_changed()


@pytest.mark.parametrize("name", [name for name in GUARDED if "{household_id}" in name])
def test_a_member_sees_no_other_home_of_the_scheme(shared_rig: Rig, name: str) -> None:
    if "member" in OPERATIONS[name]["x-roles"]:
        reply = shared_rig.call(
            shared_rig.client("member"), name, {"household_id": shared_rig.world.ours.second_household_id}
        )
        assert reply.status_code == 404


WITH_BODY = [
    name
    for name, operation in OPERATIONS.items()
    if "application/json" in operation.get("requestBody", {}).get("content", {})
]
WITH_QUERY = [
    name
    for name in GUARDED
    if any("name" in part and part.get("in") == "query" for part in OPERATIONS[name].get("parameters", []))
]


@pytest.mark.parametrize("name", WITH_BODY)
def test_bad_input_is_answered_with_a_problem_that_points_at_the_field(shared_rig: Rig, name: str) -> None:
    schema = OPERATIONS[name]["requestBody"]["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
    properties = DOCUMENT["components"]["schemas"][schema]["properties"]
    client = shared_rig.client((OPERATIONS[name]["x-roles"] or ["member"])[0])
    right = VALID[name](dict(shared_rig.world.ours.ids)) or {}
    for field in [*properties, "no_such_field"]:
        if properties.get(field, {}).get("readOnly") or field in ANY_VALUE:
            continue
        reply = shared_rig.call(client, name, body={**right, field: {"not": ["a", "value"]}})
        found = reply.get_json()
        assert (reply.status_code, reply.mimetype) == (422, "application/problem+json"), field
        assert any(entry["pointer"].startswith(f"#/{field}") for entry in found["errors"]), (field, found)
    reply = shared_rig.call(client, name, body=["not an object"])
    assert reply.status_code == 422


@pytest.mark.parametrize("name", WITH_QUERY)
def test_a_bad_query_is_answered_with_a_problem_that_names_it(shared_rig: Rig, name: str) -> None:
    client = shared_rig.client(OPERATIONS[name]["x-roles"][0])
    method, path = name.split(" ")
    url = BASE + path.format(**shared_rig.world.ours.ids)
    body = None if method == "GET" else VALID[name](dict(shared_rig.world.ours.ids))
    names = [p["name"] for p in OPERATIONS[name]["parameters"] if p.get("in") == "query"]
    for asked in [*names, "no_such_name"]:
        asking = {asked: "\x00bad"}
        sent = {"data": body} if isinstance(body, bytes) else {"json": body}
        if isinstance(body, str):
            sent = {"data": body, "content_type": "text/csv"}
        reply = client.open(url, method=method, headers={"If-Match": "*"}, query_string=asking, **sent)
        found = reply.get_json()
        assert reply.status_code in (400, 422), asked
        assert found["status"] == reply.status_code
        if reply.status_code == 422:
            assert any(entry["pointer"] == f"#/{asked}" for entry in found["errors"]), (asked, found)


def test_an_administrator_never_reads_a_departure(shared_rig: Rig) -> None:
    client = shared_rig.client("administrator")
    read = [name for name in GUARDED if name.startswith("GET") and "administrator" in OPERATIONS[name]["x-roles"]]
    told = json.dumps([shared_rig.call(client, name).get_json() for name in read])
    for word in ("leaves_at", "returns_at", "arrives_at", "charge_percent", "stays", "departures"):
        assert f'"{word}"' not in told


def shape(reply: Any) -> tuple[Any, ...]:
    found = reply.get_json()
    return reply.status_code, found["type"], found["title"], found["detail"], sorted(found)
