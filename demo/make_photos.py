"""Draw the demo boat's photos: `python demo/make_photos.py`. Plate under a lamp, pits, chalk: all invented.

The drawn files lie in the repository, because another version of Pillow may write other bytes.
"""

from __future__ import annotations

import math
import random
from pathlib import Path
from typing import Any

import tomli
from PIL import Image, ImageDraw, ImageFilter

HERE = Path(__file__).parent
SIZE = (1200, 900)
CHALK = (232, 232, 224)


def draw(data: dict[str, Any], path: Path) -> None:
    """One photo of one place: brushed plate, its pits, the number in its ring."""
    rng = random.Random(data["file"])
    image = _plate(rng)
    pen = ImageDraw.Draw(image)
    if data.get("seam"):
        pen.polygon([(0, 470), (1200, 430), (1200, 452), (0, 500)], fill=(38, 36, 34))
    for number in range(data["pits"]):
        if data.get("ring"):
            angle = number / data["pits"] * math.tau
            at = (560 + 210 * math.cos(angle) + rng.gauss(0, 12), 500 + 150 * math.sin(angle) + rng.gauss(0, 12))
        else:
            at = (rng.gauss(600, 190), rng.gauss(500, 120))
        _pit(pen, rng, at, rng.uniform(8, 34) * (3 if data["pits"] < 5 else 1))
    image = image.filter(ImageFilter.GaussianBlur(1.2))
    pen = ImageDraw.Draw(image)
    if not data["pits"] and not data.get("seam"):
        for column in range(4):
            x, y = 380 + 110 * column, 520 + 25 * (column % 2)
            pen.line([(x - 14, y), (x + 14, y)], fill=CHALK, width=6)
            pen.line([(x, y - 14), (x, y + 14)], fill=CHALK, width=6)
    else:
        pen.rectangle([330, 330, 860, 680], outline=CHALK, width=5)
    pen.ellipse([70, 70, 250, 230], outline=CHALK, width=9)
    pen.text((112, 104), str(data["chalk"]), fill=CHALK, font_size=92)
    pen.line([(250, 190), (340, 330)], fill=CHALK, width=6)
    exif = Image.Exif()
    exif[0x010F] = "invented"
    details = exif.get_ifd(0x8769)
    details[0x9003] = f"{data['taken']:%Y:%m:%d %H:%M:%S}"
    details[0x9011] = "+01:00"
    if data.get("located"):
        # A point in the open sea: where it was taken must not reach the papers.
        exif.get_ifd(0x8825).update({1: "N", 2: (65.0, 0.0, 0.0), 3: "E", 4: (3.0, 0.0, 0.0)})
    image.save(path, "JPEG", quality=62, exif=exif)


def _plate(rng: random.Random) -> Image.Image:
    """Brushed metal with a lamp from one side."""
    noise = Image.frombytes(
        "L", (300, 225), bytes(int(min(max(rng.gauss(128, 26), 0), 255)) for _ in range(300 * 225))
    )
    streaks = noise.resize((3600, 225)).filter(ImageFilter.GaussianBlur(2)).resize(SIZE)
    lamp = Image.linear_gradient("L").resize(SIZE)
    grey = Image.blend(streaks, lamp, 0.35)
    return Image.merge("RGB", (grey.point(lambda v: v * 0.93), grey.point(lambda v: v * 0.95), grey))


def _pit(pen: ImageDraw.ImageDraw, rng: random.Random, at: tuple[float, float], radius: float) -> None:
    x, y = at
    edge = [
        (x + radius * rng.uniform(0.75, 1.2) * math.cos(step / 9 * math.tau),
         y + radius * 0.85 * rng.uniform(0.75, 1.2) * math.sin(step / 9 * math.tau))
        for step in range(9)
    ]  # fmt: skip
    pen.polygon([(px - radius * 0.25, py - radius * 0.25) for px, py in edge], fill=(205, 206, 204))
    pen.polygon(edge, fill=(52, 49, 46))
    inner = [(x + (px - x) * 0.55 + radius * 0.1, y + (py - y) * 0.55 + radius * 0.1) for px, py in edge]
    pen.polygon(inner, fill=(24, 22, 21))


if __name__ == "__main__":
    told = tomli.loads((HERE / "sandmartin.toml").read_text(encoding="utf-8"))
    folder = HERE / "sandmartin-photos"
    folder.mkdir(exist_ok=True)
    for photo in told["photo"]:
        draw(photo, folder / photo["file"])
        print(folder / photo["file"])
