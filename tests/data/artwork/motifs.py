"""Motifs: on clear ground, on plain ground, and as lines."""

import math

from brush import Piece, arc, smooth

INK = "#1e2733"


def clear():
    yield from (fox(), cat(), kittiwake(), anchor(), heart(), lighthouse())
    yield from (fish(), flower(), crab(), leaf(), wheel())


def plain():
    yield from (whale(), boat(), starfish(), shell(), tulip(), star())
    yield from (moon(), buoy(), cherries(), spruce(), puffin())


def lines():
    yield from (mountains(), bird(), waves(), sail(), sunrise(), key())


def fox():
    p = Piece("fox", "motif-clear", 240, 240, axes=["columns"])
    p.both("#d9642a", [(20, 12), (104, 66), (60, 130), (26, 110)])
    p.poly("#d9642a", [(60, 76), (180, 76), (222, 136), (120, 232), (18, 136)])
    p.both("#2b2523", [(34, 38), (74, 66), (46, 88)])
    p.both("#fbf3e6", [(18, 136), (66, 128), (112, 176), (120, 232)])
    p.both("#2b2523", arc(78, 116, 11, 0, 360))
    p.both("#2b2523", [(120, 232), (96, 208), (108, 198), (120, 198)])
    p.part("ears", "#d9642a", 20, 12, 60, 70)
    p.part("cheeks", "#fbf3e6", 20, 130, 110, 200)
    return p


def cat():
    p = Piece("cat", "motif-clear", 200, 260)
    grey = "#4a4f57"
    p.blob(grey, [(100, 96), (142, 132), (156, 196), (150, 250), (50, 250), (44, 196), (58, 132)])
    p.oval(grey, 100, 78, 50, 44)
    p.poly(grey, [(54, 70), (56, 12), (94, 40)])
    p.poly(grey, [(146, 70), (144, 12), (106, 40)])
    p.curve(grey, 20, [(140, 240), (178, 232), (184, 196), (172, 170)])
    p.oval("#e9c54a", 80, 76, 11, 12)
    p.oval("#e9c54a", 120, 76, 11, 12)
    p.blob("#f4efe4", [(100, 128), (118, 150), (112, 186), (100, 198), (88, 186), (82, 150)])
    p.part("ears", grey, 54, 12, 94, 50)
    p.part("tail", grey, 160, 165, 195, 240)
    return p


def kittiwake():
    p = Piece("kittiwake", "motif-clear", 280, 200, upright="up")
    p.blob(
        "#f3f4f2",
        [(64, 62), (92, 46), (116, 66), (150, 92), (214, 128), (168, 156), (110, 150), (72, 116)],
    )
    p.blob(
        "#8f9ba6",
        [(110, 84), (150, 86), (206, 118), (266, 150), (210, 152), (150, 140), (116, 118)],
    )
    p.poly("#1c1f24", [(222, 126), (276, 154), (216, 153), (204, 140)])
    p.poly("#e3b437", [(70, 62), (28, 74), (68, 84)])
    p.oval("#1c1f24", 86, 68, 7)
    p.stroke("#1c1f24", 9, [(122, 148), (120, 188)])
    p.stroke("#1c1f24", 9, [(144, 150), (146, 188)])
    p.part("bill", "#e3b437", 28, 60, 70, 85)
    p.part("wing tip", "#1c1f24", 210, 125, 276, 155)
    return p


def anchor():
    p = Piece("anchor", "motif-clear", 220, 260, axes=["columns"])
    blue = "#234a7d"
    p.stroke(blue, 24, arc(110, 40, 24, 0, 360))
    p.stroke(blue, 26, [(110, 66), (110, 232)])
    p.stroke(blue, 24, [(62, 94), (158, 94)])
    p.stroke(blue, 26, arc(110, 142, 88, 20, 160))
    p.both(blue, [(22, 138), (2, 190), (58, 182)])
    p.part("ring", blue, 75, 5, 145, 75)
    p.part("flukes", blue, 2, 138, 58, 190)
    return p


