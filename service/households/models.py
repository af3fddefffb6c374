"""Stored rows of a home: where it is, what feeds its cars, which cars, and when they leave."""

from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, Integer, Numeric, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.common.calendar import Nation
from service.households.domain.equipment import (
    CableKind,
    ChargingPlace,
    CircuitRunKind,
    DeviceKind,
    Earthing,
    LeadKind,
    MeterKind,
    OutletControl,
    OutletKind,
    Place,
    PortPosition,
    RcdType,
    RecordSource,
    Tenure,
    YesNo,
)
from service.infrastructure.db.base import Base, SchemeScoped, Versioned, belongs_to, one_of
from service.infrastructure.files import StoredFile as StoredFile  # leads name one
from service.tariffs.domain.terms import TariffClock


class Household(SchemeScoped, Versioned, Base):
    """One home of the scheme."""

    __tablename__ = "households"
    reference: Mapped[str] = mapped_column(String(40))
    member_name: Mapped[str] = mapped_column(String(120))
    address: Mapped[str] = mapped_column(String(300))
    postcode: Mapped[str] = mapped_column(String(12))
    zone: Mapped[str] = mapped_column(String(40))
    nation: Mapped[str] = mapped_column(String(20))
    # The distribution region and payment method choose the rate sheet.
    region: Mapped[str | None] = mapped_column(String(40))
    payment: Mapped[str | None] = mapped_column(String(40))
    tenure: Mapped[str] = mapped_column(String(16), default="not_known")
    # Since when the same people live there: a report on the wiring from before it speaks of another household's use.
    occupied_since_on: Mapped[date | None]
    # Raised by everything that could change a plan; a plan made from an older count is stale.
    change_counter: Mapped[int] = mapped_column(Integer, default=1)
    # The count of the newest stop, and when it was: no plan from an older count is shown any more.
    stopped_at_change: Mapped[int | None] = mapped_column(Integer)
    stopped_at: Mapped[datetime | None]
    # Minutes after local midnight at which somebody is up to swap cars at a shared outlet.
    swap_times_min: Mapped[list[int]] = mapped_column(JSON, default=lambda: [1140])
    # How sure the plan is to cover a day's miles that the diary only gives odds of.
    need_quantile_permille: Mapped[int] = mapped_column(Integer, default=900)
    yearly_kwh: Mapped[int | None] = mapped_column(Integer)
    # What the home's meter can tell apart: it decides which tariffs the home can take.
    meter_kind: Mapped[str] = mapped_column(String(16), default="not_known")
    # Local minutes between which nothing is to switch; both None: at any time.
    quiet_from_min: Mapped[int | None] = mapped_column(Integer)
    quiet_until_min: Mapped[int | None] = mapped_column(Integer)
    created_at: Mapped[datetime]
    __table_args__ = (
        UniqueConstraint("scheme_id", "reference"),
        one_of("nation", Nation),
        one_of("tenure", Tenure),
        one_of("meter_kind", MeterKind),
    )


class OfHousehold(SchemeScoped):
    """A row that belongs to one household and goes with it."""

    household_id: Mapped[str] = mapped_column(String(32))


class Identified:
    """What tells one lead, outlet or device from another of its kind."""

    maker_model: Mapped[str] = mapped_column(String(120), default="")
    serial_or_batch: Mapped[str] = mapped_column(String(80), default="")
    supplied_by: Mapped[str] = mapped_column(String(120), default="")
    since_on: Mapped[date | None]


class Supply(OfHousehold, Versioned, Base):
    """The service cut-out of the home."""

    __tablename__ = "supplies"
    fuse_a: Mapped[int | None] = mapped_column(Integer)
    phases: Mapped[int] = mapped_column(Integer, default=1)
    earthing: Mapped[str] = mapped_column(String(12), default="not_known")
    looped: Mapped[str] = mapped_column(String(12), default="not_known")
    other_loads: Mapped[str] = mapped_column(String(300), default="")
    # [{"kind": "shower", "power_w": 8500}, ...] as the demand arithmetic reads them
    loads: Mapped[list[dict[str, Any]]] = mapped_column(JSON, default=list)
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id"),
        one_of("earthing", Earthing),
        one_of("looped", YesNo),
    )


class Circuit(OfHousehold, Base):
    """The way from the origin to an outlet; its runs stand in order."""

    __tablename__ = "circuits"
    label: Mapped[str] = mapped_column(String(80))
    __table_args__ = (
        belongs_to("households", "household_id"),
        Index("ix_circuits_household", "scheme_id", "household_id"),
    )


