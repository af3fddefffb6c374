"""A drive with the best place for its outlet as SVG for paper: black on white, a word for every mark, no script.

Units of the picture are decimetres. Colours never speak alone: kinds of ground differ by hatching of their outline
and each has its word.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from service.advice.domain.siting.answers import Siting
from service.advice.domain.siting.drawing import Area, AreaKind, Drawing, MarkKind, Place, Spot
from service.advice.domain.siting.shapes import car_shape, line_of

MARGIN_DM: Final = 10
LINE_DM: Final = 6
WORDS_AT_MOST: Final = 95
_AREA_WORDS: Final = {
    AreaKind.PATH: "path",
    AreaKind.FOOTWAY: "public footway",
    AreaKind.LAWN: "lawn",
    AreaKind.ESCAPE_ROUTE: "escape route",
    AreaKind.STRIKE: "cars could strike here",
}
_DASHES: Final = {
    AreaKind.PATH: "2 1", AreaKind.FOOTWAY: "4 1", AreaKind.LAWN: "1 1", AreaKind.ESCAPE_ROUTE: "4 1 1 1",
    AreaKind.STRIKE: "0.5 0.5",
}  # fmt: skip
_MARK_WORDS: Final = {MarkKind.GAS_METER: "gas meter", MarkKind.TANK: "tank", MarkKind.METALWORK: "metalwork"}


def drive_svg(label: str, drawing: Drawing, siting: Siting) -> str:
    """Return the picture as text."""
    lines = list(_legend(siting))
    width = max(drawing.width_dm + 2 * MARGIN_DM, 180)
    height = drawing.depth_dm + 2 * MARGIN_DM + LINE_DM * (len(lines) + 1)
    first = drawing.depth_dm + 2 * MARGIN_DM + LINE_DM / 2
    title = f"{label}: the best place for the outlet" if siting.best else f"{label}: a drawing of the drive"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}mm" height="{height}mm"'
        f' role="img" aria-label={quoteattr(_held(title))} font-family="sans-serif" font-size="4">',
        f"<title>{escape(_held(title))}</title>",
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
        f'<text x="{MARGIN_DM}" y="6" font-size="5" font-weight="bold">{escape(_held(label))}</text>',
        f'<g transform="translate({MARGIN_DM} {MARGIN_DM})">',
        f'<rect width="{drawing.width_dm}" height="{drawing.depth_dm}" fill="none" stroke="#777" stroke-width="0.3"/>',
        *_grounds(drawing),
        *_places(drawing),
        *_walls(drawing),
        *_marks(drawing),
        *_best(siting),
        *_scale(drawing),
        "</g>",
        *(_text(MARGIN_DM, first + LINE_DM * number, line) for number, line in enumerate(lines)),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _grounds(drawing: Drawing) -> Iterator[str]:
    for area in drawing.areas:
        yield (
            f'<polygon points="{_points(area.corners)}" fill="#f2f2f2" stroke="#555555" stroke-width="0.5"'
            f' stroke-dasharray="{_DASHES[AreaKind(area.kind)]}"/>'
        )
        x, y = _middle(area)
        yield _text(x, y, _AREA_WORDS[AreaKind(area.kind)], anchor="middle")


def _places(drawing: Drawing) -> Iterator[str]:
    for place in drawing.places:
        line = line_of(place)
        box = _metres_points(line.box(0, line.length_m, place.width_dm / 20).exterior.coords)
        car = _metres_points(car_shape(drawing, place).exterior.coords)
        yield f'<polygon points="{box}" fill="none" stroke="#000000" stroke-width="0.5" stroke-dasharray="3 2"/>'
        yield f'<polygon points="{car}" fill="#ffffff" stroke="#000000" stroke-width="0.4"/>'
        yield _arrow(place)
        x, y = (place.start[0] + place.end[0]) / 2, (place.start[1] + place.end[1]) / 2
        yield _text(x, y, place.label, anchor="middle")


def _arrow(place: Place) -> str:
    """Return the arrow that shows which way a car drives in."""
    line = line_of(place)
    behind = line.length_m - 0.9
    corners = (line.at(line.length_m - 0.4), line.at(behind, 0.3), line.at(behind, -0.3))
    return f'<polygon points="{_metres_points(corners)}" fill="#000000"/>'


def _walls(drawing: Drawing) -> Iterator[str]:
    for number, wall in enumerate(drawing.walls, start=1):
        yield _line(wall.start, wall.end, 1.6)
        middle = line_of(wall).at(line_of(wall).length_m / 2, 0.5)
        yield _text(middle[0] * 10, middle[1] * 10, f"wall {number}", anchor="middle", size=3.4)
    for opening in drawing.openings:
        line = line_of(drawing.walls[opening.wall])
        box = _metres_points(line.box(opening.from_dm / 10, opening.to_dm / 10, 0.15).exterior.coords)
        yield f'<polygon points="{box}" fill="#ffffff" stroke="#000000" stroke-width="0.4"/>'
        middle = line.at((opening.from_dm + opening.to_dm) / 20, -0.45)
        yield _text(middle[0] * 10, middle[1] * 10, str(opening.kind), anchor="middle", size=3)


def _marks(drawing: Drawing) -> Iterator[str]:
    for mark in drawing.marks:
        yield f'<rect x="{mark.at[0] - 1.5}" y="{mark.at[1] - 1.5}" width="3" height="3" fill="#000000"/>'
        yield _text(mark.at[0] + 2.5, mark.at[1] - 2, _MARK_WORDS[MarkKind(mark.kind)], size=3)
    if drawing.consumer_unit is not None:
        x, y = drawing.consumer_unit
        yield f'<rect x="{x - 2}" y="{y - 2}" width="4" height="4" fill="#ffffff" stroke="#000000" stroke-width="0.6"/>'
        yield _text(x + 3, y - 2.5, "consumer unit", size=3)


def _best(siting: Siting) -> Iterator[str]:
    for number, other in enumerate(siting.others, start=2):
        x, y = other.at[0] * 10, other.at[1] * 10
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="1.8" fill="#ffffff" stroke="#000000" stroke-width="0.5"/>'
        yield _text(x, y + 1, str(number), anchor="middle", size=3)
    best = siting.best
    if best is None:
        return
    for reach in best.reaches:
        if reach.is_usual and reach.is_reached:
            yield (
                f'<polyline points="{_metres_points(reach.route)}" fill="none" stroke="#000000" stroke-width="0.6"'
                f' stroke-dasharray="{"none" if reach.way == "nose_in" else "1.5 1"}"/>'
            )
    x, y = best.at[0] * 10, best.at[1] * 10
    yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.6" fill="#000000"/>'
    yield f'<text x="{x:.1f}" y="{y + 1.2:.1f}" font-size="3.4" fill="#ffffff" text-anchor="middle">1</text>'


def _scale(drawing: Drawing) -> Iterator[str]:
    y = drawing.depth_dm + 4
    yield f'<path d="M0 {y} H20 M0 {y - 1.5} V{y + 1.5} M20 {y - 1.5} V{y + 1.5}" stroke="#000000" stroke-width="0.5"/>'
    yield _text(22, y + 1.5, "2 m", size=3)


def _legend(siting: Siting) -> Iterator[str]:
    """Yield the words below the picture, broken into lines."""
    sentences = [siting.summary]
    if siting.best is not None:
        best = siting.best
        sentences.append(
            f"1: wall {best.wall + 1}, {best.offset_m:g} m from its start, its {best.side} side ({best.face})."
            " Plain lines: the cable to a car nose in; dashed: nose out."
        )
    sentences += [f"Not known: {words}" for words in siting.not_known]
    sentences += siting.cautions
    for sentence in sentences:
        line = ""
        for word in sentence.split():
            if line and len(line) + len(word) + 1 > WORDS_AT_MOST:
                yield line
                line = ""
            line = f"{line} {word}".strip()
        yield line


def _text(x: float, y: float, words: str, *, anchor: str = "start", size: float = 4) -> str:
    # A white rim keeps a word readable over a line.
    rim = 'stroke="#ffffff" stroke-width="1" paint-order="stroke" stroke-linejoin="round"'
    held = escape(_held(words))
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" {rim}>{held}</text>'


def _held(words: str) -> str:
    """Return words without the two characters that a field takes and XML (1.0, section 2.2) cannot hold."""
    return words.translate({0xFFFE: None, 0xFFFF: None})


def _line(start: Spot, end: Spot, width: float) -> str:
    return (
        f'<line x1="{start[0]}" y1="{start[1]}" x2="{end[0]}" y2="{end[1]}" stroke="#000000" stroke-width="{width}"'
        ' stroke-linecap="square"/>'
    )


def _points(corners: tuple[Spot, ...]) -> str:
    return " ".join(f"{x},{y}" for x, y in corners)


def _metres_points(corners: object) -> str:
    return " ".join(f"{x * 10:.1f},{y * 10:.1f}" for x, y in corners)  # type: ignore[attr-defined]


def _middle(area: Area) -> tuple[float, float]:
    return (
        sum(x for x, _ in area.corners) / len(area.corners),
        sum(y for _, y in area.corners) / len(area.corners),
    )