def heart():
    p = Piece("heart", "motif-clear", 260, 240, axes=["columns"])
    half = [(130, 66), (104, 26), (62, 14), (20, 42), (12, 92), (40, 146), (130, 232)]
    curve = smooth(half, closed=False)
    p.poly("#c22f3f", curve + [(260 - x, y) for x, y in reversed(curve)])
    p.part("lobes", "#c22f3f", 20, 14, 100, 100)
    return p


def lighthouse():
    p = Piece("lighthouse", "motif-clear", 140, 360, axes=["columns"])
    p.poly("#3b4148", [(70, 6), (104, 46), (36, 46)])
    p.box("#f0c23b", 46, 46, 94, 84)
    p.box("#3b4148", 30, 84, 110, 100)

    def slice_of(colour, top, bottom):
        inset = lambda y: 40 - (y - 100) * 22 / 232
        left, right = inset(top), inset(bottom)
        p.poly(colour, [(left, top), (140 - left, top), (140 - right, bottom), (right, bottom)])

    for at in range(5):
        slice_of(["#c93a32", "#f6f2e8"][at % 2], 100 + at * 46.4, 100 + (at + 1) * 46.4)
    p.box("#3b4148", 8, 332, 132, 354)
    p.part("lamp", "#f0c23b", 46, 46, 94, 84)
    return p


def fish():
    p = Piece("fish", "motif-clear", 300, 170, axes=[])
    teal, amber = "#1f8a8f", "#eeb13c"
    p.poly(amber, [(212, 85), (292, 20), (276, 85), (292, 150)])
    p.blob(amber, [(112, 44), (150, 8), (186, 30), (190, 60)])
    p.blob(
        teal,
        [(10, 88), (52, 44), (116, 26), (186, 48), (238, 85), (186, 124), (116, 146), (52, 130)],
    )
    p.blob("#f5efdf", [(66, 48), (92, 40), (104, 86), (92, 134), (66, 128), (78, 86)])
    p.oval("#16222b", 42, 76, 11)
    p.part("tail", amber, 240, 20, 292, 150)
    p.part("stripe", "#f5efdf", 66, 45, 104, 130)
    return p


def flower():
    p = Piece("flower", "motif-clear", 260, 260, axes=["columns"])
    for pad, colour in ((13, "#4b2a63"), (0, "#d977a8")):
        for at in range(6):
            a = math.radians(90 + 60 * at)
            p.oval(colour, 130 + 72 * math.cos(a), 130 + 72 * math.sin(a), 38 + pad)
    p.oval("#4b2a63", 130, 130, 50)
    p.oval("#f2cb3d", 130, 130, 37)
    p.part("centre", "#f2cb3d", 100, 100, 160, 160)
    return p


def crab():
    p = Piece("crab", "motif-clear", 300, 220, axes=["columns"])
    red = "#d2452f"
    for y, dx in ((128, 112), (156, 108), (182, 92)):
        for side in (1, -1):
            p.stroke(
                red,
                16,
                [
                    (150 + side * 60, y - 8),
                    (150 + side * dx, y + 2),
                    (150 + side * (dx + 18), y + 26),
                ],
            )
    for side in (1, -1):
        p.stroke(red, 20, [(150 + side * 70, 112), (150 + side * 112, 84), (150 + side * 106, 52)])
        p.stroke(red, 14, [(150 + side * 26, 90), (150 + side * 30, 56)])
    claw = arc(44, 38, 34, 20, 290) + [(50, 44)]
    p.both(red, claw)
    p.oval(red, 150, 134, 86, 58)
    p.both("#26272b", arc(120, 50, 14, 0, 360))
    p.part("claws", red, 10, 5, 78, 72)
    p.part("eyes", "#26272b", 106, 36, 134, 64)
    return p


