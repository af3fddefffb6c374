"""What an upload is, by its content; a photo is drawn anew, so that nothing but its picture is kept.

A camera writes where and when a photo was taken, and whose phone it was.  Decoding and writing it again leaves all of
that behind, and whatever else may hide in it.  A PDF is kept as it came: it is never shown, only handed out.
"""

from __future__ import annotations

import hashlib
import warnings
from dataclasses import dataclass
from io import BytesIO
from typing import Final

from PIL import Image, ImageOps

from service.common.errors import Fault, Rejected

PDF: Final = "application/pdf"
JPEG: Final = "image/jpeg"
PNG: Final = "image/png"
PIXELS_MAX: Final = 50_000_000  # own bound, above the cameras of telephones: it bounds what decoding may take
SCANS_MAX: Final = 64
"""Own bound, above what progressive JPEGs have (about ten): each scan of a few bytes draws the whole picture again."""

EDGE_MAX: Final = 3_000  # own bound [pixels]: a photo of a certificate stays readable
JPEG_QUALITY: Final = 85
TRAILER_BYTES: Final = 1_024  # where a PDF's end mark stands: ISO 32000-1 Annex H, note 18
_SIGNATURES: Final = {b"%PDF-": PDF, b"\xff\xd8\xff": JPEG, b"\x89PNG\r\n\x1a\n": PNG}
_FORMATS: Final = {JPEG: "JPEG", PNG: "PNG"}
_PNG_MODES: Final = ("L", "RGB", "RGBA")


@dataclass(frozen=True)
class CheckedContent:
    """An upload as it will be kept."""

    media_type: str
    content: bytes

    @property
    def sha256(self) -> str:
        """The hash that it is kept under."""
        return hashlib.sha256(self.content).hexdigest()


def check_content(content: bytes, *, field: str = "") -> CheckedContent:
    """Return what an upload is and what is kept of it.

    Raises
    ------
    Rejected
        If it is no PDF, JPEG or PNG, does not read as one, or holds more pixels than are drawn.
    """
    kind = next((kind for signature, kind in _SIGNATURES.items() if content.startswith(signature)), None)
    if kind is None:
        raise Rejected(Fault(field, _told(content), "must be a PDF, a JPEG or a PNG; its content is none of them"))
    if kind == PDF:
        _check_pdf(content, field)
        return CheckedContent(PDF, content)
    return CheckedContent(kind, _drawn_anew(content, kind, field))


def _check_pdf(content: bytes, field: str) -> None:
    """Refuse a PDF that was cut off on its way: its end mark and its table of contents are missing."""
    end = content[-TRAILER_BYTES:]
    if b"%%EOF" not in end or b"startxref" not in end:
        raise Rejected(Fault(field, _told(content), "must be a whole PDF; the end of this one is missing"))


def _check_scans(content: bytes, field: str) -> None:
    """Refuse a JPEG of very many scans; within a scan the mark of another cannot stand (ISO/IEC 10918-1, B.1.1.5)."""
    scans = content.count(b"\xff\xda")
    if scans > SCANS_MAX:
        raise Rejected(Fault(field, f"{scans} scans", f"must be a JPEG of at most {SCANS_MAX} scans"))


def _drawn_anew(content: bytes, kind: str, field: str) -> bytes:
    if kind == JPEG:
        _check_scans(content, field)
    try:
        with warnings.catch_warnings():
            # Pillow warns where a picture holds very many pixels; the bound below is the rule.
            warnings.simplefilter("ignore")
            with Image.open(BytesIO(content), formats=(_FORMATS[kind],)) as picture:
                _check_size(picture, field)
                if kind == JPEG:
                    picture.draft(None, (EDGE_MAX, EDGE_MAX))
                return _written(_upright(picture), kind)
    except Rejected:
        raise
    except Image.DecompressionBombError as error:
        raise Rejected(Fault(field, _told(content), f"must hold at most {PIXELS_MAX} pixels")) from error
    except Exception as error:
        # A broken or hostile picture fails in the decoder in many ways, and all of them mean the same to the sender.
        raise Rejected(Fault(field, _told(content), "must be a whole picture; this one cannot be read")) from error


def _check_size(picture: Image.Image, field: str) -> None:
    width, height = picture.size
    if width * height > PIXELS_MAX:
        raise Rejected(Fault(field, f"{width} x {height} pixels", f"must hold at most {PIXELS_MAX} pixels"))


def _upright(picture: Image.Image) -> Image.Image:
    """Return the picture turned as the camera was held, in a mode that can be written, and no larger than is kept."""
    kind = picture.format
    picture.load()
    # In place: a copy of the largest picture that is taken would fill hundreds of megabytes.
    ImageOps.exif_transpose(picture, in_place=True)
    turned: Image.Image = picture
    if kind == "JPEG":
        turned = turned if turned.mode in ("L", "RGB") else turned.convert("RGB")
    elif turned.mode not in _PNG_MODES:
        turned = turned.convert("RGBA" if "transparency" in turned.info or turned.mode in ("LA", "PA") else "RGB")
    turned.thumbnail((EDGE_MAX, EDGE_MAX))
    return turned


def _written(picture: Image.Image, kind: str) -> bytes:
    # A new picture of the same points: what the old one carried beside them (place, profile, comments) stays behind.
    plain = Image.new(picture.mode, picture.size)
    plain.paste(picture)
    out = BytesIO()
    if kind == JPEG:
        plain.save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
    else:
        plain.save(out, "PNG")
    return out.getvalue()


def _told(content: bytes) -> str:
    return f"{len(content)} bytes"
