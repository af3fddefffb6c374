"""The demo's certificates: one page each, so that an inspection of the demo has a document to compare it with."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime, time

from fpdf import FPDF

from service.cli.seed.files import stable_id
from service.infrastructure.files import FilesOnDisk, StoredFile
from service.safety.domain.inspection_details import InspectionDetails


@dataclass(frozen=True)
class Certificate:
    """A document with its row."""

    row: StoredFile
    content: bytes

    def keep(self, files: FilesOnDisk, scheme_id: str) -> None:
        """Write what the row points to."""
        files.put(scheme_id, self.row.sha256, self.content)


def certificate(household_id: str, reference: str, details: InspectionDetails) -> Certificate:
    """Return the page that goes with an invented inspection; the same inspection gives the same bytes."""
    made_at = datetime.combine(details.inspected_on, time(), tzinfo=UTC)
    pdf = FPDF(format="A4")
    pdf.set_creation_date(made_at)
    pdf.add_page()
    pdf.set_font("helvetica", "B", 16)
    pdf.cell(text="Condition report (invented, for a demo)", new_x="LMARGIN", new_y="NEXT")
    pdf.set_font("helvetica", "", 11)
    for line in (
        f"Certificate {details.certificate_number}",
        f"Home {reference}",
        f"Inspected and tested on {details.inspected_on} by {details.electrician}",
        f"Next inspection due by {details.next_due_on}",
        *(f"{finding.code}: {finding.note}" for finding in details.observations),
        "Nobody made this inspection: it stands in for a certificate and is no evidence of anything.",
    ):
        pdf.ln(3)
        pdf.multi_cell(0, text=line, new_x="LMARGIN", new_y="NEXT")
    content = bytes(pdf.output())
    row = StoredFile(
        id=stable_id("certificate", household_id, details.certificate_number),
        household_id=household_id,
        purpose="certificate",
        sha256=hashlib.sha256(content).hexdigest(),
        media_type="application/pdf",
        size_bytes=len(content),
        name=f"{details.certificate_number}.pdf",
        uploaded_at=made_at,
    )
    return Certificate(row, content)
