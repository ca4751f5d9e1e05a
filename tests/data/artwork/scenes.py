"""Gradients and pictures like photographs, computed in linear light."""

import numpy
from PIL import Image


def encoded(light):
    light = numpy.clip(light, 0, 1)
    srgb = numpy.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return Image.fromarray(numpy.uint8(numpy.rint(srgb * 255)), "RGB")


def linear(colour):
    srgb = numpy.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return numpy.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def ramp(at, stops):
    """Colours at places 0 to 1, between stops (place, colour)."""
    places = [place for place, _ in stops]
    colours = numpy.array([linear(colour) for _, colour in stops])
    return numpy.stack([numpy.interp(at, places, colours[:, i]) for i in range(3)], axis=-1)


def noise(rng, height, width, rough, tall=1.0):
    """Smooth noise, mean 0 and spread 1; octaves from `rough` cells across."""
    total = numpy.zeros((height, width))
    weight, cells = 1.0, rough
    while cells < width:
        rows = max(int(cells * height / width * tall), 1) + 3
        grid = rng.standard_normal((rows, cells + 3))
        y = numpy.linspace(0, rows - 2.001, height)
        x = numpy.linspace(0, cells + 0.999, width)
        j, i = numpy.int64(y), numpy.int64(x)
        v, u = (y - j)[:, None], (x - i)[None, :]
        v, u = v * v * (3 - 2 * v), u * u * (3 - 2 * u)
        upper = grid[j][:, i] * (1 - u) + grid[j][:, i + 1] * u
        lower = grid[j + 1][:, i] * (1 - u) + grid[j + 1][:, i + 1] * u
        total += weight * (upper * (1 - v) + lower * v)
        weight, cells = weight * 0.55, cells * 2
    return (total - total.mean()) / total.std()


def grid(height, width):
    y, x = numpy.mgrid[0:height, 0:width]
    return (y + 0.5) / height, (x + 0.5) / width


def over(light, paint, cover):
    cover = numpy.clip(cover, 0, 1)[..., None]
    return light * (1 - cover) + paint * cover


def ridge(rng, width, rough):
    return noise(rng, 8, width, rough)[3]


def lake(rng):
    height, width = 200, 320
    y, x = grid(height, width)
    shore = 0.58
    light = ramp(y / shore, [(0, "#6fa0cc"), (0.6, "#bcd6e6"), (1, "#f0e6d6")])
    clouds = noise(rng, height, width, 4, 2.5)
    light = over(light, linear("#f6f4f0"), (clouds - 0.4) * 0.7 * (y < 0.4) * (1 - y / 0.4))
    for depth, level, size, colour in (
        (0, 0.34, 0.075, "#7f93ad"),
        (1, 0.44, 0.05, "#566f86"),
        (2, 0.53, 0.022, "#2f4a3f"),
    ):
        top = level - size * ridge(rng, width, 3 + 3 * depth)[None, :]
        face = linear(colour) * (1 + 0.12 * noise(rng, height, width, 12))[..., None]
        light = over(light, face, (y - top) * height)
        if depth == 0:
            snow = noise(rng, height, width, 16) * 0.02 + top + 0.05
            light = over(
                light, linear("#eef2f6"), ((y - top) * height > 0) * (snow - y) * height * 0.5
            )
    mirror = numpy.clip(numpy.int64((2 * shore - y[:, 0]) * height), 0, int(shore * height) - 1)
    water = light[mirror] * 0.72 + linear("#1d3a4c") * 0.2
    water *= (1 + 0.1 * noise(rng, height, width, 5, 9))[..., None]
    return over(light, water, (y - shore) * height)


