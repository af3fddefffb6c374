"""The parts of a safety file about the home itself: survey, supply, circuits, outlets, leads, consents, files."""

from __future__ import annotations

from typing import Any

from service.infrastructure.files import StoredFile
from service.reporting.domain.safety_file import Part, readable, table, words
from service.reporting.operations.file_context import FileContext
from service.safety.models import Consent, SurveyAnswers

AS_NOW = "Details as they are recorded now: they keep no history of their values."


def home_part(file: FileContext) -> Part:
    """Return where the home is and whose it is, and what was edited since the instant."""
    home = file.home.household
    facts = (
        ("Reference", home.reference),
        ("Member", home.member_name),
        ("Address", f"{home.address}, {home.postcode}"),
        ("Nation", readable(home.nation).title()),
        ("Tenure", readable(home.tenure)),
        ("Added to the scheme", file.when(home.created_at)),
    )
    notes = [AS_NOW]
    if home.created_at > file.at:
        notes.append("The home was added to the scheme after this instant.")
    edits = table(
        "Edited after the instant of this file",
        ("Item", "Fields", "When", "By"),
        [
            (file.label(item), ", ".join(map(readable, fields)) or "not recorded which", file.when(at), file.who(by))
            for item, fields, at, by in file.later_edits
            if item not in file.added_later
        ],
        empty="None: the details are those of the instant.",
    )
    return Part("home", "The home", tuple(notes), facts, (edits,))


def survey_part(file: FileContext) -> Part:
    """Return each step of the home survey as it was last saved by the instant, and how often it was saved before."""
    steps: dict[tuple[str, str | None], list[SurveyAnswers]] = {}
    for row in file.rows(SurveyAnswers, SurveyAnswers.saved_at):
        steps.setdefault((row.step, row.item_id), []).append(row)
    rows = []
    for (step, item_id), saved in steps.items():
        newest = saved[-1]
        answers = newest.answers or {}
        place = readable(step) + (f": {file.label(item_id)}" if item_id else "")
        for name, value in sorted(answers.items()) or [("", "no answer")]:
            rows.append((place, readable(name) if name else "", words(value), file.when(newest.saved_at),
                         file.who(newest.saved_by), len(saved) - 1))
    survey = table(
        "Answers of the home survey", ("Step", "Question", "Answer", "Saved", "By", "Earlier answers kept"), rows,
        empty="No step of the survey had been saved.",
    )
    consents = table(
        "Consents, as the member stated them", ("Whose", "Answer", "Given on", "Document", "Recorded", "By"),
        [
            (readable(row.kind), readable(row.answer), row.given_on, _file_name(file, row.file_id),
             file.when(row.recorded_at), file.who(row.recorded_by))
            for row in file.rows(Consent, Consent.recorded_at)
        ],
        empty="No consent is recorded.",
    )
    return Part("survey", "Home survey and consents", (), (), (survey, consents))


def equipment_part(file: FileContext) -> Part:
    """Return supply, circuits with their runs, outlets and leads as recorded."""
    supply = file.home.supply
    facts: tuple[tuple[str, str], ...] = (("Supply", "not known"),)
    if supply is not None:
        facts = (
            ("Main fuse", f"{supply.fuse_a} A" if supply.fuse_a else "not known"),
            ("Phases", words(supply.phases)),
            ("Earthing", readable(supply.earthing)),
            ("Looped supply", readable(supply.looped)),
            ("Other large loads", supply.other_loads or "none named"),
        )
    circuits = file.known(file.home.circuits)
    runs = [
        (circuit.label, position, readable(run.kind), _device(run), _rcd(run), _cable(run), run.length_m)
        for circuit in circuits
        for position, run in enumerate(circuit.runs, start=1)
    ]
    outlets = [
        (outlet.label, readable(outlet.kind), readable(outlet.place), readable(outlet.car_place),
         file.label(outlet.circuit_id) or "not known", f"{outlet.limit_a} A", readable(outlet.ev_mark),
         _identity(outlet))
        for outlet in file.known(file.home.outlets)
    ]
    leads = [
        (lead.label, readable(lead.kind), f"{lead.rated_a} A", f"{lead.set_a} A",
         f"{lead.setting_shown_a} A" if lead.setting_shown_a and file.by_then(lead.setting_shown_at) else "no photo",
         readable(lead.has_plug_sensor), words(lead.length_m) + (" m" if lead.length_m else ""), _identity(lead))
        for lead in file.known(file.home.leads)
    ]
    heads = ("Circuit", "Run", "Kind", "Device", "RCD", "Cable", "Length [m]")
    return Part(
        "equipment", "Supply, circuits, outlets and leads", (AS_NOW,), facts,
        (
            table("Circuits, run by run from the origin", heads, runs, empty="No circuit is recorded."),
            table("Outlets", ("Outlet", "Kind", "Place", "Car stands", "Circuit", "Limit", "EV mark", "Identity"),
                  outlets, empty="No outlet is recorded."),
            table("Leads", ("Lead", "Kind", "Rated", "Set to", "Setting in a photo", "Plug sensor", "Length",
                            "Identity"), leads, empty="No lead is recorded."),
        ),
    )


def files_part(file: FileContext) -> Part:
    """Return the uploaded photos and documents by what they hold."""
    rows = [
        (readable(row.purpose), row.name or "no name", row.media_type, row.size_bytes, row.sha256,
         file.when(row.uploaded_at), "an electrician's link" if row.link_id else file.who(row.uploaded_by))
        for row in file.rows(StoredFile, StoredFile.uploaded_at)
    ]
    heads = ("Purpose", "Name", "Type", "Bytes", "SHA-256", "Uploaded", "By")
    return Part("files", "Photos and documents", (), (), (
        table("Uploads", heads, rows, empty="Nothing had been uploaded."),
    ))


def _file_name(file: FileContext, file_id: str | None) -> str:
    stored = file.session.get(StoredFile, (file.session.scheme_id, file_id)) if file_id else None
    return f"{stored.name or readable(stored.purpose)} ({stored.sha256[:12]})" if stored else "no document"


def _device(run: Any) -> str:
    rated = f"{readable(run.device_kind)} {run.device_a} A" if run.device_a else readable(run.device_kind)
    return f"{run.device} ({rated})" if run.device else rated


def _rcd(run: Any) -> str:
    return readable(run.rcd_type) + (f", {run.rcd_ma} mA" if run.rcd_ma else "")


def _cable(run: Any) -> str:
    size = f", {words(run.cable_mm2)} mm²" if run.cable_mm2 else ""
    method = f", method {run.installed}" if run.installed else ""
    return (f"{run.cable}: " if run.cable else "") + readable(run.cable_kind) + size + method


def _identity(item: Any) -> str:
    since = f", since {words(item.since_on)}" if item.since_on else ""
    return (", ".join(part for part in (item.maker_model, item.serial_or_batch) if part) or "not known") + since
