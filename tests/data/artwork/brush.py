"""Drawing tools: filled shapes and strokes with smooth edges, and the truth about each piece."""

import math

from PIL import Image, ImageDraw

# Every pixel is the mean of so many by so many.
FINE = 6


def rgb(colour):
    return tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5))


def smooth(points, closed=True, steps=12):
    """A Catmull-Rom curve through the points."""
    count = len(points)
    curve = []
    for at in range(count if closed else count - 1):
        if closed:
            p = [points[(at + step) % count] for step in (-1, 0, 1, 2)]
        else:
            p = [points[min(max(at + step, 0), count - 1)] for step in (-1, 0, 1, 2)]
        for step in range(steps):
            t = step / steps
            curve.append(
                tuple(
                    0.5
                    * (
                        2 * p[1][i]
                        + (p[2][i] - p[0][i]) * t
                        + (2 * p[0][i] - 5 * p[1][i] + 4 * p[2][i] - p[3][i]) * t * t
                        + (3 * p[1][i] - p[0][i] - 3 * p[2][i] + p[3][i]) * t**3
                    )
                    for i in (0, 1)
                )
            )
    return curve if closed else curve + [points[-1]]


def arc(x, y, radius, start, end, steps=48):
    """Points of an arc; degrees clockwise from the right, as y runs down."""
    angles = [math.radians(start + (end - start) * at / steps) for at in range(steps + 1)]
    return [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles]


class Piece:
    """One piece of artwork. Coordinates are pixels from the upper left."""

    def __init__(self, name, kind, width, height, ground="clear", **truth):
        self.name, self.width, self.height = name, width, height
        self.truth = {
            "file": name + ".png",
            "kind": kind,
            "ground": ground,
            "colours": [],
            "axes": [],
            "strokes": None,
            "holes": None,
            "tile": None,
            "upright": "up",
            "parts": [],
            **truth,
        }
        fill = (0, 0, 0, 0) if ground in ("clear", None) else rgb(ground) + (255,)
        self.canvas = Image.new("RGBA", (width * FINE, height * FINE), fill)
        self.brush = ImageDraw.Draw(self.canvas)

    def _colour(self, colour):
        if colour != self.truth["ground"] and colour not in self.truth["colours"]:
            self.truth["colours"].append(colour)
        return rgb(colour) + (255,)

    def poly(self, colour, points):
        self.brush.polygon([(x * FINE, y * FINE) for x, y in points], fill=self._colour(colour))

    def blob(self, colour, points):
        self.poly(colour, smooth(points))

    def both(self, colour, points, curved=False):
        """A shape and its mirror image, left and right."""
        points = smooth(points) if curved else points
        self.poly(colour, points)
        self.poly(colour, [(self.width - x, y) for x, y in points])

    def oval(self, colour, x, y, rx, ry=None):
        ry = rx if ry is None else ry
        box = [(x - rx) * FINE, (y - ry) * FINE, (x + rx) * FINE - 1, (y + ry) * FINE - 1]
        self.brush.ellipse(box, fill=self._colour(colour))

    def box(self, colour, left, top, right, bottom):
        self.poly(colour, [(left, top), (right, top), (right, bottom), (left, bottom)])

    def stroke(self, colour, width, points):
        """A line with round ends and joins."""
        fill, half = self._colour(colour), width * FINE / 2
        fine = [(x * FINE, y * FINE) for x, y in points]
        for (x, y), (u, v) in zip(fine, fine[1:]):
            length = math.hypot(u - x, v - y)
            if length > 0:
                a, b = (v - y) / length * half, (x - u) / length * half
                corners = [(x + a, y + b), (u + a, v + b), (u - a, v - b), (x - a, y - b)]
                self.brush.polygon(corners, fill=fill)
        for x, y in fine:
            self.brush.ellipse([x - half, y - half, x + half, y + half], fill=fill)

    def curve(self, colour, width, points):
        self.stroke(colour, width, smooth(points, closed=False))

    def part(self, name, colour, left, top, right, bottom):
        """A part that must still be there: what it is, its colour, and where."""
        self.truth["parts"].append(
            {"name": name, "colour": colour, "box": [left, top, right - left, bottom - top]}
        )

    def picture(self):
        """The pixels, each the mean of its fine ones."""
        small = self.canvas.convert("RGBa").reduce(FINE).convert("RGBA")
        return small if self.truth["ground"] == "clear" else small.convert("RGB")