class CircuitRun(SchemeScoped, Base):
    """One run of a circuit: a sub-main, board, ring, radial or spur; the device at its head has an identity."""

    __tablename__ = "circuit_runs"
    circuit_id: Mapped[str] = mapped_column(String(32))
    position: Mapped[int] = mapped_column(Integer)
    kind: Mapped[str] = mapped_column(String(16))
    device: Mapped[str] = mapped_column(String(120), default="")
    cable: Mapped[str] = mapped_column(String(80), default="")
    method: Mapped[str] = mapped_column(String(80), default="")
    length_m: Mapped[Decimal | None] = mapped_column(Numeric(6, 1))
    # What the arithmetic reads; None and "not_known" bound nothing and pass nothing.
    device_kind: Mapped[str] = mapped_column(String(16), default="not_known")
    device_a: Mapped[int | None] = mapped_column(Integer)
    rcd_type: Mapped[str] = mapped_column(String(12), default="not_known")
    rcd_ma: Mapped[int | None] = mapped_column(Integer)
    cable_kind: Mapped[str] = mapped_column(String(20), default="not_known")
    cable_mm2: Mapped[Decimal | None] = mapped_column(Numeric(5, 2))
    # Reference method of the cable's table: "C", "A", "100" to "103", "D", "E"; empty: not known.
    installed: Mapped[str] = mapped_column(String(8), default="")
    ambient_c: Mapped[int | None] = mapped_column(Integer)
    grouped_circuits: Mapped[int | None] = mapped_column(Integer)
    insulation_mm: Mapped[int | None] = mapped_column(Integer)
    __table_args__ = (
        belongs_to("circuits", "circuit_id"),
        UniqueConstraint("scheme_id", "circuit_id", "position"),
        one_of("kind", CircuitRunKind),
        one_of("device_kind", DeviceKind),
        one_of("rcd_type", RcdType),
        one_of("cable_kind", CableKind),
    )


class Outlet(OfHousehold, Identified, Versioned, Base):
    """Where a vehicle is fed: a 13 A socket-outlet or a fixed charging point."""

    __tablename__ = "outlets"
    circuit_id: Mapped[str | None] = mapped_column(String(32))
    ordinal: Mapped[int] = mapped_column(Integer)
    label: Mapped[str] = mapped_column(String(80))
    kind: Mapped[str] = mapped_column(String(16))
    is_tethered: Mapped[bool | None]
    place: Mapped[str] = mapped_column(String(12), default="not_known")
    limit_a: Mapped[int] = mapped_column(Integer)
    phases: Mapped[int] = mapped_column(Integer, default=1)
    # Where the car stands while it charges: it decides the question of a lost combined conductor.
    car_place: Mapped[str] = mapped_column(String(12), default="not_known")
    ip_code: Mapped[str] = mapped_column(String(8), default="")
    ev_mark: Mapped[str] = mapped_column(String(12), default="not_known")
    in_sun: Mapped[str] = mapped_column(String(12), default="not_known")
    nights_a_week: Mapped[int | None] = mapped_column(Integer)
    control: Mapped[str] = mapped_column(String(12), default="not_known")
    # A charging point waits up to this long after a set start [s].
    start_delay_s: Mapped[int | None] = mapped_column(Integer)
    __table_args__ = (
        belongs_to("households", "household_id"),
        ForeignKeyConstraint(
            ["scheme_id", "circuit_id"], ["circuits.scheme_id", "circuits.id"], name="fk_outlets_circuit"
        ),
        Index("ix_outlets_household", "scheme_id", "household_id"),
        one_of("kind", OutletKind),
        one_of("place", Place),
        one_of("car_place", Place),
        one_of("ev_mark", YesNo),
        one_of("in_sun", YesNo),
        one_of("control", OutletControl),
    )


class OutletChange(OfHousehold, Base):
    """That what an inspection of an outlet rests on was recorded otherwise than before: appended, never edited.

    Its own identity, circuit or current, the runs of its circuit, or the earthing of the home.
    """

    __tablename__ = "outlet_changes"
    outlet_id: Mapped[str] = mapped_column(String(32))
    # In words: "serial or batch", "circuit: cable size".
    what: Mapped[str] = mapped_column(String(300))
    changed_at: Mapped[datetime]
    # The day of it in the home's zone, as dates of inspections are.
    changed_on: Mapped[date]
    changed_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        belongs_to("outlets", "outlet_id"),
        Index("ix_outlet_changes_household", "scheme_id", "household_id"),
    )


