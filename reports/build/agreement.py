"""The agreement of a permission: its terms under the twenty headings of a written agreement, ready to be signed.

Source of the headings: facts/trade.md 1.2 (common practice). Where nothing is agreed under one of them the text
says so. The only promises it adds are the club's own way of working: holes filled, scrap taken away, finds
reported, a pause that takes effect at once.
"""

from collections.abc import Callable, Iterable
from datetime import date

from geo.measure import to_shape
from geo.position import Country
from geo.svgmap import NATIONAL_GRID, Layers, Shape, svg_map
from permissions.models import Permission, Site, SiteParty
from permissions.models.site import Capacity
from permissions.terms import long_date
from reports.blocks import (
    Block,
    Bullets,
    Column,
    Heading,
    MapBlock,
    Paragraph,
    Report,
    SignatureBox,
    Table,
)
from reports.build.agreement_draft import Draft, each_site, party_name, read_draft, said
from reports.build.common import background_of
from web.templatetags.stubble import area


def agreement_report(permission: Permission, *, number: str, on: date) -> Report:
    """Return the agreement over the permission's sites as its terms and parties stand on `on`; constant queries."""
    draft = read_draft(permission, on)
    blocks: list[Block] = []
    for place, (title, write) in enumerate(CLAUSES, 1):
        blocks += [Heading(f"{place}. {title}"), *write(draft)]
    return Report(
        kind="agreement",
        number=number,
        title="Agreement to search",
        subtitle=permission.title,
        club=draft.club.name,
        issued_on=on,
        facts=(),
        blocks=tuple(blocks),
    )


def _parties(draft: Draft) -> list[Block]:
    fields: dict[tuple[str, str], list[str]] = {}
    for party in draft.parties:
        fields.setdefault((party_name(party), str(party.get_capacity_display())), []).append(
            _code_of(draft, party)
        )
    rows = tuple((who, capacity, ", ".join(codes)) for (who, capacity), codes in fields.items())
    columns = (Column("Landholder"), Column("Capacity"), Column("Fields"))
    club = f"{draft.club.name} (“the club”) and the landholders named here agree what follows."
    return [Paragraph(club), Table("The landholders", columns, rows)]


def _code_of(draft: Draft, party: SiteParty) -> str:
    return next(site.code for site in draft.sites if site.pk == party.site_id)


def _land(draft: Draft) -> list[Block]:
    columns = (
        Column("Field"),
        Column("Name"),
        Column("Farm or estate"),
        Column("Parish"),
        Column("Area"),
    )
    rows = tuple(
        (s.code, s.name, s.holding, s.parish, area(s.area_m2, draft.club.units)) for s in draft.sites
    )
    drawn = _map(draft)
    return [Table("The land of this agreement", columns, rows), *([drawn] if drawn else [])]


def _map(draft: Draft) -> MapBlock | None:
    placed = [site for site in draft.sites if site.boundary]
    if not placed:
        return None
    layers = Layers(
        boundaries=[Shape(to_shape(site.boundary), site.code) for site in placed],
        no_go=[Shape(to_shape(each.geometry), each.reason) for site in placed for each in site.no_go.all()],
        holes=[],
        finds=[],
        ground=background_of(draft.club),
        grid=NATIONAL_GRID if placed[0].country == Country.GB else None,
    )
    alt = f"Map of {', '.join(map(str, placed))} with boundaries and no-go areas."
    return MapBlock(svg_map(layers, title=alt), alt)


def _dates(draft: Draft) -> list[Block]:
    p = draft.permission
    first = f"It begins on {long_date(p.starts)}" if p.starts else "It begins when all have signed"
    last = f"its last day is {long_date(p.ends)}" if p.ends else "it has no last day"
    renewal = "Before its last day it is looked at again" if p.ends else "It is looked at again every year"
    return [Paragraph(f"{first} and {last}. {renewal}; nothing renews itself.")]


def _people(draft: Draft) -> list[Block]:
    named = [Bullets(tuple(draft.named))] if draft.named else []
    return [*said(draft, "People", "Guests", "Juniors", otherwise="Nothing is agreed about people."), *named]


def _times(draft: Draft) -> list[Block]:
    return said(draft, "Days and hours", "Heads", otherwise="Nothing is agreed about times.")


def _notice(draft: Draft) -> list[Block]:
    return said(draft, "Notice", otherwise="No notice is agreed.")


def _ways(draft: Draft) -> list[Block]:
    words = said(draft, "Vehicles", "Dogs", otherwise="Nothing is agreed about vehicles and dogs.")
    return [*words, *each_site(draft, lambda site: site.access)]


def _farming(draft: Draft) -> list[Block]:
    closed = (
        f"{site.code} {site.name}: {period.reason}, {_span(period.starts, period.ends, period.yearly)}, "
        f"{'no searching' if period.effect == 'shut' else 'the club asks first'}"
        for site in draft.sites
        for period in site.closed_periods.all()
    )
    days = tuple(closed)
    words = said(draft, "Livestock", otherwise="Nothing is agreed about livestock.")
    none = [Paragraph("No days of crop, game or nesting are closed beyond this.")]
    return [*words, *([Bullets(days)] if days else none)]


