"""How a page looks to somebody who has to read it: too small, too wide, or one thing over another.

Measured in the browser from what is drawn, not from the styles: an SVG's text is scaled with its picture.
"""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Page

# Text nodes with the boxes of their lines; what is hidden, or lies under an open dialog, is left out.
_MEASURE = """() => {
  const pieces = [];
  const kept = [new Map(), new Map()];
  const isSo = (which, element, holds) => {
    if (!element || element === document.documentElement) return false;
    const known = kept[which];
    if (!known.has(element)) known.set(element, holds(element) || isSo(which, element.parentElement, holds));
    return known.get(element);
  };
  const isTiny = ({ offsetWidth, offsetHeight }) => offsetWidth === 1 && offsetHeight === 1;
  const isScrolled = (one) => one.scrollWidth > one.clientWidth
    && ["auto", "scroll"].includes(getComputedStyle(one).overflowX);
  const isHidden = (element) => !element.checkVisibility({ visibilityProperty: true, opacityProperty: true })
    || element.closest(".unseen, .skip, .notices, option, title, noscript") !== null || isSo(0, element, isTiny);
  const root = document.querySelector("dialog:modal") ?? document.body;
  const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const text = node.data.trim();
    const element = node.parentElement;
    if (!text || isHidden(element)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const drawing = element.closest("svg");
    const matrix = drawing ? element.getScreenCTM() : null;
    const scale = matrix ? Math.hypot(matrix.a, matrix.b) : 1;
    const boxes = drawing ? [element.getBoundingClientRect()] : [...range.getClientRects()];
    const seen = boxes.filter((box) => box.width > 1 && box.height > 1);
    if (seen.length === 0) continue;
    const heights = drawing ? seen.map((box) => box.height) : [];
    pieces.push({
      text: text.slice(0, 40),
      px: Math.min(scale * parseFloat(getComputedStyle(element).fontSize), ...heights),
      boxes: seen.map(({ left, top, right, bottom }) => ({ left, top, right, bottom })),
      isFree: !isSo(1, element, isScrolled),
    });
  }
  for (const entry of root.querySelectorAll("input, select, textarea")) {
    if (isHidden(entry) || entry.type === "checkbox") continue;
    const { left, top, right, bottom } = entry.getBoundingClientRect();
    const px = parseFloat(getComputedStyle(entry).fontSize);
    pieces.push({ text: `entry ${entry.name}`, px, boxes: [{ left, top, right, bottom }], isFree: true });
  }
  const spills = [...document.querySelectorAll("text.bar-text")].filter((label) => {
    const bar = label.parentElement.querySelector("rect.bar").getBoundingClientRect();
    const box = label.getBoundingClientRect();
    return box.left < bar.left + 1 || box.right > bar.right - 1;
  }).map((label) => label.textContent);
  return { pieces, spills, width: document.documentElement.clientWidth, needed: document.documentElement.scrollWidth };
}"""
_ALLOWED_OVERLAP = 0.25  # of a line's height: lines of one paragraph touch each other


@dataclass(frozen=True)
class Look:
    """What is wrong with a page at one width; ``smallest_px`` is the smallest rendered text."""

    smallest_px: float
    smallest_text: str
    too_wide: tuple[str, ...]
    overlaps: tuple[str, ...]


def look_at(page: Page, *, width: int, height: int = 900) -> Look:
    """Measure a page at a width; a chart is drawn anew for it first."""
    page.set_viewport_size({"width": width, "height": height})
    page.evaluate("() => new Promise((done) => setTimeout(() => requestAnimationFrame(done), 60))")
    found = page.evaluate(_MEASURE)
    pieces = found["pieces"]
    smallest = min(pieces, key=lambda piece: piece["px"])
    too_wide = [
        piece["text"]
        for piece in pieces
        if piece["isFree"] and any(box["right"] > found["width"] + 1 or box["left"] < -1 for box in piece["boxes"])
    ]
    if found["needed"] > found["width"]:
        too_wide.append(f"the page needs {found['needed']} px")
    overlaps = [f"{text!r} is wider than its bar" for text in found["spills"]]
    return Look(smallest["px"], smallest["text"], tuple(too_wide), (*overlaps, *_overlaps(pieces)))


def _overlaps(pieces: list[dict]) -> list[str]:
    boxes = sorted(
        ((_shrunk(box), piece["text"], number) for number, piece in enumerate(pieces) for box in piece["boxes"]),
        key=lambda entry: entry[0][1],
    )
    found = []
    for place, (one, text, number) in enumerate(boxes):
        for other, other_text, other_number in boxes[place + 1 :]:
            if other[1] >= one[3]:
                break
            if number != other_number and one[0] < other[2] and other[0] < one[2]:
                found.append(f"{text!r} and {other_text!r} lie over each other")
    return found


def _shrunk(box: dict) -> tuple[float, float, float, float]:
    """Return (left, top, right, bottom) without the margin in which neighbours may touch."""
    margin = _ALLOWED_OVERLAP * (box["bottom"] - box["top"])
    return box["left"] + 1, box["top"] + margin, box["right"] - 1, box["bottom"] - margin
