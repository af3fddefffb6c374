"""The name of an upload as it is kept and given back: no way to a folder, no hidden turn, no name of a device."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

NAME_MAX: Final = 120
SUFFIXES: Final = {"application/pdf": ".pdf", "image/jpeg": ".jpg", "image/png": ".png"}
# Control characters, line and paragraph separators, half surrogates, and marks that turn or join what is read.
_UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff0-\uffff\ud800-\udfff]"
)
_NOT_IN_NAMES = re.compile(r'[<>:"|?*%;]')
_DEVICES = re.compile(r"(con|prn|aux|nul|clock\$|com[0-9¹²³]|lpt[0-9¹²³])", re.IGNORECASE)


def clean_name(name: str, media_type: str, *, otherwise: str) -> str:
    """Return a harmless file name that ends as its content asks; ``otherwise`` where nothing of it is left.

    >>> clean_name("../../etc/passwd", "application/pdf", otherwise="certificate")
    'passwd.pdf'
    >>> clean_name("NUL.pdf", "application/pdf", otherwise="certificate")
    '_NUL.pdf'
    """
    suffix = SUFFIXES[media_type]
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", _UNSAFE.sub("", name)))[-1]
    last = _NOT_IN_NAMES.sub("_", last).strip(" .")
    stem, dot, ending = last.rpartition(".")
    if not dot or not re.fullmatch(r"[A-Za-z0-9]{1,5}", ending):
        stem = last
    stem = stem.strip(" .")[: NAME_MAX - len(suffix)].rstrip(" .") or otherwise
    if _DEVICES.fullmatch(stem.split(".")[0].strip()):
        stem = f"_{stem}"[: NAME_MAX - len(suffix)]
    return stem + suffix
