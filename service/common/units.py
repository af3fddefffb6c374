"""Conversions and declared values, exact where the definition is exact.

Each constant has its unit in its name and its source on its own line.
"""

from __future__ import annotations

from decimal import Decimal

LITRES_PER_GALLON = Decimal("4.54609")  # imperial gallon, exact by statute: Units of Measurement Regulations 1995
KM_PER_MILE = Decimal("1.609344")  # exact: Weights and Measures Act 1985, sch. 1 (yard = 0.9144 m)
# line to neutral in Great Britain: Electricity Safety, Quality and Continuity Regulations 2002, reg. 27
DECLARED_VOLTAGE_V = 230
WH_PER_KWH = 1000
SECONDS_PER_HOUR = 3600
MINUTES_PER_HALF_HOUR = 30
HALF_HOURS_PER_HOUR = 2
PENCE_PER_POUND = 100
