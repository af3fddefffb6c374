"""What an upload is, its content says; of a picture only the picture is kept."""

import struct
import zlib
from io import BytesIO

import pytest
from PIL import Image

from service.common.errors import Rejected
from service.infrastructure.files import content
from service.infrastructure.files.content import EDGE_MAX, check_content
from tests.factories.visits import CERTIFICATE, photo

PLACE = {1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)}


def test_a_pdf_is_kept_as_it_came() -> None:
    kept = check_content(CERTIFICATE)
    assert (kept.media_type, kept.content) == ("application/pdf", CERTIFICATE)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_loses_place_time_and_comments(kind: str) -> None:
    exif = Image.Exif()
    exif[0x010F] = "a maker nobody needs to know"
    exif.get_ifd(0x8825).update(PLACE)
    sent = photo(kind, exif=exif, **({"comment": b"whose telephone"} if kind == "JPEG" else {}))
    assert b"a maker" in sent
    kept = check_content(sent).content
    for private in (b"a maker", b"whose telephone", b"Exif", b"eXIf", b"GPS"):
        assert private not in kept
    with Image.open(BytesIO(kept)) as picture:
        assert picture.format == kind
        assert dict(picture.getexif()) == {}
        assert picture.getexif().get_ifd(0x8825) == {}


def test_a_profile_and_what_stands_behind_the_picture_are_left_out() -> None:
    kept = check_content(photo("JPEG", icc_profile=b"a profile" * 20) + b"PK\x03\x04 an archive behind it").content
    assert b"a profile" not in kept
    assert b"PK\x03\x04" not in kept


def test_a_picture_stands_as_the_camera_was_held() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was turned by a quarter
    with Image.open(BytesIO(check_content(photo("JPEG", (80, 40), exif=exif)).content)) as picture:
        assert picture.size == (40, 80)


def test_a_large_picture_is_drawn_smaller() -> None:
    with Image.open(BytesIO(check_content(photo("PNG", (EDGE_MAX + 500, 100))).content)) as picture:
        assert max(picture.size) == EDGE_MAX


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_pictures_of_every_mode_are_kept(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (8, 8)).save(out, "PNG")
    assert check_content(out.getvalue()).media_type == "image/png"


@pytest.mark.parametrize("mode", ["L", "CMYK"])
def test_jpegs_of_other_colours_are_kept(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (8, 8)).save(out, "JPEG")
    assert check_content(out.getvalue()).media_type == "image/jpeg"


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def bomb(width: int, height: int) -> bytes:
    """Return a PNG of a few bytes that says it holds very many pixels."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = chunk(b"IHDR", head), chunk(b"IDAT", zlib.compress(b"\0" * 100)), chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


@pytest.mark.parametrize(("width", "height"), [(60_000, 60_000), (2_000_000_000, 2), (7_072, 7_071)])
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_drawn(width: int, height: int) -> None:
    with pytest.raises(Rejected, match="at most 50000000 pixels"):
        check_content(bomb(width, height))


BROKEN = {
    "nothing known": b"GIF89a" + b"\0" * 40,
    "a page": b"<!doctype html><script>alert(1)</script>",
    "an archive": b"PK\x03\x04" + b"\0" * 40,
    "a drawing that runs scripts": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
    "a page before the mark of a PDF": b"<script></script>%PDF-1.7\nstartxref\n9\n%%EOF",
    "a PDF cut off": CERTIFICATE[:30],
    "a PDF that ends long before its last byte": CERTIFICATE + b"\0" * 2_000,
    "a JPEG cut off": photo()[:120],
    "a JPEG in name only": b"\xff\xd8\xff\xe0" + b"not a picture" * 10,
    "a PNG with a broken sum": photo("PNG")[:20] + b"\x00\x00\x00\x00" + photo("PNG")[24:],
    "one byte": b"\xff",
    "nothing": b"",
}


@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN)
def test_what_is_none_of_the_three_or_broken_is_refused(broken: bytes) -> None:
    with pytest.raises(Rejected):
        check_content(broken)


def test_a_picture_in_the_decoders_worst_case_is_a_refusal_too(monkeypatch: pytest.MonkeyPatch) -> None:
    def trip(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr(content.ImageOps, "exif_transpose", trip)
    with pytest.raises(Rejected, match="cannot be read"):
        check_content(photo())


def of_many_scans(count: int) -> bytes:
    """Return a progressive JPEG whose last scan, of some bytes, stands in it again and again."""
    whole = photo("JPEG", progressive=True)
    tables = whole.rfind(b"\xff\xc4", 0, whole.rfind(b"\xff\xda"))
    return whole[:-2] + whole[tables:-2] * count + whole[-2:]


def test_a_picture_that_would_be_drawn_over_and_over_is_refused_before_it_is_drawn() -> None:
    assert check_content(of_many_scans(2)).media_type == "image/jpeg"
    with pytest.raises(Rejected, match="at most 64 scans"):
        check_content(of_many_scans(content.SCANS_MAX))
