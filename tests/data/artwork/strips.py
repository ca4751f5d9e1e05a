"""Borders that tile, words in block letters, and symmetric ornaments."""

import math

from brush import Piece, arc


def borders():
    yield from (sea_waves(1), sea_waves(4), lozenges(), zigzag(), dots())
    yield from (stripes(), scallops(), rope(), hearts_row(), chevrons())


def words():
    yield from (word("SEA", "#1f4f86", "clear"), word("TIDE", "#b8322d", "#fbf8f1"))
    yield from (word("AHOY", "#f6f1e2", "#2a5d6b"), word("LUV", "#7a3b78", "clear"))


def ornaments():
    yield from (compass(), snowflake(), medallion(), folk_tulip(), lattice_knot(), butterfly())


def strip(name, height, tile, count, ground, **truth):
    axes = truth.pop("axes", [])
    return Piece(
        name,
        "border",
        round(tile * count),
        height,
        ground=ground,
        tile=1 / count,
        upright="along",
        axes=axes,
        **truth,
    )


def sea_waves(count):
    tile, height = 120, 140
    p = strip(f"waves-{count}", height, tile, count, "#cfe4ea")
    for colour, base, lift in (("#5fa3bf", 62, 26), ("#1f5a83", 104, 22)):
        wide = range(-2, tile * count + 3)
        crest = [(x, base - lift * math.sin(2 * math.pi * x / tile + base)) for x in wide]
        p.poly(colour, crest + [(tile * count + 2, height + 2), (-2, height + 2)])
    return p


def lozenges():
    p = strip("lozenges-5", 130, 80, 5, "#f4ecd8", axes=["columns", "rows"])
    for at in range(5):
        x = 40 + 80 * at
        p.poly("#a5323a", [(x, 12), (x + 36, 65), (x, 118), (x - 36, 65)])
        p.poly("#e2a33a", [(x, 42), (x + 15, 65), (x, 88), (x - 15, 65)])
    return p


def zigzag():
    p = strip("zigzag-6", 130, 64, 6, "#f7f5ef", axes=["columns"])
    for colour, base in (("#2c7a7b", 88), ("#e08a3c", 44)):
        points = []
        for at in range(-1, 8):
            points += [(64 * at, base + 28), (64 * at + 32, base - 28)]
        upper = [(x, y - 11) for x, y in points]
        lower = [(x, y + 11) for x, y in reversed(points)]
        p.poly(colour, upper + lower)
    return p


def dots():
    p = strip("dots-4", 140, 96, 4, "#24365e", axes=["columns"])
    for at in range(4):
        p.oval("#f3f0e6", 48 + 96 * at, 70, 36)
        p.oval("#e0574a", 48 + 96 * at, 70, 15)
    return p


def stripes():
    p = strip("stripes-1", 160, 200, 1, None, axes=["rows"])
    left = 0
    for colour, wide in (
        ("#1f3a63", 50),
        ("#f5efe2", 30),
        ("#c9403a", 40),
        ("#f5efe2", 30),
        ("#6fa8bd", 50),
    ):
        p.box(colour, left, -1, left + wide, 161)
        left += wide
    return p


def scallops():
    p = strip("scallops-3", 150, 110, 3, "#fbf3e9", axes=["columns"])
    for at in range(3):
        x = 55 + 110 * at
        p.oval("#d9809a", x, 150, 54, 118)
        p.oval("#fbf3e9", x, 150, 36, 82)
        p.oval("#7a4a86", x, 150, 19, 46)
    return p


def rope():
    p = strip("rope-4", 120, 76, 4, "#e9eef0")
    p.box("#c9a25b", -2, 26, 310, 94)
    for at in range(-1, 5):
        x = 76 * at
        p.poly("#6b4423", [(x, 94), (x + 22, 94), (x + 80, 26), (x + 58, 26)])
    return p


def hearts_row():
    p = strip("hearts-3", 140, 128, 3, "#f7f1e6", axes=["columns"])
    for at in range(3):
        x = 64 + 128 * at
        p.poly("#c8324a", [(x - 46, 60), (x + 46, 60), (x, 124)])
        p.oval("#c8324a", x - 23, 48, 27)
        p.oval("#c8324a", x + 23, 48, 27)
    return p


def chevrons():
    p = strip("chevrons-6", 120, 60, 6, None, axes=["rows"])
    p.box("#e8dcc2", -1, -1, 361, 121)
    for at in range(-1, 7):
        x = 60 * at
        p.poly(
            "#37694f", [(x, -1), (x + 30, -1), (x + 60, 60), (x + 30, 121), (x, 121), (x + 30, 60)]
        )
    return p


