"""The kinds of equipment a home has, in the trade's words; "not known" is an answer."""

from enum import StrEnum


class Earthing(StrEnum):
    """Earthing arrangement of the supply (BS 7671 system types)."""

    TN_S = "tn_s"
    TN_C_S = "tn_c_s"
    TT = "tt"
    NOT_KNOWN = "not_known"


class YesNo(StrEnum):
    """An answer that may be missing."""

    YES = "yes"
    NO = "no"
    NOT_KNOWN = "not_known"


class CircuitRunKind(StrEnum):
    """What one run of a circuit is."""

    SUB_MAIN = "sub_main"
    BOARD = "board"
    RING = "ring"
    RADIAL = "radial"
    SPUR = "spur"
    FUSED_SPUR = "fused_spur"


class OutletKind(StrEnum):
    """Where a vehicle is fed."""

    SOCKET_13A = "socket_13a"
    CHARGING_POINT = "charging_point"


class OutletControl(StrEnum):
    """How the times of charging at an outlet can be set: one start and stop a night, or each half-hour freely."""

    NOT_KNOWN = "not_known"
    TIMER = "timer"
    SCHEDULE = "schedule"


class Place(StrEnum):
    """Where the outlet is."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"
    NOT_KNOWN = "not_known"


class LeadKind(StrEnum):
    """A Mode 2 lead with its in-cable protection device, or a loose Mode 3 cable."""

    MODE_2 = "mode_2"
    MODE_3_CABLE = "mode_3_cable"


class Tenure(StrEnum):
    """Who owns the home, as the intervals of reports ask."""

    OWNER = "owner"
    PRIVATE_RENTED = "private_rented"
    SOCIAL_RENTED = "social_rented"
    NOT_KNOWN = "not_known"


class DeviceKind(StrEnum):
    """The device at the head of a run that breaks an overload."""

    MCB_B = "mcb_b"
    MCB_C = "mcb_c"
    MCB_D = "mcb_d"
    FUSE_REWIREABLE = "fuse_rewireable"
    FUSE_CARTRIDGE = "fuse_cartridge"
    PLUG_FUSE = "plug_fuse"
    NOT_KNOWN = "not_known"


class RcdType(StrEnum):
    """Type of a residual current device (IEC 61008, 62423); ``none``: there is none."""

    NONE = "none"
    AC = "ac"
    A = "a"
    F = "f"
    B = "b"
    NOT_KNOWN = "not_known"


class CableKind(StrEnum):
    """Which table of currents a run's cable has."""

    FLAT_TWIN_AND_EARTH = "flat_twin_and_earth"
    ARMOURED = "armoured"
    OTHER = "other"
    NOT_KNOWN = "not_known"


class LargeLoadKind(StrEnum):
    """What takes much of a home's supply, as people know it; sockets and lighting are whole circuits."""

    LIGHTING = "lighting"
    SOCKETS = "sockets"
    COOKER = "cooker"
    SHOWER = "shower"
    IMMERSION = "immersion"
    STORAGE_HEATING = "storage_heating"
    ROOM_HEATING = "room_heating"
    HEAT_PUMP = "heat_pump"
    OTHER = "other"


SOCKET_LIMIT_A = 13  # BS 1363 rating of a 13 A socket-outlet [A]
# practical limit of an ordinary 13 A socket for hours on end [A]: common practice of the trade, no clause
SOCKET_SUSTAINED_LIMIT_A = 10


class MeterKind(StrEnum):
    """What the home's electricity meter can tell apart."""

    NOT_KNOWN = "not_known"
    SINGLE_RATE = "single_rate"
    TWO_RATE = "two_rate"
    HALF_HOURLY = "half_hourly"


class PortPosition(StrEnum):
    """Where a car's charging port is; left and right as seen from the driver's seat."""

    NOT_KNOWN = "not_known"
    NOSE = "nose"
    TAIL = "tail"
    FRONT_LEFT = "front_left"
    FRONT_RIGHT = "front_right"
    REAR_LEFT = "rear_left"
    REAR_RIGHT = "rear_right"


class ChargingPlace(StrEnum):
    """Where a car was charged."""

    HOME = "home"
    PUBLIC = "public"
    WORK = "work"


class RecordSource(StrEnum):
    """How a charging record came in."""

    TYPED = "typed"
    CSV = "csv"
    OCPI = "ocpi"
