"""Sentences that stand wherever reimbursement shows money, worded once."""

from typing import Final

CAUTION: Final = (
    "Not tax advice: dated rates and rules are applied as their named sources give them. Whether a payment is free "
    "of tax depends on facts that this service does not know. Ask whoever runs your payroll."
)
VAT_NOTE: Final = (
    "An employer cannot recover VAT on electricity that an employee buys at home: the supply is made to the employee "
    "(Revenue and Customs Brief 7 of 2021; said to be under review since Brief 1 of 2022, and no later change was "
    "found). No VAT is worked out or shown as recoverable in a claim."
)
ROUNDING_RULE: Final = (
    "Each line is exact, and money is rounded to whole pence once: a line is what brings the rounded running total "
    "(a half upwards) of its tax year for an own car, or of its claim for a company car, up to date. So lines add up "
    "to the total with nothing lost, whatever order trips are entered in, and a line is within a penny of its exact "
    "amount."
)
EXCESS_NOTE: Final = (
    "What is paid does not exceed the approved or advisory rate of the day, so no part of it is worked out as taxable "
    "excess. An actual-cost payment can be more a mile than the advisory rate: its working is the proof of cost."
)
"""HMRC, advisory fuel rates guidance: above the rate without proof of higher cost a mile, the excess is taxable."""
