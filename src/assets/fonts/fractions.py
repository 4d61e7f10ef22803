"""Makes the fonts of this folder from IBM Plex Sans Condensed 1.3 (TrueType).

The fractions of that font have figures of half a capital's height: on a sheet that is printed at
half size, an eighth cannot be told from three eighths. Here they are drawn anew from the font's
own figures at FIGURE of a capital's height, still as one glyph of their Unicode value, so that
text stays searchable. Nothing else is changed but the name, as the font's licence asks.

    pip install fonttools==4.68.0 brotli==1.2.1
    python fractions.py FOLDER-OF-THE-ORIGINAL-TTFS
"""

import sys
from pathlib import Path

from fontTools.pens.basePen import DecomposingPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

FAMILY = "Stackfall Lettering"
FRACTIONS = ["½", "¼", "¾", "⅛", "⅜", "⅝", "⅞", "⅓", "⅔"]
OVER_UNDER = {
    "½": "12", "¼": "14", "¾": "34", "⅛": "18", "⅜": "38", "⅝": "58", "⅞": "78", "⅓": "13", "⅔": "23",
}
CAP = 698
# Height and width of a figure, as parts of a whole figure's: the fractions take hardly more of the
# line than they did.
FIGURE = 0.72
WIDE = {"Regular": 0.64, "Bold": 0.57}
# The open left side of a 4 lets it stand closer to the solidus, units.
CLOSER = {"4": 34}
# The numerator hangs so far above a capital and the denominator so far below the baseline, units.
OUT = 30
# Clear of the solidus, before the numerator (or 7⅞ reads as 77/8), and after it all, units.
CLEAR, BEFORE, AFTER = 24, 80, 24
# The solidus: how far it leans, and its thickness by weight.
LEAN = 160
THICK = {"Regular": 50, "Bold": 70}


class Strokes(DecomposingPen):
    """Keeps what is drawn, parts of composite glyphs drawn out, so that it can be drawn again."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.value = []

    def moveTo(self, point):
        self.value.append(("moveTo", (point,)))

    def lineTo(self, point):
        self.value.append(("lineTo", (point,)))

    def curveTo(self, *points):
        self.value.append(("curveTo", points))

    def qCurveTo(self, *points):
        self.value.append(("qCurveTo", points))

    def closePath(self):
        self.value.append(("closePath", ()))

    def endPath(self):
        self.value.append(("endPath", ()))


def strokes(glyphs, name):
    pen = Strokes(glyphs)
    glyphs[name].draw(pen)
    return pen.value


def between(light, heavy, part):
    """An outline between two of the same font's weights."""
    def mix(a, b):
        return tuple(
            None if p is None else (p[0] + (q[0] - p[0]) * part, p[1] + (q[1] - p[1]) * part)
            for p, q in zip(a, b)
        )
    same = len(light) == len(heavy) and all(
        a[0] == b[0] and len(a[1]) == len(b[1]) for a, b in zip(light, heavy)
    )
    if not same:
        return None
    return [(op, mix(pts, other)) for (op, pts), (_, other) in zip(light, heavy)]


def replay(value, pen):
    for op, points in value:
        getattr(pen, op)(*points)


def bounds(value):
    pen = BoundsPen(None)
    replay(value, pen)
    return pen.bounds


def fraction(figures, weight, over, under):
    """The glyph and its advance."""
    pen = TTGlyphPen(None)
    thick = THICK[weight]
    bottom, top = -OUT - 60, CAP + 58
    lean = LEAN / (top - bottom)
    wide = WIDE[weight]

    def scaled(name, dx, dy):
        return TransformPen(pen, (wide, 0, 0, FIGURE, dx, dy))

    x0, _, x1, _ = bounds(figures[over])
    low = CAP * (1 - FIGURE) + OUT
    replay(figures[over], scaled(over, BEFORE - x0 * wide, low))
    right = BEFORE + (x1 - x0) * wide
    # The solidus clears the numerator where that is lowest, and the denominator where it is highest.
    foot = right + CLEAR - (low - bottom) * lean
    pen.moveTo((round(foot), bottom))
    pen.lineTo((round(foot + LEAN), top))
    pen.lineTo((round(foot + LEAN + thick), top))
    pen.lineTo((round(foot + thick), bottom))
    pen.closePath()
    high = CAP * FIGURE - OUT
    left = foot + (high - bottom) * lean + thick + CLEAR - CLOSER.get(under, 0)
    x0, _, x1, _ = bounds(figures[under])
    replay(figures[under], scaled(under, left - x0 * wide, -OUT))
    return pen.glyph(), round(left + (x1 - x0) * wide + AFTER)


def make(folder, weight, other, part):
    font = TTFont(folder / f"IBMPlexSansCondensed-{weight}.ttf")
    heavy = TTFont(folder / f"IBMPlexSansCondensed-{other}.ttf").getGlyphSet()
    glyphs, cmap = font.getGlyphSet(), font.getBestCmap()
    figures = {}
    for figure in "1234578":
        name = cmap[ord(figure)]
        own = strokes(glyphs, name)
        figures[figure] = between(own, strokes(heavy, name), part) or own
    for c in FRACTIONS:
        over, under = OVER_UNDER[c]
        name = cmap[ord(c)]
        glyph, advance = fraction(figures, weight, over, under)
        font["glyf"][name] = glyph
        glyph.recalcBounds(font["glyf"])
        font["hmtx"][name] = (advance, glyph.xMin)
    names = {
        0: "Copyright 2019 IBM Corp. All rights reserved. Fractions redrawn for stackfall.",
        1: FAMILY,
        3: f"1.3;stackfall;StackfallLettering-{weight}",
        4: f"{FAMILY} {weight}",
        6: f"StackfallLettering-{weight}",
    }
    for record_ in list(font["name"].names):
        if record_.nameID in (7, 8, 9, 11, 12, 16, 17, 19):
            font["name"].names.remove(record_)
        elif record_.nameID in names:
            record_.string = names[record_.nameID]
    font["head"].modified = font["head"].created
    font.recalcTimestamp = False
    here = Path(__file__).parent
    font.save(here / f"StackfallLettering-{weight}.ttf")
    font.flavor = "woff2"
    font.save(here / f"StackfallLettering-{weight}.woff2")


folder = Path(sys.argv[1])
# Scaled down, a figure's strokes get thinner: it is taken some way towards the heavier weight.
make(folder, "Regular", "Bold", 0.4)
make(folder, "Bold", "Bold", 0.0)
