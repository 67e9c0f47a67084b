"""Drawn photographs for the demo: objects on a scale card, and holes open and filled."""

from collections.abc import Iterator
from io import BytesIO
from random import Random

from PIL import Image, ImageDraw

from web.photos import TakenPhoto, take_in

GROUND = {"open": "#5b4632", "after": "#9a8a5a", "before": "#a39360"}
METAL = {
    "silver": "#c7c9cc",
    "gold": "#d9b23c",
    "copper alloy": "#6f7d4c",
    "lead": "#8d8f92",
    "iron": "#6b3f2a",
}


def object_photo(shape: str, material: str, rng: Random) -> TakenPhoto:
    """Draw `shape` (disc, ring, bar, axe) of `material` on card with a centimetre scale."""
    image = Image.new("RGB", (640, 480), "#efe9dc")
    draw = ImageDraw.Draw(image)
    colour, edge = METAL.get(material, "#777777"), "#2e2a24"
    box = (220 + rng.randrange(-9, 9), 120, 420, 320 + rng.randrange(-9, 9))
    if shape == "ring":
        draw.ellipse(box, outline=colour, width=26)
    elif shape == "bar":
        draw.rounded_rectangle((190, 190, 450, 250), 12, fill=colour, outline=edge, width=3)
    elif shape == "axe":
        draw.polygon(
            [(200, 150), (330, 190), (440, 130), (460, 300), (330, 250), (205, 290)],
            fill=colour,
            outline=edge,
        )
    else:
        draw.ellipse(box, fill=colour, outline=edge, width=4)
        for _ in range(40):
            x, y = rng.randrange(235, 405), rng.randrange(135, 305)
            draw.point((x, y), fill=edge)
    for centimetre in range(6):
        draw.rectangle(
            (120 + centimetre * 80, 420, 200 + centimetre * 80, 436),
            fill=["#1d1a16", "#ffffff"][centimetre % 2],
        )
    return _taken(image)


def hole_photo(stage: str, rng: Random) -> TakenPhoto:
    """Draw the ground before, open or filled."""
    image = Image.new("RGB", (640, 480), GROUND["before"])
    draw = ImageDraw.Draw(image)
    for x, y, length in _stalks(rng):
        draw.line((x, y, x + 2, y - length), fill="#d8c98a", width=3)
    if stage == "open":
        draw.ellipse((220, 150, 420, 330), fill="#3c2d20", outline="#241a12", width=5)
    elif stage == "after":
        draw.ellipse((230, 165, 410, 320), fill="#86764a")
    return _taken(image)


def _stalks(rng: Random) -> Iterator[tuple[int, int, int]]:
    for _ in range(160):
        yield rng.randrange(0, 640), rng.randrange(20, 480), rng.randrange(8, 26)


def _taken(image: Image.Image) -> TakenPhoto:
    out = BytesIO()
    image.save(out, "JPEG", quality=80)
    out.seek(0)
    return take_in(_Upload(out.getvalue()))


class _Upload(BytesIO):
    """A drawn picture as an upload: name and size beside the bytes."""

    def __init__(self, data: bytes) -> None:
        super().__init__(data)
        self.name, self.size = "drawn.jpg", len(data)
