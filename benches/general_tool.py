# What a general-purpose image library makes of pictures for a band: the baseline (c) of benches/refine.rs.
#
# Pillow resizes the part of the picture that the band shows with its Lanczos filter to a pixel a column and half row, and remaps it onto the palette with
# Floyd-Steinberg dithering. With at most 8 colours it first makes 8 of its own (median cut), and each takes the nearest of the palette in sRGB.
#
# Usage: python3 general_tool.py FOLDER PALETTES     (Pillow 11 or later; writes FOLDER/tool/NAME-COLUMNSxROWS-PALETTE-LIMIT.png)
import csv, os, sys
from PIL import Image

folder, palettes = sys.argv[1:3]
LENGTH, HALF = 1.3, 0.8


def placed(picture, columns, rows):
    """The middle of the picture in the band's shape, upright or turned a quarter, whichever keeps more."""
    width, height = columns * LENGTH, rows * HALF

    def kept(w, h):
        scale = max(width / w, height / h)
        return min(width / (w * scale), 1) * min(height / (h * scale), 1)

    if kept(picture.height, picture.width) > kept(picture.width, picture.height) + 1e-9:
        picture = picture.rotate(-90, expand=True)
    scale = max(width / picture.width, height / picture.height)
    w, h = width / scale, height / scale
    left, top = (picture.width - w) / 2, (picture.height - h) / 2
    return picture.resize((columns, rows), Image.LANCZOS, box=(max(left, 0), max(top, 0), min(left + w, picture.width), min(top + h, picture.height)))


def as_palette(colours):
    image = Image.new("P", (1, 1))
    flat = [c for colour in colours for c in colour]
    image.putpalette(flat + flat[:3] * (256 - len(colours)))
    return image


def nearest(colour, colours):
    return min(colours, key=lambda other: sum((a - b) ** 2 for a, b in zip(colour, other)))


os.makedirs(os.path.join(folder, "tool"), exist_ok=True)
for name in sorted(os.listdir(folder)):
    if not name.endswith((".png", ".jpg")):
        continue
    picture = Image.open(os.path.join(folder, name))
    if picture.convert("RGBA").getextrema()[3][0] < 255:
        continue
    picture = picture.convert("RGB")
    for file in ["tin", "shelf", "harbour"]:
        rows = csv.DictReader(open(os.path.join(palettes, file + ".csv")))
        owned = [tuple(bytes.fromhex(row["hex"])) for row in rows]
        for columns, count in [(9, 74), (21, 140), (81, 240)]:
            small = placed(picture, columns, count)
            for limit in [0, 8]:
                colours = owned
                if limit:
                    own = small.quantize(limit, Image.Quantize.MEDIANCUT).getpalette()[: 3 * limit]
                    snapped = {nearest(tuple(own[i : i + 3]), owned) for i in range(0, len(own), 3)}
                    colours = sorted(snapped)
                done = small.quantize(palette=as_palette(colours), dither=Image.Dither.FLOYDSTEINBERG)
                out = f"{os.path.splitext(name)[0]}-{columns}x{count}-{file}-{limit}.png"
                done.convert("RGB").save(os.path.join(folder, "tool", out))
