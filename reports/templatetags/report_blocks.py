"""What the block templates need: which fragment draws a block, where a photograph is, a map as an image."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from urllib.parse import quote

from django import template

from reports.blocks import Block, Column, Heading, NoticeKind, Table

register = template.Library()

_WORD_START = re.compile(r"(?<!^)(?=[A-Z])")
MANY_PARTS = 3
_NOTICE_CLASSES = {NoticeKind.CAUTION: "soon", NoticeKind.OPEN: "open", NoticeKind.LATE: "late"}


@register.filter
def fragment(block: Block) -> str:
    """The template that draws a block: a PhotoGrid is drawn by reports/_block_photo_grid.html."""
    return f"reports/_block_{_WORD_START.sub('_', type(block).__name__).lower()}.html"


@dataclass(slots=True)
class Section:
    """What stands under one heading of level 2; what comes before the first has none."""

    heading: Block | None = None
    blocks: list[Block] = field(default_factory=list)

    @property
    def parts(self) -> list[str]:
        """What lies in it, by its own headings and the captions of its tables; none of a short one.

        An agreement's clauses and a sheet's sums have no headings of their own: what is signed is never folded.
        """
        headings = [block.text for block in self.blocks if isinstance(block, Heading)]
        tables = [block.caption for block in self.blocks if isinstance(block, Table)]
        return headings + tables if len(headings) >= MANY_PARTS else []


@register.filter
def sections(blocks: Sequence[Block]) -> list[Section]:
    """The blocks of a report by their headings of level 2."""
    found = [Section()]
    for block in blocks:
        if isinstance(block, Heading) and block.level == 2:
            found.append(Section(block))
        else:
            found[-1].blocks.append(block)
    return found


@register.filter
def url_for(photo_urls: Mapping[str, str], key: str) -> str:
    """The address of a photograph, or nothing when it can no longer be had."""
    return photo_urls.get(key, "")


@register.filter
def svg_image(svg: str) -> str:
    """SVG text as a data: address for an <img>, where no script or style in it can run."""
    return f"data:image/svg+xml;charset=utf-8,{quote(svg, safe='')}"


@register.filter
def cells(row: tuple[str, ...], table: Table) -> Iterator[tuple[Column, str]]:
    """Each cell of a row with its column."""
    return zip(table.columns, row, strict=True)


@register.filter
def notice_class(kind: NoticeKind) -> str:
    """The page's class for a notice; its word is always written out beside it."""
    return _NOTICE_CLASSES[kind]
