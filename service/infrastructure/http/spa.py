"""Serves the single-page app: the page itself for addresses that people open, and its files.

Only the ``app``, ``styles`` and ``vendor`` folders and the icon are served.  Files are kept in memory with their
compressed form; the page is read once at the start, so that it always matches the import map's hash in the policy.
"""

from __future__ import annotations

import gzip
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from flask import Blueprint, Response, g, request
from werkzeug.exceptions import NotFound

from service.infrastructure.http.conventions import SESSION_COOKIE

FOLDERS = ("app", "styles", "vendor")
ICONS = ("favicon.svg", "favicon.ico")
# What other rooms answer: an address below these is never the page.
NOT_PAGES = ("/api/", "/demo/", "/problems/", *(f"/{folder}/" for folder in FOLDERS))
MEDIA_TYPES = {
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".css": "text/css",
    ".html": "text/html",
    ".svg": "image/svg+xml",
    ".ico": "image/x-icon",
    ".png": "image/png",
    ".json": "application/json",
    ".txt": "text/plain",
    ".woff2": "font/woff2",
}
COMPRESSED_ALREADY = frozenset({".png", ".ico", ".woff2"})
# The page says when a session cookie came along, so that it asks who is signed in only if somebody may be.
UNMARKED, MARKED = b'<html lang="en-GB">', b'<html lang="en-GB" data-session="maybe">'
_DOC_COMMENT = re.compile(rb"^[ \t]*/\*\*.*?\*/[ \t]*$", re.DOTALL | re.MULTILINE)
ONE_YEAR = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"
_SEGMENT = re.compile(r"[A-Za-z0-9_@-][A-Za-z0-9._@-]*")


@dataclass(frozen=True)
class KeptFile:
    """A file in memory, with what its answer needs."""

    content: bytes
    compressed: bytes | None
    media_type: str
    digest: str
    stamp: tuple[int, int]


class Frontend:
    """The front end's folder; ``index_html`` is None where there is none."""

    def __init__(self, folder: Path) -> None:
        self._root = folder.resolve()
        self._files: dict[str, KeptFile] = {}
        index = self._root / "index.html"
        self._index = _read(index) if index.is_file() else None
        self._marked = self._index and _kept(
            self._index.content.replace(UNMARKED, MARKED, 1), self._index.media_type, self._index.stamp
        )

    @property
    def index_html(self) -> bytes | None:
        """The page's bytes as served, for the hash of its import map."""
        return self._index.content if self._index else None

    def answer(self) -> Response | None:
        """Answer the current request where it is for the page or one of its files; else None."""
        path = request.path
        if kept := self._file(path):
            return _response(kept, is_page=False)
        if self._index is not None and _is_for_page(path):
            g.route = "(page)"
            page = self._marked if SESSION_COOKIE in request.cookies else self._index
            return _response(page or self._index, is_page=True)
        return None

    def _file(self, path: str) -> KeptFile | None:
        """Return the file at a path, read again where it changed on disk; None where it is not to be served."""
        segments = path.lstrip("/").split("/")
        is_inside = len(segments) > 1 and segments[0] in FOLDERS
        if not (is_inside or segments in [[icon] for icon in ICONS]):
            return None
        if not all(_SEGMENT.fullmatch(segment) for segment in segments):
            return None
        file = self._root.joinpath(*segments)
        if file.suffix not in MEDIA_TYPES or not file.is_file() or not file.resolve().is_relative_to(self._root):
            return None
        g.route = f"/{segments[0]}/…" if is_inside else path
        kept = self._files.get(path)
        if kept is None or kept.stamp != _stamp(file):
            kept = self._files[path] = _read(file)
        return kept


def spa_blueprint(frontend: Frontend) -> Blueprint:
    """Build the blueprint that answers what no route answers; register it after ``init_security``."""
    blueprint = Blueprint("spa", __name__)

    @blueprint.before_app_request
    def answer_unrouted() -> Response | None:
        if request.method not in ("GET", "HEAD") or not isinstance(request.routing_exception, NotFound):
            return None
        return frontend.answer()

    return blueprint


def _is_for_page(path: str) -> bool:
    """Say whether a person opened the address in a browser: a missing file must not answer as the page."""
    if path == "/":
        return True
    if path.startswith(NOT_PAGES) or "." in path.rsplit("/", 1)[-1]:
        return False
    return any(media_type == "text/html" for media_type, _ in request.accept_mimetypes)


def _stamp(file: Path) -> tuple[int, int]:
    found = file.stat()
    return found.st_mtime_ns, found.st_size


def _read(file: Path) -> KeptFile:
    content = file.read_bytes()
    return _kept(_without_types(content) if file.suffix == ".js" else content, MEDIA_TYPES[file.suffix], _stamp(file))


def _kept(content: bytes, media_type: str, stamp: tuple[int, int]) -> KeptFile:
    is_packed = media_type in {MEDIA_TYPES[suffix] for suffix in COMPRESSED_ALREADY}
    compressed = None if is_packed else gzip.compress(content, 9, mtime=0)
    if compressed is not None and len(compressed) >= len(content):
        compressed = None
    return KeptFile(content, compressed, media_type, hashlib.sha256(content).hexdigest(), stamp)


def _without_types(script: bytes) -> bytes:
    """Leave out comments that hold types, which only the type checker reads; every line keeps its number."""
    return _DOC_COMMENT.sub(lambda found: b"\n" * found.group().count(b"\n"), script)


def _response(kept: KeptFile, *, is_page: bool) -> Response:
    """Build the answer; each form (plain, compressed) has a strong ETag of its own."""
    is_compressed = kept.compressed is not None and request.accept_encodings["gzip"] > 0
    body = kept.compressed if is_compressed and kept.compressed is not None else kept.content
    response = Response(body, mimetype=kept.media_type)
    if is_compressed:
        response.headers["Content-Encoding"] = "gzip"
    response.headers["Vary"] = "Accept-Encoding, Accept, Cookie" if is_page else "Accept-Encoding"
    response.set_etag(kept.digest[:32] + ("-gz" if is_compressed else ""))
    # The import map names each vendored file with its version; an upgrade is another address.
    is_versioned = request.path.startswith("/vendor/") and bool(request.args.get("v"))
    response.headers["Cache-Control"] = ONE_YEAR if is_versioned and not is_page else ASK_AGAIN
    return response.make_conditional(request)  # type: ignore[return-value]
