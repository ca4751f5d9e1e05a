"""Draws the artwork set and writes what is true of each piece to truth.json.

Run: python draw.py, with Pillow 13.0.0 and numpy 2.4.6; the same bytes each time.
"""

import json
import pathlib

import motifs
import numpy
import scenes
import strips
from PIL import Image

HERE = pathlib.Path(__file__).parent


def grained(picture, spread, seed):
    """Paper grain: a little uneven light, alike in all channels."""
    rng = numpy.random.default_rng(seed)
    pixels = numpy.asarray(picture, dtype=float)
    grain = scenes.noise(rng, *pixels.shape[:2], 50) * spread
    return Image.fromarray(numpy.uint8(numpy.clip(numpy.rint(pixels + grain[..., None]), 0, 255)))


def flat():
    groups = (
        motifs.clear,
        motifs.plain,
        motifs.lines,
        strips.borders,
        strips.words,
        strips.ornaments,
    )
    for seed, piece in enumerate(piece for group in groups for piece in group()):
        spread = piece.truth.pop("grain", 0)
        picture = piece.picture()
        if spread:
            picture = grained(picture, spread, seed)
        picture.save(HERE / piece.truth["file"], optimize=True)
        yield piece.truth


def continuous():
    made = [("gradient", *row) for row in scenes.GRADIENTS]
    made += [("photograph", *row) for row in scenes.SCENES]
    for seed, (kind, name, paint, upright) in enumerate(made):
        file = name + ".png"
        rng = numpy.random.default_rng(100 + seed)
        scenes.encoded(paint(rng)).save(HERE / file, optimize=True)
        yield toned(file, kind, upright)
    for file, upright in scenes.HELD:
        yield toned(file, "photograph", upright)


def toned(file, kind, upright):
    return {
        "file": file,
        "kind": kind,
        "ground": None,
        "colours": None,
        "axes": [],
        "strokes": None,
        "holes": None,
        "tile": None,
        "upright": upright,
        "parts": [],
    }


def main():
    truth = [*flat(), *continuous()]
    lines = ",\n".join("  " + json.dumps(piece) for piece in truth)
    (HERE / "truth.json").write_text("[\n" + lines + "\n]\n")
    print(len(truth), "pieces")


main()
