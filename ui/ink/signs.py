"""Makes signs.ttf and signs-bold.ttf: what the window writes and the toolkit's font lacks.

Needs fontTools and DejaVu Sans (Debian: python3-fonttools, fonts-dejavu-core). A double
flat is two flats, a double sharp the sign of multiplication: DejaVu Sans has neither.
"""
from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._g_l_y_f import Glyph, GlyphComponent

SIGNS = "←↑→↓↵−⌫▲▸▼◂○●♩♪♭♮♯× \u00a0"  # a blank is set in the font of what stands before it


def joined(font, name, rune, parts):
    """Adds a glyph out of others, each so many units to the right."""
    glyph = Glyph()
    glyph.numberOfContours, glyph.components = -1, []
    for part, x in parts:
        c = GlyphComponent()
        c.glyphName, c.x, c.y, c.flags = part, x, 0, 0x0006
        glyph.components.append(c)
    last, x = parts[-1]
    wide, _ = font["hmtx"][last]
    font.setGlyphOrder(font.getGlyphOrder() + [name])
    font["glyf"].glyphs[name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"].metrics[name] = (x + wide, glyph.xMin)
    for table in font["cmap"].tables:
        if table.format == 12:
            table.cmap[rune] = name


for source, to in ("DejaVuSans", "signs"), ("DejaVuSans-Bold", "signs-bold"):
    font = TTFont(f"/usr/share/fonts/truetype/dejavu/{source}.ttf", recalcTimestamp=False)
    options = subset.Options(hinting=False, layout_features=[], name_IDs=[0, 13, 14], glyph_names=True, notdef_outline=True)
    cut = subset.Subsetter(options)
    cut.populate(unicodes=[ord(c) for c in SIGNS])
    cut.subset(font)
    of = font.getBestCmap()
    for blank in " \u00a0":  # as wide as the toolkit's: 260 of 1000
        font["hmtx"].metrics[of[ord(blank)]] = (font["head"].unitsPerEm * 260 // 1000, 0)
    em, h, o = font["head"].unitsPerEm, font["hhea"], font["OS/2"]  # and lines as high: 1069 above, 293 below
    h.ascent = o.sTypoAscender = o.usWinAscent = em * 1069 // 1000
    h.descent = o.sTypoDescender = -em * 293 // 1000
    o.usWinDescent, h.lineGap, o.sTypoLineGap = -h.descent, 0, 0
    flat, times = of[ord("♭")], of[ord("×")]
    if not any(t.format == 12 for t in font["cmap"].tables):
        from fontTools.ttLib.tables._c_m_a_p import CmapSubtable
        t = CmapSubtable.newSubtable(12)
        t.platformID, t.platEncID, t.language, t.cmap = 3, 10, 0, dict(of)
        font["cmap"].tables.append(t)
    joined(font, "doubleflat", 0x1D12B, [(flat, 0), (flat, font["hmtx"][flat][0] * 3 // 4)])
    joined(font, "doublesharp", 0x1D12A, [(times, 0)])
    for id, text in (1, "Endpin Signs"), (4, "Endpin Signs"), (6, "EndpinSigns"):
        font["name"].setName(text, id, 3, 1, 0x409)
    for table in font["cmap"].tables:  # × is in the toolkit's font
        table.cmap.pop(ord("×"), None)
    font.save(f"{to}.ttf")
