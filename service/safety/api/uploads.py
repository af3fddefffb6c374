"""How an upload is read: no further than its cap, typed by its content, before any transaction begins."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from flask import g, request
from werkzeug.exceptions import RequestEntityTooLarge

from service.common.errors import Fault, Rejected
from service.infrastructure.files import CheckedContent, FilesOnDisk, check_content
from service.infrastructure.http.bodies import takes_upload
from service.infrastructure.http.transactions import services

View = TypeVar("View", bound=Callable[..., Any])
UPLOAD_BODY = {
    "required": True,
    "description": "The file itself. What it is, its content says (PDF, JPEG or PNG); the stated type is not looked "
    "at. A picture is drawn anew, without the place and time that a camera writes into it.",
    "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
}


def reads_upload(view: View) -> View:
    """Read and check the file in the body first; ``uploaded`` gives it to the view.

    Goes outside ``idempotent``: drawing a picture takes a while, and nobody should wait for a lock meanwhile.
    """

    @wraps(view)
    def wrapper(*args: Any, **kwargs: Any) -> Any:
        g.upload = _checked()
        return view(*args, **kwargs)

    return takes_upload(wrapper)  # type: ignore[return-value]


def uploaded() -> CheckedContent:
    """Return the file of this request as it will be kept."""
    upload: CheckedContent = g.upload
    return upload


def disk() -> FilesOnDisk:
    """Return the folder of uploads."""
    return FilesOnDisk(services().settings.files_dir)


def _checked() -> CheckedContent:
    cap = services().settings.max_upload_bytes
    if (request.content_length or 0) > cap:
        raise RequestEntityTooLarge(f"A file may have at most {cap} bytes.")
    content = request.get_data(cache=True)  # bounded by its stated length, which was compared with the cap
    if not content:
        raise Rejected(Fault("", "0 bytes", "must be a file: the body is empty"))
    return check_content(content)
