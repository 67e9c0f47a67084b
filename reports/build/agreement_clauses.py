"""Clauses of an agreement that lean on its terms: digging, sharing, the law, pictures, cover, ground, ending, fee."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from permissions.models import Site
from permissions.terms import long_date
from reports.blocks import Block, Bullets, Paragraph
from reports.build.agreement_draft import Draft, each_site, said
from tongue import noop


def digging(draft: Draft) -> list[Block]:
    words = said(draft, "Depth", otherwise=_("No depth limit is agreed."))
    care = _("Every hole is filled before it is left, and what is dug up as scrap is taken away.")
    return [*words, Paragraph(care)]


def sharing(draft: Draft) -> list[Block]:
    words = said(draft, "Sharing", otherwise=_("Nothing is agreed about sharing."))
    more = _("Nothing more is agreed about valuing, buying out or a day for settling.")
    return [*words, Paragraph(more)]


def law(draft: Draft) -> list[Block]:
    words = _(
        "What the law of the place asks of a finder goes before this agreement. A find that may have to be reported "
        "is reported in time, and the landholder is told of it and of the outcome."
    )
    return [Paragraph(words)]


def pictures(draft: Draft) -> list[Block]:
    return said(draft, "Photographs", otherwise=_("Nothing is agreed about photographs."))


def findspots(draft: Draft) -> list[Block]:
    return said(draft, "Findspots", otherwise=_("Nothing is agreed about findspots."))


def insurance(draft: Draft) -> list[Block]:
    return said(draft, "Insurance", otherwise=_("Nothing is agreed about insurance."))


def indemnity(draft: Draft) -> list[Block]:
    return [Paragraph(_("Nothing is agreed about indemnity beyond the cover of clause 15."))]


def ground(draft: Draft) -> list[Block]:
    known = each_site(draft, lambda site: site.hazards) or [Paragraph(_("No hazard has been declared."))]
    return [*known, Bullets(tuple(_designation(site) for site in draft.sites))]


def _designation(site: Site) -> str:
    check = next(iter(site.protected_checks.all()), None)
    if check is None:
        return _("%(site_code)s %(site_name)s: the maps of protected places have not been checked yet.") % {
            "site_code": site.code,
            "site_name": site.name,
        }
    found = f"{check.get_result_display().lower()}{f' ({check.place})' if check.place else ''}"
    return _("%(site_code)s %(site_name)s: %(check_source)s checked on %(long_date)s, %(found)s.") % {
        "site_code": site.code,
        "site_name": site.name,
        "check_source": check.source,
        "long_date": long_date(check.checked_on),
        "found": found,
    }


def ending(draft: Draft) -> list[Block]:
    at_once = _(
        "A landholder may pause this agreement or withdraw consent at any time, on their private page or by telling "
        "the club; nobody searches from then on."
    )
    return [*said(draft, "Ending", otherwise=_("Nothing is agreed about ending.")), Paragraph(at_once)]


_PLACED = {
    noop("People"),
    noop("Guests"),
    noop("Juniors"),
    noop("Days and hours"),
    noop("Heads"),
    noop("Notice"),
    noop("Vehicles"),
    noop("Dogs"),
    noop("Livestock"),
    noop("Depth"),
    noop("Sharing"),
    noop("Photographs"),
    noop("Findspots"),
    noop("Insurance"),
    noop("Ending"),
    noop("Fee"),
    noop("Also agreed"),
}


def fee(draft: Draft) -> list[Block]:
    rest: Iterable[str] = [topic for topic in draft.terms if topic not in _PLACED]
    fee = said(draft, "Fee", otherwise=_("No fee is paid."))
    more = [Paragraph(words) for topic in ("Also agreed", *rest) for words in draft.terms.get(topic, [])]
    return [*fee, *more]