def sunset(rng):
    height, width = 220, 320
    y, x = grid(height, width)
    sea = 0.62
    light = ramp(y / sea, [(0, "#2b3560"), (0.4, "#8a4f78"), (0.72, "#e2764f"), (1, "#fbc96a")])
    clouds = noise(rng, height, width, 3, 5)
    light = over(light, linear("#5b3a63"), (clouds - 0.3) * 0.5 * (y < 0.5))
    far = numpy.hypot((x - 0.62) * width, (y - 0.53) * height)
    light = light + numpy.exp(-((far / 40) ** 2))[..., None] * linear("#a04818")
    light = over(light, linear("#fff3c8"), 17 - far)
    wet = ramp((y - sea) / (1 - sea), [(0, "#d9764f"), (0.3, "#7a4868"), (1, "#1c2546")])
    glint = numpy.exp(-(((x - 0.62) / (0.03 + 0.16 * (y - sea).clip(0))) ** 2))
    ripple = noise(rng, height, width, 6, 10)
    wet = wet * (1 + 0.15 * ripple)[..., None]
    wet = over(wet, linear("#fbc470"), glint * (0.55 + 0.4 * ripple))
    return over(light, wet, (y - sea) * height)


def pebbles(rng):
    height, width = 220, 300
    y, x = numpy.mgrid[0:height, 0:width] + 0.5
    light = numpy.ones((height, width, 3)) * linear("#3b3833")
    shades = ["#8d8a86", "#b9ac9a", "#6d7680", "#d6cec0", "#a4785e", "#55585c", "#c9b08c"]
    for at in range(170):
        cx, cy = rng.uniform(-10, width + 10), rng.uniform(-10, height + 10)
        radius = rng.uniform(13, 34) * (1 - at / 420)
        flat, turn = rng.uniform(0.62, 0.95), rng.uniform(0, numpy.pi)
        dx, dy = x - cx, y - cy
        u = (dx * numpy.cos(turn) + dy * numpy.sin(turn)) / radius
        v = (dy * numpy.cos(turn) - dx * numpy.sin(turn)) / radius / flat
        r2 = u * u + v * v
        light = over(light, light * 0.35, (1.25 - r2 - 0.1 * v) * 1.2 * (r2 > 0.9))
        lit = 0.55 + 0.5 * numpy.sqrt(numpy.clip(1 - r2, 0, 1)) - 0.22 * (dx + dy) / radius * 0.5
        colour = linear(shades[int(rng.integers(len(shades)))]) * rng.uniform(0.8, 1.15)
        light = over(light, colour * lit[..., None], (1 - r2) * radius * 0.6)
    return light * (1 + 0.06 * noise(rng, height, width, 60))[..., None]