def letter(p, which, colour, x, y, wide, high, pen):
    """A block letter in the box at (x, y)."""
    half, r, b = pen / 2, x + wide, y + high
    middle = y + high / 2
    bar = lambda top: p.box(colour, x, top, r, top + pen)
    stem = lambda left: p.box(colour, left, y, left + pen, b)
    slope = lambda one, two: p.poly(
        colour,
        [
            (one[0] - half, one[1]),
            (one[0] + half, one[1]),
            (two[0] + half, two[1]),
            (two[0] - half, two[1]),
        ],
    )
    centre = x + wide / 2
    if which == "S":
        for top in (y, middle - half, b - pen):
            bar(top)
        p.box(colour, x, y, x + pen, middle)
        p.box(colour, r - pen, middle, r, b)
    elif which == "E":
        stem(x)
        for top in (y, middle - half, b - pen):
            bar(top)
    elif which == "A":
        slope((centre, y), (x + half, b))
        slope((centre, y), (r - half, b))
        p.box(colour, x + wide * 0.28, y + high * 0.6, r - wide * 0.28, y + high * 0.6 + pen * 0.9)
    elif which == "T":
        bar(y)
        stem(centre - half)
    elif which == "I":
        stem(centre - half)
    elif which == "D":
        stem(x)
        p.poly(
            colour,
            [
                (x, y),
                (r - wide * 0.3, y),
                (r, y + high * 0.25),
                (r, b - high * 0.25),
                (r - wide * 0.3, b),
                (x, b),
                (x, b - pen),
                (r - wide * 0.36, b - pen),
                (r - pen, b - high * 0.3),
                (r - pen, y + high * 0.3),
                (r - wide * 0.36, y + pen),
                (x, y + pen),
            ],
        )
    elif which == "H":
        stem(x)
        stem(r - pen)
        bar(middle - half)
    elif which == "O":
        stem(x)
        stem(r - pen)
        bar(y)
        bar(b - pen)
    elif which == "Y":
        slope((x + half, y), (centre, middle))
        slope((r - half, y), (centre, middle))
        p.box(colour, centre - half, middle - 1, centre + half, b)
    elif which == "L":
        stem(x)
        bar(b - pen)
    elif which == "U":
        stem(x)
        stem(r - pen)
        bar(b - pen)
    elif which == "V":
        slope((x + half, y), (centre, b))
        slope((r - half, y), (centre, b))
    else:
        raise ValueError(which)


def word(text, colour, ground):
    wide, high, gap, pen = 78, 124, 24, 22
    p = Piece(
        "word-" + text.lower(),
        "lettering",
        len(text) * (wide + gap) + 12,
        150,
        ground=ground,
        upright="along",
        strokes=len(text),
    )
    for at, which in enumerate(text):
        left = 18 + at * (wide + gap)
        letter(p, which, colour, left, 13, wide, high, pen)
        p.part(which, colour, left, 13, left + wide, 13 + high)
    return p


def compass():
    p = Piece(
        "compass", "ornament", 260, 260, ground="#f5efe0", axes=["columns", "rows"], upright="any"
    )

    def rays(colour, long, short, turn):
        points = []
        for at in range(8):
            a = math.radians(45 * at + turn)
            radius = (long, short)[at % 2]
            points.append((130 + radius * math.cos(a), 130 + radius * math.sin(a)))
        p.poly(colour, points)

    rays("#c8963c", 92, 40, 45)
    rays("#27456b", 124, 40, 0)
    p.oval("#f5efe0", 130, 130, 17)
    return p


def snowflake():
    p = Piece(
        "snowflake", "ornament", 260, 260, ground="#2f5d86", axes=["columns", "rows"], upright="any"
    )
    for at in range(4):
        a = math.radians(45 * at)
        reach = 114 if at % 2 == 0 else 56
        dx, dy = reach * math.cos(a), reach * math.sin(a)
        p.stroke("#f4f8fa", 24, [(130 - dx, 130 - dy), (130 + dx, 130 + dy)])
    for at in range(4):
        a = math.radians(90 * at)
        u, v = math.cos(a), math.sin(a)
        x, y = 130 + 70 * u, 130 + 70 * v
        for side in (1, -1):
            p.stroke(
                "#f4f8fa", 20, [(x, y), (x + 32 * u - side * 40 * v, y + 32 * v + side * 40 * u)]
            )
    return p


def medallion():
    p = Piece("medallion", "ornament", 220, 300, axes=["columns", "rows"])
    eye = arc(270, 150, 262, 147.5, 212.5) + arc(-50, 150, 262, -32.5, 32.5)
    p.poly("#21506b", eye)
    inner = [(110 + (x - 110) * 0.72, 150 + (y - 150) * 0.72) for x, y in eye]
    p.poly("#e9dcc0", inner)
    p.poly("#b4452f", [(110, 84), (150, 150), (110, 216), (70, 150)])
    p.oval("#e9b64a", 110, 150, 19)
    return p


def folk_tulip():
    p = Piece("folk-tulip", "ornament", 240, 320, ground="#fbf6ea", axes=["columns"])
    red, green, gold = "#b5303c", "#35694a", "#e2ae3f"
    p.stroke(green, 17, [(120, 120), (120, 304)])
    p.both(green, [(120, 290), (70, 276), (24, 222), (18, 176), (70, 204), (112, 254)], curved=True)
    p.both(red, [(120, 146), (70, 132), (40, 78), (44, 22), (84, 60), (120, 96)], curved=True)
    p.poly(gold, [(120, 14), (148, 84), (120, 140), (92, 84)])
    return p


def lattice_knot():
    p = Piece(
        "quilt-block",
        "ornament",
        240,
        240,
        ground=None,
        axes=["columns", "rows"],
        tile=1.0,
        upright="any",
    )
    p.box("#efe6d2", -1, -1, 241, 241)
    p.both("#3a6a78", [(-1, -1), (84, -1), (-1, 84)])
    p.both("#3a6a78", [(-1, 241), (84, 241), (-1, 156)])
    p.poly("#c4623a", [(120, 20), (220, 120), (120, 220), (20, 120)])
    p.poly("#efe6d2", [(120, 66), (174, 120), (120, 174), (66, 120)])
    p.box("#3a6a78", 100, 100, 140, 140)
    return p


def butterfly():
    p = Piece("butterfly", "ornament", 300, 230, axes=["columns"])
    p.both("#e0872f", [(146, 110), (110, 40), (50, 12), (14, 34), (22, 84), (70, 122)], curved=True)
    p.both(
        "#e0872f",
        [(146, 118), (90, 126), (50, 160), (62, 208), (104, 210), (142, 160)],
        curved=True,
    )
    p.both("#f6e3b0", arc(66, 62, 22, 0, 360))
    p.both("#f6e3b0", arc(92, 172, 16, 0, 360))
    p.oval("#2c2430", 150, 124, 14, 84)
    return p
