"""What the member could not say becomes a question for the electrician, with the answer it would fill.

Asked is what the survey left "not known" and nobody has recorded since. No question asks to open anything by
anybody but the electrician.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from service.households.domain.equipment import CircuitRunKind, LargeLoadKind, OutletKind, Place
from service.households.domain.equipment_details import CircuitDetails, LeadDetails, OutletDetails, RunDetails
from service.households.domain.home_details import SupplyDetails
from service.safety.domain.survey_answers import LeadAnswer, LeadAnswers, OutletAnswers, SupplyAnswers, is_known
from service.safety.domain.survey_record import UNRATED_POINT_A, is_load_known

LOAD_WORDS = {
    LargeLoadKind.LIGHTING: "the lighting circuits",
    LargeLoadKind.SOCKETS: "the socket circuits",
    LargeLoadKind.COOKER: "the electric cooker, hob or oven",
    LargeLoadKind.SHOWER: "the electric shower",
    LargeLoadKind.IMMERSION: "the immersion heater",
    LargeLoadKind.STORAGE_HEATING: "storage or floor heating",
    LargeLoadKind.ROOM_HEATING: "electric room heating",
    LargeLoadKind.HEAT_PUMP: "the heat pump",
    LargeLoadKind.OTHER: "other large loads",
}
RUN_WORDS = {
    CircuitRunKind.SUB_MAIN: "sub-main",
    CircuitRunKind.BOARD: "board",
    CircuitRunKind.RING: "ring",
    CircuitRunKind.RADIAL: "radial",
    CircuitRunKind.SPUR: "spur",
    CircuitRunKind.FUSED_SPUR: "fused unit",
}


@dataclass(frozen=True)
class ElectricianQuestion:
    """A question and the answer that it would fill."""

    question: str
    fills: str

    @property
    def text(self) -> str:
        """Return both in words."""
        return f"{self.question} Fills: {self.fills}."


def supply_questions(recorded: SupplyDetails, said: SupplyAnswers) -> Iterator[ElectricianQuestion]:
    """Yield what is not known of the supply; the phases are asked for as long as the member did not know them."""
    if not is_known(recorded.fuse_a):
        yield ElectricianQuestion("Which rating has the fuse in the service cut-out?", "service fuse of the supply")
    if said.phases is None:
        yield ElectricianQuestion("Has the supply one phase or three?", "phases of the supply")
    if not is_known(recorded.earthing):
        yield ElectricianQuestion("How is the supply earthed: TN-S, TN-C-S or TT?", "earthing of the supply")
    if not is_known(recorded.looped):
        yield ElectricianQuestion("Is the supply looped to or from another home?", "looped supply")
    unknown = [words for kind, words in LOAD_WORDS.items() if not is_load_known(recorded.loads, kind)]
    if unknown:
        yield ElectricianQuestion(f"What do these take: {', '.join(unknown)}?", "large loads of the supply")


def outlet_questions(recorded: OutletDetails) -> Iterator[ElectricianQuestion]:
    """Yield what is not known of an outlet."""
    at = f"{recorded.label}:"
    is_socket = recorded.kind == OutletKind.SOCKET_13A
    if is_socket and not is_known(recorded.ev_mark):
        yield ElectricianQuestion(f"{at} is the socket marked EV on its rear?", "EV mark of the outlet")
    if not is_socket and recorded.limit_a == UNRATED_POINT_A:
        yield ElectricianQuestion(f"{at} what current may it give for hours?", "limit of the outlet")
    if not is_socket and recorded.is_tethered is None:
        yield ElectricianQuestion(f"{at} has it a cable of its own?", "own cable of the outlet")
    for field, words, fills in (
        ("place", "is the outlet indoors or outdoors?", "place of the outlet"),
        ("car_place", "does the car stand indoors or outdoors while it charges?", "place of the car"),
        ("in_sun", "does the sun or another source of heat reach the outlet?", "sun on the outlet"),
        ("maker_model", "which make and model is it?", "identity of the outlet"),
    ):
        if not is_known(getattr(recorded, field)):
            yield ElectricianQuestion(f"{at} {words}", fills)
    if not recorded.ip_code and recorded.place != Place.INDOORS:
        yield ElectricianQuestion(f"{at} which IP code has it?", "IP code of the outlet")


def unknown_outlet_questions(said: OutletAnswers) -> Iterator[ElectricianQuestion]:
    """Yield the question about an outlet of which not even the kind is known."""
    if not is_known(said.kind):
        yield ElectricianQuestion("Where is the car plugged in: a 13 A socket or a charging point?", "the outlet")


def circuit_questions(recorded: CircuitDetails | None, outlet_label: str) -> Iterator[ElectricianQuestion]:
    """Yield what is not known of the way to an outlet, run by run."""
    if recorded is None:
        question = f"{outlet_label}: how does its circuit run from the origin: boards, ring or radial, spurs?"
        yield ElectricianQuestion(question, "runs of the circuit")
        return
    for place, run in enumerate(recorded.runs, start=1):
        missing = list(_missing_of(run))
        if missing:
            name = f"{recorded.label}, run {place} ({RUN_WORDS[CircuitRunKind(run.kind)]})"
            yield ElectricianQuestion(f"{name}: {', '.join(missing)}?", f"run {place} of the circuit")


def lead_questions(recorded: LeadDetails) -> Iterator[ElectricianQuestion]:
    """Yield what is not known of a recorded lead."""
    at = f"{recorded.label}:"
    if not is_known(recorded.has_plug_sensor) and recorded.kind == LeadAnswer.MODE_2:
        yield ElectricianQuestion(f"{at} does its plug sense its own temperature?", "temperature sensing of the plug")
    if not is_known(recorded.maker_model):
        yield ElectricianQuestion(f"{at} which make and model is it?", "identity of the lead")


def unknown_lead_questions(said: LeadAnswers) -> Iterator[ElectricianQuestion]:
    """Yield the question about a lead that could not be recorded."""
    if said.kind != LeadAnswer.NONE and (not is_known(said.kind) or said.rated_a is None):
        yield ElectricianQuestion("Which lead is used, what is it rated for and what is it set to?", "the lead")


def _missing_of(run: RunDetails) -> Iterator[str]:
    if run.kind in (CircuitRunKind.BOARD, CircuitRunKind.SUB_MAIN, CircuitRunKind.FUSED_SPUR) and not (
        is_known(run.device_kind) and run.device_a
    ):
        yield "which device protects it"
    if run.kind == CircuitRunKind.BOARD:
        if not is_known(run.rcd_type):
            yield "which type of RCD"
        return
    if not (is_known(run.cable_kind) and run.cable_mm2):
        yield "which cable and size"
    if not run.installed:
        yield "how is it installed"
    if run.length_m is None:
        yield "how long is it"
    if None in (run.ambient_c, run.grouped_circuits, run.insulation_mm):
        yield "what surrounds it (ambient, other circuits, insulation)"


def extension_question(
    label: str, mark: str, size_mm2: Decimal | None, length_m: Decimal | None, outlet_label: str
) -> ElectricianQuestion:
    """Return what is asked about an extension lead in use: only he can allow one, and only this very one."""
    size = "size not known" if size_mm2 is None else f"{size_mm2.normalize():f} mm2"
    length = "length not known" if length_m is None else f"{length_m.normalize():f} m"
    named = f"“{label}” ({f'marked {mark}' if mark else 'without a mark'}, {size}, {length})"
    return ElectricianQuestion(
        f"The extension lead {named} is used at {outlet_label}. Is it to be taken out of use, or may this very one "
        "stay, at what current and why?",
        "the one extension lead that the inspection names, with limit and reason",
    )
