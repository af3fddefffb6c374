"""From answers to what is recorded: what the member knows replaces it, what nobody knows leaves it.

Taking an answer back is an answer too: where the record still says what the survey itself had said before, "not
known" takes that out again; what somebody else recorded stays.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any

from service.common.errors import Fault, Rejected
from service.households.domain.equipment import SOCKET_SUSTAINED_LIMIT_A, LargeLoadKind, OutletKind
from service.households.domain.equipment_details import (
    CURRENT_MIN_A,
    CircuitDetails,
    LeadDetails,
    OutletDetails,
    RunDetails,
)
from service.households.domain.home_details import LargeLoad, SupplyDetails
from service.households.domain.ranges import refuse
from service.safety.domain.survey_answers import (
    LEAD_FIELDS,
    NOT_KNOWN,
    OUTLET_FIELDS,
    CircuitAnswers,
    LeadAnswer,
    LeadAnswers,
    OutletAnswers,
    SupplyAnswers,
    is_known,
)

UNRATED_POINT_A = CURRENT_MIN_A
"""What is recorded of a charging point until its rating is known [A]: the least that a pilot signal can ask for."""
_KIND_WORDS = {OutletKind.SOCKET_13A.value: "13 A socket", OutletKind.CHARGING_POINT.value: "Charging point"}
_LEAD_WORDS = {LeadAnswer.MODE_2.value: "Portable lead", LeadAnswer.MODE_3_CABLE.value: "Charging cable"}
_RUN_FIELDS = tuple(field.name for field in fields(RunDetails) if field.name != "kind")


def supply_record(recorded: SupplyDetails, said: SupplyAnswers, before: SupplyAnswers | None) -> SupplyDetails:
    """Return the supply as it is recorded after the answers."""
    changes = {
        name: _merged(getattr(recorded, name), getattr(said, name), getattr(before, name, None))
        for name in ("fuse_a", "earthing", "looped")
    }
    loads: list[LargeLoad] = []
    for kind in LargeLoadKind:
        was, now, then = (_of_kind(kind, of.loads) if of else () for of in (recorded, said, before))
        loads.extend(now if _is_known_load(now) or (was == then and then) else was or now)
    return replace(recorded, **changes, phases=said.phases or recorded.phases, loads=tuple(loads))


def outlet_changes(
    recorded: OutletDetails, said: OutletAnswers, before: OutletAnswers | None
) -> dict[str, Any]:
    """Return what changes of a recorded outlet.

    Raises
    ------
    Rejected
        For another kind, which is another outlet, and for a first day of use before the one recorded: with it an
        old inspection could count for a newer outlet.
    """
    if is_known(said.kind) and said.kind != recorded.kind:
        rule = "another kind of outlet is another outlet: ask your scheme's administrator to record it"
        raise Rejected(Fault("kind", said.kind, rule))
    if recorded.since_on and said.since_on and said.since_on < recorded.since_on:
        rule = f"must not lie before the day that is recorded, {recorded.since_on.isoformat()}"
        raise Rejected(Fault("since_on", said.since_on.isoformat(), f"{rule}: ask your scheme's administrator"))
    merged = _merged_fields(OUTLET_FIELDS, recorded, said, before)
    if is_known(recorded.since_on) and not is_known(said.since_on):
        merged["since_on"] = recorded.since_on
    if said.label:
        merged["label"] = said.label
    if said.rated_a and recorded.kind == OutletKind.CHARGING_POINT:
        # never more than is recorded, unless that was only the stand-in for a rating that nobody knew
        is_stand_in = recorded.limit_a == UNRATED_POINT_A or (before is not None and before.rated_a == recorded.limit_a)
        merged["limit_a"] = said.rated_a if is_stand_in else min(said.rated_a, recorded.limit_a)
    return merged


def new_outlet(said: OutletAnswers) -> OutletDetails | None:
    """Return the outlet to record, or None where its kind is not known."""
    if not is_known(said.kind):
        return None
    is_socket = said.kind == OutletKind.SOCKET_13A
    return OutletDetails(
        label=said.label or _KIND_WORDS[str(said.kind)],
        kind=said.kind,
        limit_a=SOCKET_SUSTAINED_LIMIT_A if is_socket else said.rated_a or UNRATED_POINT_A,
        **{name: getattr(said, name) for name in OUTLET_FIELDS},
    )


def circuit_record(
    recorded: CircuitDetails | None, said: CircuitAnswers, before: CircuitAnswers | None, outlet_label: str
) -> CircuitDetails | None:
    """Return the circuit as it is recorded after the answers; None where nothing is known of it."""
    if not said.runs:
        return recorded
    if recorded is None:
        return CircuitDetails(said.label or f"Circuit of {outlet_label}"[:80], said.runs)
    earlier = before.runs if before else ()
    runs = tuple(
        _merged_run(_at(recorded.runs, place), run, _at(earlier, place)) for place, run in enumerate(said.runs)
    )
    return CircuitDetails(said.label or recorded.label, runs)


def lead_changes(recorded: LeadDetails, said: LeadAnswers, before: LeadAnswers | None) -> dict[str, Any]:
    """Return what changes of a recorded lead.

    Raises
    ------
    Rejected
        For another kind, which is another lead, and for more current than is recorded: words alone never let more
        flow. What it is set to rises by a photo of the setting; what it is rated for, an administrator records.
    """
    if said.kind not in (NOT_KNOWN, recorded.kind):
        rule = "another kind of lead is another lead: ask your scheme's administrator to record it"
        raise Rejected(Fault("kind", said.kind, rule))
    refuse(_raised_faults(recorded, said))
    merged = _merged_fields(LEAD_FIELDS, recorded, said, before)
    merged["rated_a"] = said.rated_a or recorded.rated_a
    merged["set_a"] = said.set_a or min(recorded.set_a, merged["rated_a"])
    if said.label:
        merged["label"] = said.label
    return merged


def _raised_faults(recorded: LeadDetails, said: LeadAnswers) -> Iterable[Fault]:
    for name, ask in (
        ("rated_a", "ask your scheme's administrator to record what it is rated for"),
        ("set_a", "show what it is set to in a photo of the setting"),
    ):
        was, now = getattr(recorded, name), getattr(said, name)
        if now is not None and now > was:
            yield Fault(name, now, f"must not be above the {was} A that are recorded: {ask}")


def new_lead(said: LeadAnswers) -> LeadDetails | None:
    """Return the lead to record, or None where there is none or its kind or rating is not known.

    A setting that is not known is recorded as the rating: no plan may reckon with less than the lead may let flow.
    """
    if said.kind not in _LEAD_WORDS or said.rated_a is None:
        return None
    return LeadDetails(
        label=said.label or _LEAD_WORDS[str(said.kind)],
        kind=said.kind,
        rated_a=said.rated_a,
        set_a=said.set_a or said.rated_a,
        **{name: getattr(said, name) for name in LEAD_FIELDS},
    )


def answers_of_outlet(recorded: OutletDetails) -> OutletAnswers:
    """Return what is recorded of an outlet, as answers."""
    is_rated = recorded.kind == OutletKind.CHARGING_POINT and recorded.limit_a != UNRATED_POINT_A
    return OutletAnswers(
        kind=recorded.kind,
        label=recorded.label,
        rated_a=recorded.limit_a if is_rated else None,
        **{name: getattr(recorded, name) for name in OUTLET_FIELDS},
    )


def answers_of_lead(recorded: LeadDetails) -> LeadAnswers:
    """Return what is recorded of a lead, as answers."""
    return LeadAnswers(
        kind=recorded.kind,
        label=recorded.label,
        rated_a=recorded.rated_a,
        set_a=recorded.set_a,
        **{name: getattr(recorded, name) for name in LEAD_FIELDS},
    )


def is_load_known(loads: Iterable[LargeLoad], kind: LargeLoadKind) -> bool:
    """Tell whether it is recorded what a kind of load takes, nothing at all included."""
    return _is_known_load(_of_kind(kind, loads))


def _merged(recorded: Any, said: Any, before: Any) -> Any:
    if is_known(said):
        return said
    return said if is_known(before) and before == recorded else recorded


def _merged_fields(names: Iterable[str], recorded: object, said: object, before: object | None) -> dict[str, Any]:
    return {
        name: _merged(getattr(recorded, name), getattr(said, name), getattr(before, name, None)) for name in names
    }


def _merged_run(recorded: RunDetails | None, said: RunDetails, before: RunDetails | None) -> RunDetails:
    """Keep what is recorded of a run where the member names the same kind of run at its place."""
    if recorded is None or recorded.kind != said.kind:
        return said
    changes = _merged_fields(_RUN_FIELDS, recorded, said, before)
    if changes["rcd_type"] == "none":
        changes["rcd_ma"] = None
    return replace(recorded, **changes)


def _at(runs: tuple[RunDetails, ...], place: int) -> RunDetails | None:
    return runs[place] if place < len(runs) else None


def _of_kind(kind: LargeLoadKind, loads: Iterable[LargeLoad]) -> tuple[LargeLoad, ...]:
    return tuple(load for load in loads if load.kind == kind)


def _is_known_load(loads: tuple[LargeLoad, ...]) -> bool:
    return bool(loads) and all(load.power_w is not None for load in loads)
