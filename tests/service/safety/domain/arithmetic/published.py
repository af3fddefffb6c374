"""The pages that check values come from, in words, and how printed figures are read.

None of the pages is a standard itself; they restate it. A value printed to some decimals is met within half a
unit of its last place.
"""

from decimal import Decimal
from itertools import starmap
from typing import Any

import pytest

TEST_ADAPTER = "manual of an EV test adapter, p.11, duty-cycle table; manual of a mobile inline tester, p.12, agrees"
INLINE_TESTER = "manual of a mobile inline tester, p.12, pilot states"
CONTROL_MODULE = "manual of a charge-control module, states table"
CHARGING_CONTROLLER = "manual of a charging controller, table 5-1"
PROXIMITY_PAGE = "German page 'Proximity Plug (PP)'"
DECLARED = (
    "Electricity Supply (Amendment)(No.2) Regulations 1994, legislation.gov.uk; page on European voltage "
    "harmonisation citing ESQCR 2002"
)
ON_BOARD = "'7kW vs 22kW ... power outputs explained'; dealer page 'Guide to EV charging'"
THREE_PHASE = "derived: three phases at 230 V line to neutral, and from 400 V line to line"
TRADE_10A = "personal page 'EV mode 2 charging' and a contractor's page on overloading: an opinion, not a clause"
BS_1363_PREVIEW = "BS 1363-2:2016 preview text"
PLUG_TEST = "engineers' forum thread on Wiring Matters issue 107, discussing BS 1363"
TWIN = "forum 'is this true BS1363 current rating'; DIY forum 'Maximum Amps per Double Plug Socket'"
FUSE_BLOG = "blog '13 A Fuses Don't Blow Instantly'"
FUSE_PAGE = "page 'BS 1363 - Fuses'"
OUTSIDE_RCD = "consumer Q&A on outside sockets and RCD, 30 mA for sockets up to 32 A"

APPRENTICE = "public file of look-up tables for apprentices (BS 7671 / OSG / GN3 references)"
CABLE_FILE = "public file of UK cable tables"
PAGE_4D5 = "personal page 'Table 4D5'"
FLEX_PAGE = "'Table 4F3B' of a cable distributor"
WHOLESALER = "wholesaler catalogue 2025/26, current carrying capacity and voltage drop"
CA_PAGE = "'Appendix 1: Correction factors' (document site)"
CI_OLDER = "document site, 'Derating factors (Ci)'"
IEC_60228 = "'Copper conductors according to IEC 60228' (cable maker); 'IEC 60228 DC resistance' page"
DROP_LIMITS = "apprentices' look-up tables; 'UK Voltage Drop (BS 7671)' reference page"
DROP_3PH = "'Regulation 525: Voltage Drop Limits'"
DISCONNECTION = "'Maximum disconnection times' reference page; apprentices' look-up tables"
RCD_FORUM = "apprentices' look-up tables; forum 'RCD testing'"
MAX_ZS = "apprentices' look-up tables; 'Maximum earth fault loop impedance (Zs)' reference page"
MAX_ZS_1362 = "'Maximum earth fault loop impedance (Zs)' reference page"
OLD_ZS = "'Maximum Ze & Zs Values' (document site), before 2015"
LOST_PEN_70 = "engineers' forum 'Why 70V rms and not 50V'; fourth edition of the EV Code of Practice, notice"
LOST_PEN_WINDOW = "web page on Section 722 open-PEN methods (207/253 V, 5 s)"
LOST_PEN_TT = "trade magazine 'EV charging equipment - the new rules explained'"

DIVERSITY = "online Electricians' Guide Table 6.2; DIY wiki 'Diversity'; page on GN1 Table H2"
FUSE_SIZES = "derived: 230 V x fuse size; sizes from an installer's FAQ 'Is my electricity supply big enough'"
OLD_CUT_OUT = "installer's FAQ 'cut-out fuse rating'"
ENA_FORM = "ENA application form text for low-carbon technologies; ENA combined form notes"
ENA_FAQ = "ENA 'Frequently asked questions about connecting'"

EXTENSION_ADVICE = "press reports of a safety charity's advice on extension leads"
EXTENSION_15_M = "'Dangers of using an extension lead to charge your EV' (insurer/safety page)"
EXTENSION_TABLE = "newsgroup post on trailing leads; forum 'Extension Lead maximum length' (Table 15.4)"
EXTENSION_UNWOUND = "RoSPA NI 'Extension leads'"
REEL_LABEL = "derived: reel label seen on a photo page, 2300 W unwound, at 253 V"
PLUG_FLEX = "DIY forum 'Wrong size cable' quoting BS 1363"


def derived(rule: str) -> str:
    """Return the source of a value worked out from published ones by a rule."""
    return f"derived: {rule}"


def printed(text: str) -> dict[str, Any]:
    """Return a printed figure and how far from it an exact value may lie, as arguments of ``reference``."""
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return {"expected": value, "tolerance": Decimal(5).scaleb(exponent - 1)}


def cells(columns: str, *lines: str) -> list[Any]:
    """Read lines of a printed table as parameters (row, column, text), one a cell."""
    names = columns.split()
    found = []
    for line in lines:
        row, *texts = line.split()
        found += [(row, name, text) for name, text in zip(names, texts, strict=True)]
    return list(starmap(lambda *cell: pytest.param(*cell, id="-".join(cell[:2])), found))
