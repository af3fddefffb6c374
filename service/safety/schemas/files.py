"""JSON shapes of uploaded files."""

from __future__ import annotations

from service.infrastructure.files import MEDIA_TYPES, PURPOSES
from service.infrastructure.http.fields import Choice, Id, Instant, StrictSchema, Text, WholeNumber


class FileQuerySchema(StrictSchema):
    """What an upload is for, and what it is called."""

    purpose = Choice(PURPOSES, required=True)
    name = Text(load_default="", max_length=500, metadata={"description": "Cleaned before it is kept"})


class FileSchema(StrictSchema):
    """A kept file; its type is what its content is, and a picture was drawn anew."""

    id = Id()
    purpose = Choice(PURPOSES)
    media_type = Choice(MEDIA_TYPES)
    size_bytes = WholeNumber()
    sha256 = Text(max_length=64)
    name = Text(max_length=120)
    uploaded_at = Instant()
