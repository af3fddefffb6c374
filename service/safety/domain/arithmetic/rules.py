"""The rules that the arithmetic uses, each with its mark, the pages it was read in and the editions they state.

None of the pages is a standard itself: they restate it. Where a figure is from memory or common practice the
row says so, and a working shows it.
"""

from __future__ import annotations

from typing import Final

from service.safety.domain.arithmetic.editions import SUPPLY_LAW, WIRING, Mark, Rule

_P, _M, _D, _CP = Mark.PUBLISHED, Mark.FROM_MEMORY, Mark.DERIVED, Mark.COMMON_PRACTICE
_READ: Final = "pages written to BS 7671:2018 with amendments 1 to 3"
_CONFIRMED: Final = ("BS 7671:2018+A2:2022+A3:2024",)
_APPRENTICE: Final = "a public file of look-up tables for apprentices"
_CABLES: Final = "a public file of UK cable tables"


def _wiring(name: str, source: str, mark: Mark = _P) -> Rule:
    return Rule(name, mark, source, WIRING, _READ, _CONFIRMED)


# --- pilot, coding, supply voltage
PILOT_DUTY: Final = Rule(
    "IEC 61851-1 duty cycle of the control pilot", _P, "manuals of two test instruments, which agree", "IEC 61851-1"
)
PILOT_STATES: Final = Rule(
    "IEC 61851-1 pilot states", _P, "manuals of a mobile inline tester and of a charge-control module", "IEC 61851-1"
)
PROXIMITY: Final = Rule(
    "IEC 61851-1 proximity coding", _P, "manual of a charging controller, table 5-1, and a German page", "IEC 61851-1"
)
DECLARED_VOLTAGE: Final = Rule(
    "Declared low voltage 230 V +10 %/-6 %",
    _P,
    "Electricity Safety, Quality and Continuity Regulations 2002, reg. 27",
    SUPPLY_LAW,
    confirmed_in=("ESQCR 2002",),
)
POWER: Final = Rule("Power = current x voltage x phases", _D, "arithmetic")
DRAWN_CURRENT: Final = Rule(
    "Least of pilot, cable coding and on-board charger, on each phase", _D, "follows from the roles of the three"
)
LEAD_SETTING: Final = Rule("A lead or car that can be set lower, shown by a photo of the setting", _CP, "")

# --- 13 A plug, socket, fuse
FUSE_1362: Final = Rule(
    "BS 1362: carries 1.6 In for 30 min, blows within 30 min at 1.9 In", _P, "a page on 13 A fuses", "BS 1362"
)
FUSE_1362_TIMES: Final = Rule("BS 1362 times of a 13 A fuse", _P, "a page on fuses to BS 1362", "BS 1362")
SOCKET_CLIMATE: Final = Rule("BS 1363 service conditions", _P, "preview text of BS 1363-2:2016", "BS 1363")
TWIN_SOCKET: Final = Rule("BS 1363 twin socket test, 14 A + 6 A", _P, "two forum threads on twin sockets", "BS 1363")
PLUG_HEAT: Final = Rule(
    "BS 1363 plug test, at most 52 K rise at 14 A", _P, "an engineers' forum discussing BS 1363", "BS 1363"
)
SOCKET_FOR_HOURS: Final = Rule(
    "About 10 A for hours on an ordinary 13 A socket", _P, "two trade pages: an opinion, not a clause", "BS 1363"
)

# --- cable
TABLE_4D5: Final = _wiring("BS 7671 Table 4D5", f"{_APPRENTICE} and {_CABLES}, which agree")
TABLE_4E4: Final = _wiring("BS 7671 Table 4E4", f"{_CABLES}, one source only")
TABLE_4F3: Final = _wiring("BS 7671 Table 4F3", f"{_CABLES}; drops also a cable distributor's page")
FLEX_90C: Final = _wiring("BS 7671 Table 4F3, 90 C flex: drop x 1.09", "a cable distributor's page")
AMBIENT: Final = _wiring("BS 7671 ambient temperature factor Ca", f"{_APPRENTICE} and a page of correction factors")
GROUPING: Final = _wiring("BS 7671 grouping factor Cg, bunched or enclosed", _APPRENTICE)
INSULATION: Final = _wiring("BS 7671 Table 52.2 insulation factor Ci", _APPRENTICE)
INSULATION_OLDER: Final = Rule("BS 7671 Table 52.2, older figures of Ci", _P, "a page of derating factors", WIRING)
COORDINATION: Final = _wiring("BS 7671 433.1.1: Ib <= In <= Iz, I2 <= 1.45 Iz", "revision notes on circuit design")
CAPACITY: Final = _wiring("BS 7671 Appendix 4: Iz = It x Ca x Cg x Ci, It >= In / (Ca Cg Ci Cc)", _APPRENTICE)
REWIREABLE: Final = _wiring("BS 7671 factor 0.725 for a rewireable fuse to BS 3036", _APPRENTICE)
BREAKER_I2: Final = Rule("I2 = 1.45 In of a circuit-breaker or cartridge fuse", _M, "")
RING: Final = _wiring("BS 7671 433.1.204: ring final circuit", "an engineers' forum thread on 433.1.204")
RING_SPLIT: Final = Rule("Two legs in parallel share a load inversely to their length", _D, "arithmetic")
WEAKEST_RUN: Final = Rule("The weakest run governs", _D, "every run carries the same current")

