"""What the page of one landholder shows: the land, the consents, and the private links with their codes."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import segno
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from people.models import User
from people.rights import Right
from permissions.forms import LinkForm
from permissions.links import key_of
from permissions.models import Landholder, LandholderLink, Permission


@dataclass(frozen=True)
class LinkRow:
    """A link with its address and code while it works; afterwards only what became of it."""

    link: LandholderLink
    status: str
    word: str
    address: str = ""
    code: SafeString | None = None


def link_row(link: LandholderLink, *, at: datetime, absolute: Callable[[str], str]) -> LinkRow:
    if link.revoked_at is not None:
        return LinkRow(
            link,
            "plain",
            _("Withdrawn %(link_revoked_at)s")
            % {"link_revoked_at": date_format(localtime(link.revoked_at), "j M Y")},
        )
    if link.expires_at <= at:
        return LinkRow(
            link,
            "plain",
            _("Worked until %(link_expires_at)s")
            % {"link_expires_at": date_format(localtime(link.expires_at), "j M Y")},
        )
    address = absolute(reverse("reports:landholder", args=[key_of(link)]))
    word = _("Works until %(link_expires_at)s") % {
        "link_expires_at": date_format(localtime(link.expires_at), "j M Y")
    }
    return LinkRow(link, "open", word, address, code_of(address))


def code_of(address: str) -> SafeString:
    """A QR code of the address as SVG: black on white in every colour scheme, so that every camera reads it.

    Source: ISO/IEC 18004 (QR code), by segno; 4 modules of quiet zone as the standard asks.
    """
    svg = segno.make(address, error="m", micro=False).svg_inline(
        scale=3, border=4, dark="#000", light="#fff", title=_("QR code of this address"), omitsize=False
    )
    return mark_safe(svg)  # noqa: S308 - drawn by segno from modules; the address is not in the text


@dataclass(frozen=True)
class LandholderRow:
    """A landholder in the list with the codes of the fields they have a say over."""

    landholder: Landholder
    fields: str


def landholder_rows(landholders: Iterable[Landholder]) -> list[LandholderRow]:
    """Rows of landholders read `with_sites`."""
    codes = ((row, {party.site.code for party in row.parties.all()}) for row in landholders)
    return [LandholderRow(row, ", ".join(sorted(found))) for row, found in codes]


def all_held(landholder: Landholder) -> dict[str, Any]:
    """Everything the land records hold about one landholder, to be handed over on request."""
    names = ("name", "contact_name", "email", "phone", "address", "notes", "held_why", "held_since")
    consents = landholder.consents.select_related("permission").prefetch_related("sites")
    return {
        "landholder": {name: getattr(landholder, name) for name in names},
        "say over": [
            {"site": str(p.site), "capacity": p.get_capacity_display(), "from": p.since, "until": p.until}
            for p in landholder.parties.select_related("site").defer("site__boundary")
        ],
        "consents": [
            {
                "permission": str(c.permission),
                "capacity": c.get_capacity_display(),
                "given": c.given_on,
                "from": c.starts,
                "until": c.ends,
                "withdrawn": c.withdrawn_on,
                "evidence": c.get_evidence_kind_display(),
                "file": c.evidence_name,
                "only for": [str(site) for site in c.sites.all()],
                "notes": c.notes,
            }
            for c in consents
        ],
        "private links": [
            {
                "made": x.made_at,
                "works until": x.expires_at,
                "withdrawn": x.revoked_at,
                "last opened": x.last_used_at,
            }
            for x in landholder.links.all()
        ],
    }


def landholder_context(
    landholder: Landholder, user: User, *, at: datetime, absolute: Callable[[str], str]
) -> dict[str, Any]:
    """Everything on one landholder; `absolute` makes a whole address of a path."""
    consents = Permission.objects.visible_to(user).filter(consents__landholder=landholder).distinct()
    return {
        "landholder": landholder,
        "parties": list(landholder.parties.select_related("site", "acts_for").defer("site__boundary")),
        "permissions": list(consents),
        "links": [link_row(link, at=at, absolute=absolute) for link in landholder.links.all()],
        "link_form": LinkForm(),
        "may_keep": user.holds(Right.MANAGE_PERMISSIONS),
    }
