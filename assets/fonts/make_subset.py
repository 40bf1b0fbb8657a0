"""Cuts the two embedded fonts out of the Noto fonts (Debian packages fonts-noto-core and
fonts-noto-extra, 20201225-1; fonttools 4.x). Run: python3 make_subset.py FOLDER_WITH_TTF OUT

Noto Sans has no true minus, arrows or comparison signs, so those come from sister fonts of the
same licence and the same 1000 units per em. The minus is the bar of the plus, so that both have
one width and one weight.
"""

import pathlib
import sys

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
GREEK = [c for c in range(0x391, 0x3CA) if c != 0x3A2]
PUNCTUATION = [ord(c) for c in "–—‘’‚“”„†•…′″ ‰"]
BORROWED = {
    "NotoSansSymbols": "←↑→↓",
    "NotoSansMath": "≤≥≈≠√∞",
    "NotoSansSymbols2": "☐☑✓",
}


def borrow(font, donor, characters):
    """Copies outlines and widths; the donor has Regular weight where it has no other."""
    glyphs, names = donor.getGlyphSet(), donor.getBestCmap()
    for character in characters:
        pen = TTGlyphPen(None)
        glyphs[names[ord(character)]].draw(pen)
        add(font, ord(character), pen.glyph(), donor["hmtx"][names[ord(character)]][0])


def add_minus(font):
    name = font.getBestCmap()[ord("+")]
    coordinates, _, _ = font["glyf"][name].getCoordinates(font["glyf"])
    left, right = min(x for x, _ in coordinates), max(x for x, _ in coordinates)
    heights = sorted({y for x, y in coordinates if x == left})
    pen = TTGlyphPen(None)
    pen.moveTo((left, heights[0]))
    for corner in [(left, heights[1]), (right, heights[1]), (right, heights[0])]:
        pen.lineTo(corner)
    pen.closePath()
    add(font, 0x2212, pen.glyph(), font["hmtx"][name][0])


def add(font, code, glyph, width):
    name = f"uni{code:04X}"
    font.setGlyphOrder([*(n for n in font.getGlyphOrder() if n != name), name])
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (width, getattr(glyph, "xMin", 0))
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[code] = name


def subset(folder, weight, out):
    font = TTFont(folder / f"NotoSans-{weight}.ttf")
    for tag in ("GSUB", "GPOS", "GDEF"):
        del font[tag]
    add_minus(font)
    for family, characters in BORROWED.items():
        own = folder / f"{family}-{weight}.ttf"
        donor = own if own.exists() else folder / f"{family}-Regular.ttf"
        borrow(font, TTFont(donor), characters)
    options = Options(hinting=False, notdef_outline=True, name_IDs=[0, 1, 2, 4, 5, 6, 13, 14])
    options.recalc_timestamp = False
    signs = [ord(c) for text in BORROWED.values() for c in text]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[*LATIN, *GREEK, *PUNCTUATION, 0x2212, *signs])
    subsetter.subset(font)
    font.save(out / f"NotoSans-{weight}-subset.ttf")


if __name__ == "__main__":
    for weight in ("Regular", "SemiBold"):
        subset(pathlib.Path(sys.argv[1]), weight, pathlib.Path(sys.argv[2]))
