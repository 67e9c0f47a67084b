"""A report as plain text, line by line: what is kept as signed, and what an e-mail can carry."""

from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from reports.blocks import (
    Block,
    Bullets,
    FactList,
    Heading,
    MapBlock,
    Notice,
    PageBreak,
    Paragraph,
    PhotoGrid,
    PhotoPair,
    Report,
    SignatureBox,
    Table,
)


def plain_report(report: Report) -> str:
    """Every word of the report in its order; a map or photograph is given by the words that stand in for it."""
    lines = [f"{report.club} · {report.number}", report.title, report.subtitle]
    lines += [f"{fact.label}: {fact.value}" for fact in report.facts]
    for block in report.blocks:
        lines += ["", *_lines(block)] if isinstance(block, Heading) else _lines(block)
    issued = report.issued_on
    return "\n".join([*lines, "", _("Issued %(day)s") % {"day": date_format(issued, "j F Y")}])


def _lines(block: Block) -> Iterator[str]:
    match block:
        case Heading() | Paragraph():
            yield block.text
        case FactList():
            yield from (f"{fact.label}: {fact.value}" for fact in block.facts)
        case Table():
            yield from _table(block)
        case Bullets():
            marks = (f"{n}." if block.ordered else "-" for n in range(1, len(block.items) + 1))
            yield from (f"{mark} {item}" for mark, item in zip(marks, block.items, strict=True))
        case Notice():
            yield f"{block.title or block.kind.word}: {block.text}"
        case SignatureBox():
            yield from (block.statement, *(f"- {person}" for person in block.people))
        case _:
            yield from _pictures(block)


def _pictures(block: MapBlock | PhotoGrid | PhotoPair | PageBreak) -> Iterator[str]:
    match block:
        case MapBlock():
            yield f"[{block.alt}]"
        case PhotoGrid():
            yield from (f"[{photo.alt}]" for photo in block.photos)
        case PhotoPair():
            yield f"[{block.title}]"
        case PageBreak():
            yield ""


def _table(table: Table) -> Iterator[str]:
    yield f"{table.caption}:"
    for row in table.rows:
        cells = zip(table.columns, row, strict=True)
        yield "- " + "; ".join(f"{column.label}: {cell}" for column, cell in cells if cell)
    if table.note:
        yield table.note
