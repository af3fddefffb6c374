"""The steps of the home survey and the consents it asks about."""

from __future__ import annotations

from enum import StrEnum


class SurveyStep(StrEnum):
    """One page of the survey, in the order asked."""

    HOME = "home"
    SUPPLY = "supply"
    CIRCUIT = "circuit"
    OUTLET = "outlet"
    LEAD = "lead"
    CONSENTS = "consents"


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
