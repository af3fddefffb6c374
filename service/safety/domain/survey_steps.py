"""The steps of the home survey and the consents it asks about."""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class SurveyStep(StrEnum):
    """One page of the survey."""

    HOME = "home"
    SUPPLY = "supply"
    CIRCUIT = "circuit"
    OUTLET = "outlet"
    LEAD = "lead"
    CONSENTS = "consents"


ASKED: Final = (
    SurveyStep.HOME,
    SurveyStep.SUPPLY,
    SurveyStep.OUTLET,
    SurveyStep.CIRCUIT,
    SurveyStep.LEAD,
    SurveyStep.CONSENTS,
)
"""The steps in the order asked: the outlet first, then the way to it."""


class ConsentKind(StrEnum):
    """Who may have a say."""

    LANDLORD = "landlord"
    FREEHOLDER = "freeholder"
    INSURER = "insurer"


class ConsentAnswer(StrEnum):
    """What they said; "not known" is an answer."""

    YES = "yes"
    NO = "no"
    NOT_NEEDED = "not_needed"
    NOT_KNOWN = "not_known"