class Lead(OfHousehold, Identified, Versioned, Base):
    """A portable Mode 2 lead, or the loose cable of an untethered charging point."""

    __tablename__ = "leads"
    label: Mapped[str] = mapped_column(String(80))
    kind: Mapped[str] = mapped_column(String(16))
    rated_a: Mapped[int] = mapped_column(Integer)
    # The current it is set to now; a plan never assumes another.
    set_a: Mapped[int] = mapped_column(Integer)
    # Currents that it can be set to [A]; empty: it cannot be set, or nobody knows.
    settings_a: Mapped[list[int]] = mapped_column(JSON, default=list)
    phases: Mapped[int] = mapped_column(Integer, default=1)
    has_plug_sensor: Mapped[str] = mapped_column(String(12), default="not_known")
    length_m: Mapped[Decimal | None] = mapped_column(Numeric(5, 1))
    # The setting that a photo showed, and when somebody looked at it.
    setting_shown_a: Mapped[int | None] = mapped_column(Integer)
    setting_shown_at: Mapped[datetime | None]
    setting_file_id: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("households", "household_id"),
        ForeignKeyConstraint(
            ["scheme_id", "setting_file_id"], ["files.scheme_id", "files.id"], name="fk_leads_setting_file"
        ),
        Index("ix_leads_household", "scheme_id", "household_id"),
        one_of("kind", LeadKind),
        one_of("has_plug_sensor", YesNo),
    )


class Vehicle(OfHousehold, Versioned, Base):
    """A car of the home, the outlet and lead it charges with, and its last known state of charge."""

    __tablename__ = "vehicles"
    ordinal: Mapped[int] = mapped_column(Integer)
    label: Mapped[str] = mapped_column(String(80))
    battery_wh: Mapped[int] = mapped_column(Integer)
    miles_per_kwh: Mapped[Decimal] = mapped_column(Numeric(5, 2))
    onboard_limit_a: Mapped[int] = mapped_column(Integer)
    onboard_phases: Mapped[int] = mapped_column(Integer, default=1)
    ceiling_percent: Mapped[int] = mapped_column(Integer, default=80)
    reserve_percent: Mapped[int] = mapped_column(Integer, default=20)
    outlet_id: Mapped[str | None] = mapped_column(String(32))
    lead_id: Mapped[str | None] = mapped_column(String(32))
    charge_percent: Mapped[int | None] = mapped_column(Integer)
    charge_read_at: Mapped[datetime | None]
    # Outlets that the car could be fed from as well.
    other_outlet_ids: Mapped[list[str]] = mapped_column(JSON, default=list)
    # Above this charge the car draws less and less [%].
    taper_from_percent: Mapped[int | None] = mapped_column(Integer)
    # What it draws from its battery while it stands [W]: kept awake by its app, a camera, or the cold.
    standby_w: Mapped[int] = mapped_column(Integer, default=0)
    # Where its charging port is, as seen from the driver's seat.
    port: Mapped[str] = mapped_column(String(16), default="not_known")
    # The weekly routine is one document to its owner: this counter is its ETag.
    routine_version: Mapped[int] = mapped_column(Integer, default=1)
    __table_args__ = (
        belongs_to("households", "household_id"),
        ForeignKeyConstraint(
            ["scheme_id", "outlet_id"], ["outlets.scheme_id", "outlets.id"], name="fk_vehicles_outlet"
        ),
        ForeignKeyConstraint(["scheme_id", "lead_id"], ["leads.scheme_id", "leads.id"], name="fk_vehicles_lead"),
        Index("ix_vehicles_household", "scheme_id", "household_id"),
        one_of("port", PortPosition),
    )


class RoutineDeparture(SchemeScoped, Base):
    """A departure that recurs every week, in the household's local time."""

    __tablename__ = "routines"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    household_id: Mapped[str] = mapped_column(String(32))
    weekday: Mapped[int] = mapped_column(Integer)
    leaves_at: Mapped[time]
    returns_at: Mapped[time]
    returns_days_later: Mapped[int] = mapped_column(Integer, default=0)
    miles: Mapped[Decimal] = mapped_column(Numeric(6, 1))
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        Index("ix_routines_household", "scheme_id", "household_id"),
    )


class Journey(OfHousehold, Versioned, Base):
    """One dated departure and return; it may stand in for the routine of the days it covers."""

    __tablename__ = "journeys"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    leaves_at: Mapped[datetime]
    returns_at: Mapped[datetime]
    miles: Mapped[Decimal] = mapped_column(Numeric(6, 1))
    is_important: Mapped[bool] = mapped_column(default=False)
    replaces_routine: Mapped[bool] = mapped_column(default=True)
    # For the employer: the member may claim its miles.
    is_business: Mapped[bool] = mapped_column(default=False)
    note: Mapped[str] = mapped_column(String(200), default="")
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        Index("ix_journeys_household", "scheme_id", "household_id", "returns_at"),
    )