# --- resistance and voltage drop
CONDUCTOR: Final = Rule(
    "IEC 60228 resistance at 20 C", _P, "a cable maker's page and a knowledge page on IEC 60228", "IEC 60228"
)
HOT_COPPER: Final = Rule("Copper: (234.5 + t) / 254.5", _P, "correction column of a cable maker's IEC 60228 page")
R1_R2: Final = Rule("R1+R2 of twin and earth at 20 C", _P, _APPRENTICE)
R1_R2_HOT: Final = Rule("Handbook multiplier 1.20 to 70 C", _P, _APPRENTICE)
DROP_BY_TABLE: Final = Rule("Vd = mV/A/m x I x L / 1000, added along the runs", _D, "arithmetic on the mV column")
DROP_BY_RESISTANCE: Final = Rule("Vd = 2 x R x I x L", _D, "arithmetic on IEC 60228 resistance")
DROP_LIMITS: Final = _wiring("BS 7671 Table 4Ab", f"{_APPRENTICE} and a reference page on voltage drop")
LOAD_CORRECTION: Final = Rule("BS 7671 Appendix 4 section 6.1 load correction Ct", _M, "")

# --- demand and network operator
DIVERSITY: Final = Rule(
    "On-Site Guide Appendix A diversity, dwelling", _P, "an online guide's table 6.2 and a page on GN1 table H2", "OSG"
)
DIVERSITY_EV: Final = _wiring("BS 7671 722.311: no diversity for charging", "a summary of amendment 2 and a blog")
MEASURED_DEMAND: Final = Rule("Measured maximum demand plus the new load at 100 %", _CP, "")
LOAD_MANAGEMENT: Final = _wiring("BS 7671 722.311: load curtailment may be counted", "a blog on section 722")
NETWORK: Final = Rule("Network operators' rules for low-carbon loads", _P, "application form text and FAQ", "ENA form")
NETWORK_SOCKET: Final = Rule("No form is normally sent for a Mode 2 lead in an existing socket", _M, "")
OLD_CUT_OUT: Final = Rule("An unmarked older cut-out is taken as 60 A", _P, "an installer's FAQ on fuse ratings")

# --- earth fault, earthing, readings
MAX_ZS: Final = _wiring("BS 7671 max Zs = 0.95 x 230 / (k In)", f"{_APPRENTICE} and a reference page on Zs")
MAX_ZS_BEFORE_2015: Final = Rule("BS 7671 before 2015: max Zs, no Cmin", _P, "a document site's Zs values", WIRING)
MAX_ZS_1362: Final = _wiring("BS 7671 max Zs of a 13 A fuse to BS 1362", "a reference page on Zs")
COLD_READING: Final = Rule("A cold reading is held to 80 % of max Zs", _P, "as max Zs; pages differ by 0.01")
TT_EARTH: Final = _wiring("BS 7671 RA x IDn <= 50 V", _APPRENTICE)
DISCONNECTION: Final = _wiring("BS 7671 Table 41.1", f"a reference page on disconnection times and {_APPRENTICE}")
RCD_TEST: Final = _wiring("RCD test at IDn within 300 ms", _APPRENTICE)
RCD_FIVE_TIMES: Final = _wiring("RCD test at 5 IDn within 40 ms (no longer called for)", _APPRENTICE)
RCD_RATING: Final = _wiring("BS 7671 411.3.3: 30 mA for sockets up to 32 A", "a consumer page on outside sockets")
INSULATION_TEST: Final = _wiring("Insulation resistance at 500 V d.c. >= 1 Mohm", _APPRENTICE)
TYPICAL_ZE: Final = Rule("Typical external loop impedance", _P, _APPRENTICE)
LOST_PEN: Final = _wiring("BS 7671 722.411.4.1", "trade pages and an engineers' forum on lost PEN")

# --- contact heat and extension leads
CONTACT_HEAT: Final = Rule("P = I^2 R; rise about with I^2", _D, "arithmetic")
EXTENSION_DEFAULT: Final = Rule("Do not charge through an extension lead", _P, "a safety charity's advice in the press")
EXTENSION_LENGTH: Final = Rule("No longer than 15 m, fully unwound, one length", _P, "an insurer and a safety body")
EXTENSION_TABLE: Final = Rule("Longest extension by size", _P, "two forum posts quoting Table 15.4", "IET code")
EXTENSION_MARGIN: Final = Rule("A flex rated no more than the current has no margin for hours", _CP, "")
EXTENSION_REEL: Final = Rule("A reel's unwound label holds at the highest declared voltage", _D, "arithmetic")
EXTENSION_PLUG: Final = Rule("A 13 A plug is made for flex up to 1.5 mm2", _P, "a DIY forum quoting BS 1363", "BS 1363")

RULES: Final = tuple(value for value in tuple(globals().values()) if isinstance(value, Rule))
