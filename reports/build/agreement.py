"""The agreement of a permission: its terms under the twenty headings of a written agreement, ready to be signed.

Source of the headings: facts/trade.md 1.2 (common practice). Where nothing is agreed under one of them the text
says so. The only promises it adds are the club's own way of working: holes filled, scrap taken away, finds
reported, a pause that takes effect at once.
"""

from collections.abc import Callable
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from geo.measure import to_shape
from geo.position import Country
from geo.svgmap import NATIONAL_GRID, Layers, Shape, svg_map
from permissions.models import Permission, SiteParty
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
from reports.build import agreement_clauses as clauses
from reports.build.agreement_draft import Draft, each_site, party_name, read_draft, said
from reports.build.common import background_of
from tongue import figure, noop
from web.templatetags.stubble import area


def agreement_report(permission: Permission, *, number: str, on: date) -> Report:
    """Return the agreement over the permission's sites as its terms and parties stand on `on`; constant queries."""
    draft = read_draft(permission, on)
    blocks: list[Block] = []
    for place, (title, write) in enumerate(CLAUSES, 1):
        blocks += [Heading(f"{place}. {_(title)}"), *write(draft)]
    return Report(
        kind="agreement",
        number=number,
        title=_("Agreement to search"),
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
    columns = (Column(_("Landholder")), Column(_("Capacity")), Column(_("Fields")))
    club = _("%(club_name)s (“the club”) and the landholders named here agree what follows.") % {
        "club_name": draft.club.name
    }
    return [Paragraph(club), Table(_("The landholders"), columns, rows)]


def _code_of(draft: Draft, party: SiteParty) -> str:
    return next(site.code for site in draft.sites if site.pk == party.site_id)


def _land(draft: Draft) -> list[Block]:
    columns = (
        Column(_("Field")),
        Column(_("Name")),
        Column(_("Farm or estate")),
        Column(_("Parish")),
        Column(_("Area")),
    )
    rows = tuple(
        (s.code, s.name, s.holding, s.parish, area(s.area_m2, draft.club.units)) for s in draft.sites
    )
    drawn = _map(draft)
    return [Table(_("The land of this agreement"), columns, rows), *([drawn] if drawn else [])]


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
    alt = _("Map of %(map)s with boundaries and no-go areas.") % {"map": ", ".join(map(str, placed))}
    return MapBlock(svg_map(layers, title=alt), alt)


def _dates(draft: Draft) -> list[Block]:
    p = draft.permission
    first = (
        _("It begins on %(long_date)s") % {"long_date": long_date(p.starts)}
        if p.starts
        else _("It begins when all have signed")
    )
    last = (
        _("its last day is %(long_date)s") % {"long_date": long_date(p.ends)}
        if p.ends
        else _("it has no last day")
    )
    renewal = (
        _("Before its last day it is looked at again") if p.ends else _("It is looked at again every year")
    )
    return [
        Paragraph(
            _("%(first)s and %(last)s. %(renewal)s; nothing renews itself.")
            % {"first": first, "last": last, "renewal": renewal}
        )
    ]


def _people(draft: Draft) -> list[Block]:
    named = [Bullets(tuple(draft.named))] if draft.named else []
    return [
        *said(draft, "People", "Guests", "Juniors", otherwise=_("Nothing is agreed about people.")),
        *named,
    ]


def _times(draft: Draft) -> list[Block]:
    return said(draft, "Days and hours", "Heads", otherwise=_("Nothing is agreed about times."))


def _notice(draft: Draft) -> list[Block]:
    return said(draft, "Notice", otherwise=_("No notice is agreed."))


def _ways(draft: Draft) -> list[Block]:
    words = said(draft, "Vehicles", "Dogs", otherwise=_("Nothing is agreed about vehicles and dogs."))
    return [*words, *each_site(draft, lambda site: site.access)]


def _farming(draft: Draft) -> list[Block]:
    closed = (
        f"{site.code} {site.name}: {period.reason}, {_span(period.starts, period.ends, period.yearly)}, "
        f"{_('no searching') if period.effect == 'shut' else _('the club asks first')}"
        for site in draft.sites
        for period in site.closed_periods.all()
    )
    days = tuple(closed)
    words = said(draft, "Livestock", otherwise=_("Nothing is agreed about livestock."))
    none = [Paragraph(_("No days of crop, game or nesting are closed beyond this."))]
    return [*words, *([Bullets(days)] if days else none)]


def _span(first: date, last: date, yearly: bool) -> str:
    if yearly:
        return _("every year from %(first_day)s %(first)s to %(last_day)s %(last)s") % {
            "first_day": first.day,
            "first": date_format(first, "F"),
            "last_day": last.day,
            "last": date_format(last, "F"),
        }
    return _("from %(long_date)s to %(value)s") % {"long_date": long_date(first), "value": long_date(last)}


def _no_go(draft: Draft) -> list[Block]:
    rows = tuple(
        (site.code, area.reason, f"{figure(f'{area.buffer_m:g}')} m" if area.buffer_m else _("none"))
        for site in draft.sites
        for area in site.no_go.all()
    )
    if not rows:
        return [Paragraph(_("No ground inside the boundaries is marked as no-go."))]
    return [
        Table(
            _("Not to be searched"),
            (Column(_("Field")), Column(_("Why")), Column(_("Margin around it"))),
            rows,
        )
    ]


def _signatures(draft: Draft) -> list[Block]:
    words = _(
        "The club signs by sending this text. Each landholder signs on line through an address of their own, or on "
        "paper below. The agreement holds once every landholder whose consent is needed has signed."
    )
    deciding = [p for p in draft.parties if p.capacity in (Capacity.OWNER, Capacity.OCCUPIER, Capacity.AGENT)]
    people = dict.fromkeys(f"{party_name(p)}, {p.get_capacity_display().lower()}" for p in deciding)
    return [SignatureBox(words, (_("For %(club_name)s") % {"club_name": draft.club.name}, *people))]


CLAUSES: tuple[tuple[str, Callable[[Draft], list[Block]]], ...] = (
    (noop("The parties"), _parties),
    (noop("The land"), _land),
    (noop("Beginning, end and review"), _dates),
    (noop("Who may search"), _people),
    (noop("Days, hours and heads"), _times),
    (noop("Notice before a visit"), _notice),
    (noop("Vehicles, gates and dogs"), _ways),
    (noop("Livestock, crop, game and nesting"), _farming),
    (noop("No-go areas"), _no_go),
    (noop("Digging, filling and scrap"), clauses.digging),
    (noop("Ownership and sharing"), clauses.sharing),
    (noop("The law and reporting"), clauses.law),
    (noop("Photographs and publicity"), clauses.pictures),
    (noop("Findspots kept private"), clauses.findspots),
    (noop("Insurance"), clauses.insurance),
    (noop("Indemnity"), clauses.indemnity),
    (noop("Hazards and protected places"), clauses.ground),
    (noop("Pausing and ending"), clauses.ending),
    (noop("Fee, and what else is agreed"), clauses.fee),
    (noop("Signatures"), _signatures),
)
