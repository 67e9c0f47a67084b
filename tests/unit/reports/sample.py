"""Reports to try the renderers with: a short one, a long one, and one whose every text tries to be something else."""

import io
from datetime import date

from PIL import Image

from reports.blocks import (
    Block,
    Bullets,
    Column,
    Fact,
    FactList,
    Heading,
    MapBlock,
    Notice,
    NoticeKind,
    PageBreak,
    Paragraph,
    Photo,
    PhotoGrid,
    PhotoPair,
    Report,
    SignatureBox,
    Table,
)

CLUB = "Ravensand & District Search Club"
HOSTILE = '#read("/etc/passwd") $x^2$ *b* _i_ <script>alert(1)</script> @ref [x] \\ `raw` = {{ title }}'
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="600" height="300" viewBox="0 0 600 300">'
    '<rect x="5" y="5" width="590" height="290" fill="none" stroke="#000"/>'
    '<text x="40" y="60" font-size="20">Long Marsh</text></svg>'
)
HOLES = Table(
    "Holes",
    (Column("Hole"), Column("Depth, cm", numeric=True), Column("Filled")),
    (("1", "12", "yes"), ("2", "8", "no")),
    "Depths to the nearest centimetre.",
)
EVERY_BLOCK: tuple[Block, ...] = (
    Notice(NoticeKind.LATE, "The clock ended on 12 September 2026.", "Report to the coroner"),
    Notice(NoticeKind.CAUTION, "Buried services cross the corner."),
    Notice(NoticeKind.OPEN, "Hole 2 is not filled."),
    Heading("Where"),
    MapBlock(SVG, "Map of Long Marsh with two holes", "North is up."),
    Heading("The day", 3),
    Paragraph("One line.\nAnother.\n\nA new paragraph."),
    FactList((Fact("Weather", "dry"), Fact("Soil", "clay"))),
    HOLES,
    PhotoGrid((Photo("coin", "A silver coin, worn", "Find 012"), Photo("lost", "A buckle")), 2),
    PhotoPair("Hole 1", Photo("coin", "The hole, open"), None),
    Bullets(("First", "Second")),
    Bullets(("One", "Two"), ordered=True),
    PageBreak(),
    SignatureBox("Received with thanks.", ("For the landholder", "For the club")),
)


def report(*blocks: Block, **changes: object) -> Report:
    values: dict[str, object] = {
        "kind": "visit",
        "number": "RD-2026-031",
        "title": "Visit to Marsh Farm",
        "subtitle": "Sunday 13 September 2026",
        "club": CLUB,
        "issued_on": date(2026, 9, 14),
        "facts": (Fact("Site", "Long Marsh (RD-07)"), Fact("People", "6")),
        "blocks": blocks,
    }
    return Report(**{**values, **changes})  # type: ignore[arg-type]


def hostile(text: str = HOSTILE) -> Report:
    """Every text of every block is `text`."""
    return report(
        Heading(text, 3),
        Paragraph(text),
        FactList((Fact(text, text),)),
        Table(text, (Column(text), Column(text, numeric=True)), ((text, text),), text),
        PhotoGrid((Photo("coin", text or "-", text),)),
        PhotoPair(text, None, Photo("coin", text or "-", text), text, text),
        MapBlock(SVG, text, text),
        Notice(NoticeKind.OPEN, text, text),
        Bullets((text,)),
        SignatureBox(text, (text,)),
        title=text,
        subtitle=text,
        club=text,
        number=text[:40],
        facts=(Fact(text, text),),
    )


def jpeg(width: int = 480, height: int = 360, colour: tuple[int, int, int] = (150, 120, 80)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(out, "JPEG", quality=85)
    return out.getvalue()


PHOTOS = {"coin": jpeg()}