class DiaryDay(OfHousehold, Base):
    """Miles that a car was driven on one day, as kept by the member or read in."""

    __tablename__ = "diary_days"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    on_date: Mapped[date]
    miles: Mapped[Decimal] = mapped_column(Numeric(6, 1))
    source: Mapped[str] = mapped_column(String(12), default="typed")
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "vehicle_id", "on_date"),
        Index("ix_diary_days_household", "scheme_id", "household_id"),
    )


class HouseReading(OfHousehold, Base):
    """What the whole home drew in one half-hour, as its meter says."""

    __tablename__ = "house_readings"
    slot: Mapped[int] = mapped_column(Integer)
    energy_wh: Mapped[int] = mapped_column(Integer)
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id", "slot"),
    )


class MeterReading(OfHousehold, Base):
    """What a register of the home's meter stood at on a day; ``register`` is empty where there is one only."""

    __tablename__ = "meter_readings"
    register: Mapped[str] = mapped_column(String(24), default="")
    read_on: Mapped[date]
    kwh: Mapped[Decimal] = mapped_column(Numeric(10, 1))
    __table_args__ = (
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id", "register", "read_on"),
    )


class OdometerReading(OfHousehold, Base):
    """What a car's odometer stood at on a day."""

    __tablename__ = "odometer_readings"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    read_on: Mapped[date]
    miles: Mapped[Decimal] = mapped_column(Numeric(8, 1))
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "vehicle_id", "read_on"),
        Index("ix_odometer_readings_household", "scheme_id", "household_id"),
    )


class ChargingRecord(OfHousehold, Versioned, Base):
    """What a car was actually charged with, once: where, when, how much, and how that is known."""

    __tablename__ = "charging_records"
    vehicle_id: Mapped[str] = mapped_column(String(32))
    outlet_id: Mapped[str | None] = mapped_column(String(32))
    place: Mapped[str] = mapped_column(String(12))
    starts_at: Mapped[datetime]
    ends_at: Mapped[datetime]
    energy_wh: Mapped[int] = mapped_column(Integer)
    # Measured by a meter that feeds nothing but cars; an estimate never backs a claim at actual cost.
    is_metered: Mapped[bool]
    # [[slot, energy in Wh], ...] where the meter told half-hours apart; empty where it did not.
    half_hours: Mapped[list[list[int]]] = mapped_column(JSON, default=list)
    paid_pence: Mapped[int | None] = mapped_column(Integer)
    source: Mapped[str] = mapped_column(String(12))
    # The name that the source gives it, so that it is taken in once.
    external_id: Mapped[str | None] = mapped_column(String(60))
    note: Mapped[str] = mapped_column(String(200), default="")
    created_at: Mapped[datetime]
    created_by: Mapped[str | None] = mapped_column(String(32))
    __table_args__ = (
        belongs_to("vehicles", "vehicle_id"),
        belongs_to("households", "household_id"),
        UniqueConstraint("scheme_id", "household_id", "external_id"),
        Index("ix_charging_records_household", "scheme_id", "household_id", "starts_at"),
        one_of("place", ChargingPlace),
        one_of("source", RecordSource),
    )


class Contract(OfHousehold, Versioned, Base):
    """A household on a tariff for a time, with its own meter's clock and windows where they differ."""

    __tablename__ = "household_contracts"
    tariff_id: Mapped[str] = mapped_column(String(32))
    starts_on: Mapped[date]
    ends_on: Mapped[date | None]
    clock: Mapped[str | None] = mapped_column(String(8))
    # band name -> [[starts_at_min, ends_at_min], ...] as this home's meter switches
    windows: Mapped[dict[str, Any]] = mapped_column(JSON, default=dict)
    # What leaving before that day costs; None: not known.
    exit_fee_pence: Mapped[int | None] = mapped_column(Integer)
    fixed_until_on: Mapped[date | None]
    __table_args__ = (
        belongs_to("households", "household_id"),
        belongs_to("tariffs", "tariff_id", on_delete="RESTRICT"),
        Index("ix_household_contracts_household", "scheme_id", "household_id"),
        Index("ix_household_contracts_tariff", "scheme_id", "tariff_id"),
        one_of("clock", TariffClock),
    )