def forest(rng):
    height, width = 220, 300
    y, x = grid(height, width)
    light = ramp(y, [(0, "#9cc4e0"), (0.45, "#e6eee8"), (1, "#e6eee8")])
    for depth, colour in enumerate(("#7f9a8c", "#4d7060", "#24473a")):
        level = 0.38 + 0.1 * depth
        top = level + 0.05 * ridge(rng, width, 4)
        step, wide = 13 + 9 * depth, 0.62
        for trunk in range(-1, width // step + 2):
            centre = trunk * step + rng.uniform(-4, 4)
            tall = rng.uniform(0.08, 0.16) * (1 + 0.5 * depth)
            away = numpy.abs(numpy.arange(width) - centre) / (step * wide)
            jag = 0.012 * rng.standard_normal(width)
            top = numpy.minimum(top, level + 0.06 - tall * (1 - away) + jag * (away < 1))
        shade = (1 + 0.2 * noise(rng, height, width, 24))[..., None]
        light = over(light, linear(colour) * shade, (y - top[None, :]) * height)
    grass = ramp((y - 0.78) / 0.22, [(0, "#8a9a4a"), (1, "#5f7a34")])
    grass = grass * (1 + 0.22 * noise(rng, height, width, 40, 0.4))[..., None]
    return over(light, grass, (y - 0.78 - 0.01 * ridge(rng, width, 5)[None, :]) * height)


def dunes(rng):
    height, width = 200, 320
    y, x = grid(height, width)
    light = ramp(y, [(0, "#5f9bc8"), (0.5, "#d3e4ea"), (1, "#d3e4ea")])
    light = over(
        light,
        linear("#3f7f97") * (1 + 0.08 * noise(rng, height, width, 8, 8))[..., None],
        (y - 0.42) * height,
    )
    for level, swell, colours in (
        (0.52, 0.05, ("#e9d3a2", "#b99a68")),
        (0.7, 0.09, ("#f1dfb4", "#a98655")),
    ):
        top = level + swell * numpy.sin(x[0] * 7 + level * 9) + 0.01 * ridge(rng, width, 6)
        face = ramp((y - top[None, :]) / 0.3, [(0, colours[0]), (1, colours[1])])
        face = face * (1 + 0.05 * noise(rng, height, width, 30, 3))[..., None]
        light = over(light, face, (y - top[None, :]) * height)
    for blade in range(70):
        foot, lean = rng.uniform(0.02, 0.4), rng.uniform(-0.03, 0.08)
        long = rng.uniform(0.14, 0.3)
        up = numpy.clip((0.98 - y) / long, 0, 1)
        near = 1 - numpy.abs(x - foot - lean * up**2) * width / (1.6 * (1.05 - up))
        light = over(light, linear("#5c6f35") * rng.uniform(0.7, 1.3), near * (y > 0.98 - long))
    return light


def harbour(rng):
    height, width = 320, 200
    y, x = grid(height, width)
    light = ramp(y / 0.6, [(0, "#17233f"), (0.6, "#41507c"), (1, "#d58e6a")])
    town = 0.55 + 0.03 * numpy.round(2 * ridge(rng, width, 9))
    light = over(light, linear("#1a1c2b"), (y - town[None, :]) * height)
    tower = (numpy.abs(x - 0.3) < 0.035 + 0.03 * (y - 0.3)) * (y > 0.3) * (y < 0.6)
    light = over(light, linear("#d8d2c4") * (0.5 + 0.5 * (x < 0.3))[..., None], tower * 1.0)
    lamp = numpy.hypot((x - 0.3) * width, (y - 0.28) * height)
    light = light + numpy.exp(-((lamp / 16) ** 2))[..., None] * linear("#ffd877")
    wet = ramp((y - 0.6) / 0.4, [(0, "#a8705c"), (0.4, "#34406a"), (1, "#10182e")])
    ripple = noise(rng, height, width, 5, 6)
    wet = wet * (1 + 0.14 * ripple)[..., None]
    for place, colour in ((0.3, "#ffd877"), (0.55, "#e8a04c"), (0.78, "#d86a4a")):
        near = numpy.exp(-(((x - place) / 0.03) ** 2))
        wet = over(wet, linear(colour), near * (0.5 + 0.35 * ripple) * (1.5 - y))
        spark = numpy.hypot((x - place) * width, (y - 0.575) * height)
        light = over(light, linear(colour), 4.5 - spark)
    return over(light, wet, (y - 0.6) * height)


def sky(_):
    y, _ = grid(300, 200)
    return ramp(y, [(0, "#1f3f7a"), (0.45, "#6fa6d6"), (0.8, "#f3d9c0"), (1, "#f0a878")])


def rainbow(_):
    _, x = grid(160, 360)
    stops = ["#d8342f", "#ee8a2e", "#f2d23c", "#57a94a", "#2f86c4", "#4a4ea8", "#8d4a9e"]
    return ramp(x, [(at / 6, colour) for at, colour in enumerate(stops)])


def grey(_):
    y, x = grid(200, 300)
    return ramp(
        numpy.clip((x * 0.9 + y * 0.3) / 1.2, 0, 1),
        [(0, "#161616"), (0.5, "#808080"), (1, "#f6f6f6")],
    )


def blush(_):
    y, x = grid(220, 220)
    return ramp(
        numpy.hypot(x - 0.5, y - 0.5) / 0.71, [(0, "#fbe3d0"), (0.5, "#e79a9a"), (1, "#7b4a78")]
    )


GRADIENTS = [
    ("sky", sky, "up"),
    ("rainbow", rainbow, "along"),
    ("grey-ramp", grey, "any"),
    ("blush", blush, "any"),
]
SCENES = [
    ("lake", lake, "along"),
    ("sunset", sunset, "along"),
    ("pebbles", pebbles, "any"),
    ("forest-edge", forest, "along"),
    ("dunes", dunes, "along"),
    ("harbour-lights", harbour, "up"),
]
# Photographs that the tests hold already, used where they are.
HELD = [
    ("../pictures/coffee.jpg", "any"),
    ("../pictures/cat_grey.png", "up"),
    ("../pictures/buoys.png", "up"),
    ("../../../samples/harbour-dusk.jpg", "up"),
]
