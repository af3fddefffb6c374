"""Make the README's picture anew from a fresh demo: ``python -m tests.browser.pictures [address of a member]``.

The picture is the member's page of the week from its top to the end of the chart, 1000 px wide, light.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.browser.chromium import open_chromium
from tests.browser.demo import ROOT, running_demo
from tests.browser.visitor import Visitor

PICTURE = ROOT / "frontend" / "tests" / "pictures" / "week.png"
MEMBER = "eilidh.macanroy@marlpit.example"  # H-29: bands by season, and a bank holiday of Scotland in late November
WIDTH_PX = 1000
MARGIN_PX = 20


def main(who: str = MEMBER) -> None:
    """Start a demo, take the picture, stop the demo."""
    with (
        tempfile.TemporaryDirectory(prefix="plugward-pictures-") as folder,
        running_demo(Path(folder)) as demo,
        open_chromium() as browser,
    ):
        visitor = Visitor(browser, demo, width=WIDTH_PX, height=1600)
        visitor.sign_in(who)
        page = visitor.open("/week")
        chart = page.locator("figure.chart").bounding_box()
        assert chart is not None
        PICTURE.parent.mkdir(parents=True, exist_ok=True)
        clip = {"x": 0.0, "y": 0.0, "width": float(WIDTH_PX), "height": chart["y"] + chart["height"] + MARGIN_PX}
        page.screenshot(path=PICTURE, clip=clip, full_page=True)
        visitor.close()
    print(f"{PICTURE.relative_to(ROOT)}: {PICTURE.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main(*sys.argv[1:])