def leaf():
    p = Piece("leaf", "motif-clear", 180, 300)
    p.blob(
        "#4f8a3c",
        [(92, 8), (140, 72), (164, 140), (146, 208), (90, 252), (34, 208), (16, 140), (44, 70)],
    )
    vein = "#cfe0a0"
    p.stroke(vein, 13, [(91, 44), (90, 250)])
    for y in (110, 156, 202):
        p.stroke(vein, 10, [(90, y), (132, y - 36)])
        p.stroke(vein, 10, [(90, y), (48, y - 36)])
    p.curve("#4f8a3c", 16, [(90, 250), (92, 272), (104, 292)])
    p.part("stem", "#4f8a3c", 80, 254, 112, 298)
    p.part("vein", vein, 80, 44, 100, 250)
    return p


def wheel():
    p = Piece("wheel", "motif-clear", 260, 260, axes=["columns", "rows"], upright="any")
    wood = "#8a5a2b"
    for at in range(4):
        a = math.radians(45 * at)
        dx, dy = 120 * math.cos(a), 120 * math.sin(a)
        p.stroke(wood, 17, [(130 - dx, 130 - dy), (130 + dx, 130 + dy)])
    p.stroke(wood, 26, arc(130, 130, 80, 0, 360))
    p.oval("#e0a83e", 130, 130, 30)
    p.part("hub", "#e0a83e", 100, 100, 160, 160)
    return p


def whale():
    p = Piece("whale", "motif-plain", 300, 220, ground="#f3ead7")
    navy = "#2e4a70"
    p.blob(
        navy,
        [
            (26, 120),
            (60, 72),
            (130, 62),
            (196, 88),
            (232, 92),
            (252, 66),
            (268, 92),
            (250, 130),
            (200, 170),
            (110, 180),
            (48, 164),
        ],
    )
    p.blob(navy, [(248, 78), (222, 40), (250, 36), (262, 58), (276, 34), (296, 46), (270, 86)])
    p.blob("#dfe7ea", [(30, 132), (80, 150), (150, 150), (188, 158), (120, 176), (52, 162)])
    p.oval("#f3ead7", 74, 112, 8)
    p.curve("#7fb3c8", 12, [(112, 62), (112, 36), (86, 20)])
    p.curve("#7fb3c8", 12, [(112, 62), (112, 36), (138, 20)])
    p.part("tail", navy, 222, 36, 296, 86)
    p.part("spout", "#7fb3c8", 80, 14, 144, 50)
    return p


def boat():
    p = Piece("boat", "motif-plain", 260, 260, ground="#bfe0ea")
    p.stroke("#5a3a24", 11, [(134, 20), (134, 190)])
    p.poly("#ffffff", [(148, 26), (232, 172), (148, 172)])
    p.poly("#d8392f", [(120, 50), (120, 172), (44, 172)])
    p.poly("#24406b", [(20, 188), (244, 188), (204, 240), (62, 240)])
    p.part("jib", "#d8392f", 44, 50, 120, 172)
    p.part("mainsail", "#ffffff", 148, 26, 232, 172)
    return p


def starfish():
    p = Piece("starfish", "motif-plain", 260, 250, ground="#e8d8b4", axes=["columns"])
    points = []
    for at in range(10):
        a = math.radians(-90 + 36 * at)
        radius = (96, 48)[at % 2]
        points.append((130 + radius * math.cos(a), 134 + radius * math.sin(a)))
    p.poly("#d96a4b", points)
    for at in range(5):
        a = math.radians(-90 + 72 * at)
        p.stroke("#d96a4b", 26, [(130, 134), (130 + 100 * math.cos(a), 134 + 100 * math.sin(a))])
        p.oval("#f6dfc0", 130 + 54 * math.cos(a), 134 + 54 * math.sin(a), 9)
    p.oval("#f6dfc0", 130, 134, 13)
    p.part("arms", "#d96a4b", 115, 16, 145, 60)
    return p


def shell():
    p = Piece("shell", "motif-plain", 240, 230, ground="#ffffff", axes=["columns"])
    fan = [(120, 216)] + [(x, y) for x, y in arc(120, 124, 106, 168, 372)]
    p.poly("#e39a8d", fan)
    p.poly("#e39a8d", [(84, 196), (156, 196), (164, 222), (76, 222)])
    for dx in (-66, -24, 24, 66):
        p.stroke("#8d3f4a", 9, [(120 + dx * 0.18, 196), (120 + dx, 50 + abs(dx) * 0.35)])
    p.part("fan", "#e39a8d", 20, 20, 220, 180)
    return p


