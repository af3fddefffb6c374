"""The name of an upload goes back to somebody's disk: it must be one plain name there."""

import pytest

from service.infrastructure.files.names import NAME_MAX, clean_name


@pytest.mark.parametrize(
    ("name", "cleaned"),
    [
        ("certificate.pdf", "certificate.pdf"),
        ("EICR Nr. 12 – Küche.PDF", "EICR Nr. 12 – Küche.pdf"),
        ("../../../etc/passwd", "passwd.pdf"),
        ("..\\..\\boot.ini", "boot.pdf"),
        ("a.pdf\r\nSet-Cookie: x=1", "a.pdfSet-Cookie_ x=1.pdf"),
        ("photo\u202efdp.exe", "photofdp.pdf"),
        ("\u2066hidden\u2069.pdf", "hidden.pdf"),
        ("a\x00b.pdf", "ab.pdf"),
        ("CON", "_CON.pdf"),
        ("nul.txt", "_nul.pdf"),
        ("LPT1.tar.gz", "_LPT1.tar.pdf"),
        (".htaccess", "htaccess.pdf"),
        ("...", "certificate.pdf"),
        ("", "certificate.pdf"),
        ("/", "certificate.pdf"),
        ('a"b;c*.pdf', "a_b_c_.pdf"),
        ("page.html", "page.pdf"),
        ("name. . .", "name.pdf"),
    ],
)
def test_a_name_is_made_harmless_and_ends_as_its_content_asks(name: str, cleaned: str) -> None:
    assert clean_name(name, "application/pdf", otherwise="certificate") == cleaned


def test_a_long_name_is_cut_and_keeps_its_ending() -> None:
    cut = clean_name("x" * 500 + ".jpeg", "image/jpeg", otherwise="photo")
    assert len(cut) == NAME_MAX
    assert cut.endswith("x.jpg")
