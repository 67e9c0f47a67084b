"""What the block templates need: which fragment draws a block, where a photograph is, a map as an image."""

import re
from collections.abc import Iterator, Mapping
from urllib.parse import quote

from django import template

from reports.blocks import Block, Column, NoticeKind, Table

register = template.Library()

_WORD_START = re.compile(r"(?<!^)(?=[A-Z])")
_NOTICE_CLASSES = {NoticeKind.CAUTION: "soon", NoticeKind.OPEN: "open", NoticeKind.LATE: "late"}


@register.filter
def fragment(block: Block) -> str:
    """The template that draws a block: a PhotoGrid is drawn by reports/_block_photo_grid.html."""
    return f"reports/_block_{_WORD_START.sub('_', type(block).__name__).lower()}.html"


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