def tulip():
    p = Piece("tulip", "motif-plain", 200, 320, ground="#f6f1e4", axes=[], grain=2.5)
    p.stroke("#477a3f", 16, [(100, 130), (100, 306)])
    p.blob("#477a3f", [(98, 292), (60, 250), (38, 186), (30, 170), (72, 210), (98, 256)])
    p.blob("#477a3f", [(102, 292), (136, 260), (160, 206), (170, 184), (132, 216), (102, 262)])
    p.poly(
        "#c73a55",
        smooth([(100, 148), (52, 124), (42, 60), (46, 18)], closed=False)
        + [(74, 54), (100, 14), (126, 54)]
        + smooth([(154, 18), (158, 60), (148, 124), (100, 148)], closed=False),
    )
    p.part("leaves", "#477a3f", 30, 170, 98, 292)
    return p


def star():
    p = Piece("star", "motif-plain", 240, 240, ground="#1b2c55", axes=["columns"])
    points = []
    for at in range(10):
        a = math.radians(-90 + 36 * at)
        radius = (112, 46)[at % 2]
        points.append((120 + radius * math.cos(a), 126 + radius * math.sin(a)))
    p.poly("#f1c84b", points)
    p.part("point", "#f1c84b", 105, 14, 135, 60)
    return p


def moon():
    p = Piece("moon", "motif-plain", 220, 260, ground="#22304a")
    p.oval("#f4e7b8", 104, 132, 96)
    p.oval("#22304a", 148, 108, 82)
    for x, y, r in ((150, 70, 15), (178, 132, 13), (140, 150, 11)):
        p.oval("#f4e7b8", x, y, r)
    p.part("crescent", "#f4e7b8", 8, 60, 70, 228)
    return p


def buoy():
    p = Piece("buoy", "motif-plain", 200, 300, ground="#fdfdfb", axes=["columns"])
    p.stroke("#3a3f45", 12, [(100, 18), (100, 70)])
    p.poly("#d43b2c", [(76, 68), (124, 68), (138, 124), (62, 124)])
    p.poly("#f2c230", [(62, 124), (138, 124), (152, 184), (48, 184)])
    p.poly("#d43b2c", [(48, 184), (152, 184), (164, 234), (36, 234)])
    p.poly("#3a3f45", [(14, 234), (186, 234), (160, 282), (40, 282)])
    p.oval("#f2c230", 100, 26, 18)
    p.part("lamp", "#f2c230", 82, 8, 118, 44)
    return p


def cherries():
    p = Piece("cherries", "motif-plain", 240, 250, ground="#fbf7f0", grain=2)
    p.curve("#5b7f35", 12, [(70, 170), (92, 100), (152, 30)])
    p.curve("#5b7f35", 12, [(172, 178), (172, 100), (152, 30)])
    p.blob("#5b7f35", [(152, 34), (178, 14), (214, 20), (232, 44), (204, 60), (172, 54)])
    p.oval("#b8232f", 66, 190, 46)
    p.oval("#b8232f", 176, 198, 46)
    p.oval("#f3b9b0", 50, 174, 12)
    p.oval("#f3b9b0", 160, 182, 12)
    p.part("leaf", "#5b7f35", 160, 14, 232, 60)
    p.part("left stalk", "#5b7f35", 74, 84, 108, 148)
    p.part("right stalk", "#5b7f35", 156, 84, 186, 148)
    return p


def spruce():
    p = Piece("spruce", "motif-plain", 200, 300, ground="#f4f1ea", axes=["columns"], grain=2.5)
    green = "#2e6247"
    p.box("#7a5232", 86, 246, 114, 290)
    for top, bottom, half in ((12, 96, 44), (62, 166, 66), (124, 250, 90)):
        p.poly(green, [(100, top), (100 + half, bottom), (100 - half, bottom)])
    p.part("trunk", "#7a5232", 86, 250, 114, 290)
    p.part("tip", green, 85, 12, 115, 60)
    return p