def _span(first: date, last: date, yearly: bool) -> str:
    if yearly:
        return f"every year from {first.day} {first:%B} to {last.day} {last:%B}"
    return f"from {long_date(first)} to {long_date(last)}"


def _no_go(draft: Draft) -> list[Block]:
    rows = tuple(
        (site.code, area.reason, f"{area.buffer_m:g} m" if area.buffer_m else "none")
        for site in draft.sites
        for area in site.no_go.all()
    )
    if not rows:
        return [Paragraph("No ground inside the boundaries is marked as no-go.")]
    return [Table("Not to be searched", (Column("Field"), Column("Why"), Column("Margin around it")), rows)]


def _digging(draft: Draft) -> list[Block]:
    words = said(draft, "Depth", otherwise="No depth limit is agreed.")
    care = "Every hole is filled before it is left, and what is dug up as scrap is taken away."
    return [*words, Paragraph(care)]


def _sharing(draft: Draft) -> list[Block]:
    words = said(draft, "Sharing", otherwise="Nothing is agreed about sharing.")
    more = "Nothing more is agreed about valuing, buying out or a day for settling."
    return [*words, Paragraph(more)]


def _law(draft: Draft) -> list[Block]:
    words = (
        "What the law of the place asks of a finder goes before this agreement. A find that may have to be reported "
        "is reported in time, and the landholder is told of it and of the outcome."
    )
    return [Paragraph(words)]


def _pictures(draft: Draft) -> list[Block]:
    return said(draft, "Photographs", otherwise="Nothing is agreed about photographs.")


def _findspots(draft: Draft) -> list[Block]:
    return said(draft, "Findspots", otherwise="Nothing is agreed about findspots.")


def _insurance(draft: Draft) -> list[Block]:
    return said(draft, "Insurance", otherwise="Nothing is agreed about insurance.")


def _indemnity(draft: Draft) -> list[Block]:
    return [Paragraph("Nothing is agreed about indemnity beyond the cover of clause 15.")]


def _ground(draft: Draft) -> list[Block]:
    known = each_site(draft, lambda site: site.hazards) or [Paragraph("No hazard has been declared.")]
    return [*known, Bullets(tuple(_designation(site) for site in draft.sites))]


def _designation(site: Site) -> str:
    check = next(iter(site.protected_checks.all()), None)
    if check is None:
        return f"{site.code} {site.name}: the maps of protected places have not been checked yet."
    found = f"{check.get_result_display().lower()}{f' ({check.place})' if check.place else ''}"
    return f"{site.code} {site.name}: {check.source} checked on {long_date(check.checked_on)}, {found}."


def _ending(draft: Draft) -> list[Block]:
    at_once = (
        "A landholder may pause this agreement or withdraw consent at any time, on their private page or by telling "
        "the club; nobody searches from then on."
    )
    return [*said(draft, "Ending", otherwise="Nothing is agreed about ending."), Paragraph(at_once)]


_PLACED = {
    *("People", "Guests", "Juniors", "Days and hours", "Heads", "Notice", "Vehicles", "Dogs", "Livestock"),
    *("Depth", "Sharing", "Photographs", "Findspots", "Insurance", "Ending", "Fee", "Also agreed"),
}


def _fee(draft: Draft) -> list[Block]:
    rest: Iterable[str] = [topic for topic in draft.terms if topic not in _PLACED]
    fee = said(draft, "Fee", otherwise="No fee is paid.")
    more = [Paragraph(words) for topic in ("Also agreed", *rest) for words in draft.terms.get(topic, [])]
    return [*fee, *more]


def _signatures(draft: Draft) -> list[Block]:
    words = (
        "The club signs by sending this text. Each landholder signs on line through an address of their own, or on "
        "paper below. The agreement holds once every landholder whose consent is needed has signed."
    )
    deciding = [p for p in draft.parties if p.capacity in (Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT)]
    people = dict.fromkeys(f"{party_name(p)}, {p.get_capacity_display().lower()}" for p in deciding)
    return [SignatureBox(words, (f"For {draft.club.name}", *people))]


CLAUSES: tuple[tuple[str, Callable[[Draft], list[Block]]], ...] = (
    ("The parties", _parties),
    ("The land", _land),
    ("Beginning, end and review", _dates),
    ("Who may search", _people),
    ("Days, hours and heads", _times),
    ("Notice before a visit", _notice),
    ("Vehicles, gates and dogs", _ways),
    ("Livestock, crop, game and nesting", _farming),
    ("No-go areas", _no_go),
    ("Digging, filling and scrap", _digging),
    ("Ownership and sharing", _sharing),
    ("The law and reporting", _law),
    ("Photographs and publicity", _pictures),
    ("Findspots kept private", _findspots),
    ("Insurance", _insurance),
    ("Indemnity", _indemnity),
    ("Hazards and protected places", _ground),
    ("Pausing and ending", _ending),
    ("Fee, and what else is agreed", _fee),
    ("Signatures", _signatures),
)
