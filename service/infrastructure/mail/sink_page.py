"""Shows what the demo's mail sink has received: a list, newest first, and each message as a person would see it.

The HTML part is a document of its own in a sandboxed frame with a policy that allows nothing but its own inline
style, so a message can do no more here than in a mail program.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import default
from pathlib import Path

from flask import Blueprint, Response, abort, render_template

from service.infrastructure.http.access import requires

LONGEST_LIST = 500
FRAME_POLICY = (
    "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'self'"
)
PAGE_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
_NAME = re.compile(r"[0-9]{8}T[0-9]{12}-[0-9a-f]{12}\.eml")


@dataclass(frozen=True)
class ReceivedLetter:
    """One message in the sink, read for showing."""

    name: str
    recipient: str
    sender: str
    subject: str
    date: str
    message_id: str
    text: str
    html: str


def demo_mail_blueprint(folder: Path) -> Blueprint:
    """Build the pages /demo/mail and /demo/mail/<name>; only for the demo, where all mail is invented."""
    pages = Blueprint("demo_mail", __name__, url_prefix="/demo/mail", template_folder="templates")

    @pages.get("")
    @requires(public=True)
    def letters() -> Response:
        names = received_names(folder)
        shown = [read_letter(folder, name) for name in names[:LONGEST_LIST]]
        return _page(render_template("demo_mail/list.html", title="Mail of the demo", letters=shown, count=len(names)))

    @pages.get("/<name>")
    @requires(public=True)
    def letter(name: str) -> Response:
        found = _letter_or_404(folder, name)
        return _page(render_template("demo_mail/letter.html", title=found.subject or "(no subject)", letter=found))

    @pages.get("/<name>/html")
    @requires(public=True)
    def html_part(name: str) -> Response:
        response = Response(_letter_or_404(folder, name).html, mimetype="text/html")
        response.headers["Content-Security-Policy"] = FRAME_POLICY
        return response

    return pages


def received_names(folder: Path) -> list[str]:
    """Return the names of the messages received, newest first."""
    if not folder.is_dir():
        return []
    return sorted((file.name for file in folder.iterdir() if _NAME.fullmatch(file.name)), reverse=True)


def read_letter(folder: Path, name: str) -> ReceivedLetter:
    """Read one message; parts that are missing are empty."""
    message = message_from_bytes((folder / name).read_bytes(), policy=default)
    return ReceivedLetter(
        name=name,
        recipient=str(message["To"] or ""),
        sender=str(message["From"] or ""),
        subject=str(message["Subject"] or ""),
        date=str(message["Date"] or ""),
        message_id=str(message["Message-ID"] or ""),
        text=_part(message, "plain"),
        html=_part(message, "html"),
    )


def _part(message: EmailMessage, kind: str) -> str:
    part = message.get_body(preferencelist=(kind,))
    return str(part.get_content()).replace("\r\n", "\n") if part is not None else ""


def _letter_or_404(folder: Path, name: str) -> ReceivedLetter:
    if not _NAME.fullmatch(name) or not (folder / name).is_file():
        abort(404, "No such message.")
    return read_letter(folder, name)


def _page(html: str) -> Response:
    response = Response(html, mimetype="text/html")
    response.headers["Content-Security-Policy"] = PAGE_POLICY
    response.headers["Cache-Control"] = "no-store"
    return response