def puffin():
    p = Piece("puffin", "motif-plain", 210, 280, ground="#a9cfd6")
    black, white, bill = "#23262d", "#f8f6f0", "#e2682a"
    p.blob(
        black,
        [
            (104, 22),
            (150, 50),
            (166, 110),
            (178, 180),
            (166, 240),
            (112, 256),
            (72, 236),
            (58, 170),
            (60, 90),
            (66, 44),
        ],
    )
    p.blob(white, [(66, 124), (104, 120), (122, 170), (116, 236), (88, 238), (66, 204), (58, 160)])
    p.blob(white, [(66, 56), (104, 44), (132, 70), (112, 100), (72, 98)])
    p.poly(bill, [(68, 52), (16, 80), (68, 104)])
    p.oval(black, 96, 68, 7)
    p.stroke(bill, 14, [(96, 252), (84, 272), (60, 272)])
    p.stroke(bill, 14, [(138, 250), (130, 272), (108, 272)])
    p.part("bill", bill, 16, 52, 68, 104)
    p.part("belly", white, 60, 124, 122, 236)
    return p


def mountains():
    p = Piece("mountains", "line", 300, 190, strokes=1, holes=0)
    p.stroke(INK, 13, [(12, 172), (92, 64), (128, 110), (184, 14), (290, 172)])
    p.part("peak", INK, 160, 8, 208, 50)
    return p


def bird():
    p = Piece("bird-outline", "line", 320, 220, ground="#ffffff", strokes=1, holes=1)
    body = [
        (18, 92),
        (60, 58),
        (104, 64),
        (160, 96),
        (232, 92),
        (304, 60),
        (270, 128),
        (200, 178),
        (120, 184),
        (64, 150),
        (52, 104),
    ]
    p.stroke("#2a2f3a", 12, smooth(body) + [smooth(body)[0]])
    p.part("bill", "#2a2f3a", 10, 80, 50, 110)
    return p


def waves():
    p = Piece("wave-lines", "line", 360, 190, strokes=3, holes=0, upright="any")
    for y in (42, 96, 150):
        points = [(12 + x * 3, y + 24 * math.sin(x * 3 / 336 * 4 * math.pi)) for x in range(113)]
        p.stroke("#20608f", 13, points)
    return p


def sail():
    p = Piece("sail-outline", "line", 244, 290, ground="#f7f4ec", strokes=3, holes=2, grain=2)
    ink = "#27435f"
    p.stroke(ink, 13, [(114, 18), (114, 204), (16, 204), (114, 18)])
    p.stroke(ink, 13, [(154, 52), (228, 204), (154, 204), (154, 52)])
    p.stroke(ink, 13, [(16, 240), (52, 276), (192, 276), (228, 240)])
    p.part("hull", ink, 16, 234, 228, 282)
    return p


def sunrise():
    p = Piece("sunrise", "line", 300, 180, axes=["columns"], strokes=6, holes=0)
    ink = "#b3541e"
    p.stroke(ink, 14, arc(150, 160, 58, 180, 360))
    for angle in (196, 233, 270, 307, 344):
        a = math.radians(angle)
        near, far = 92, 138
        p.stroke(
            ink,
            14,
            [
                (150 + near * math.cos(a), 160 + near * math.sin(a)),
                (150 + far * math.cos(a), 160 + far * math.sin(a)),
            ],
        )
    p.part("sun", ink, 85, 95, 215, 165)
    return p


def key():
    p = Piece("key", "line", 140, 320, ground="#ffffff", strokes=1, holes=1)
    ink = "#3d3a36"
    p.stroke(ink, 16, arc(70, 66, 48, 0, 360))
    p.stroke(ink, 16, [(70, 114), (70, 306)])
    p.stroke(ink, 16, [(70, 258), (116, 258)])
    p.stroke(ink, 16, [(70, 300), (124, 300)])
    p.part("bow", ink, 14, 10, 126, 122)
    return p
