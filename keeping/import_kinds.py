"""The four kinds of table that a club brings: their fields, who may, how a row is judged, saved and taken back."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.utils.translation import gettext_lazy as _lazy

from finds.actions import save_old_finds
from finds.import_fields import FIND_FIELDS
from finds.import_old import plan_old_finds
from people.actions import save_members, take_back_members
from people.import_fields import MEMBER_FIELDS
from people.import_members import plan_members
from people.models import TableImport, TableKind, User
from people.rights import Right, require
from permissions.actions import save_landholders, save_sites, take_back_landholders, take_back_sites
from permissions.import_fields import LANDHOLDER_FIELDS, SITE_FIELDS
from permissions.import_landholders import plan_landholders
from permissions.import_sites import plan_sites
from web.tables.fields import Field
from web.tables.match import Matched
from web.tables.plan import Plan

Saver = Callable[..., TableImport]


@dataclass(frozen=True)
class ImportKind:
    """One kind. `needed` names fields of which one of each group has to be chosen; `take_back` is None where an import
    stays, and `stays` says why."""

    kind: TableKind
    right: Right
    fields: tuple[Field, ...]
    needed: tuple[tuple[str, ...], ...]
    words: Any
    plan: Callable[..., Plan]
    save: Saver
    take_back: Callable[..., TableImport] | None
    stays: Any = ""

    def judge(self, matched: Matched, answers: Mapping[str, Any], *, by: User, at: datetime) -> Plan:
        require(by, self.right)
        return self.plan(matched, answers, by=by, at=at)


def _without_site(save: Saver, key: UUID, *, site: str, **said: Any) -> TableImport:
    """Only invitations need the address of the site."""
    return save(key, **said)


KINDS = {
    kind.kind.value: kind
    for kind in (
        ImportKind(
            TableKind.MEMBERS,
            Right.MANAGE_PEOPLE,
            MEMBER_FIELDS,
            (("email",), ("name", "last_name")),
            _lazy("Names, e-mail addresses, phones, membership and insurance."),
            plan_members,
            save_members,
            take_back_members,
        ),
        ImportKind(
            TableKind.LANDHOLDERS,
            Right.MANAGE_PERMISSIONS,
            LANDHOLDER_FIELDS,
            (("name", "last_name"),),
            _lazy("Names, contacts and addresses, and over which sites they have a say."),
            plan_landholders,
            partial(_without_site, save_landholders),
            take_back_landholders,
        ),
        ImportKind(
            TableKind.SITES,
            Right.MANAGE_LAND,
            SITE_FIELDS,
            (("name",),),
            _lazy("Codes, names, farms and boundaries; a site may come without a boundary yet."),
            plan_sites,
            partial(_without_site, save_sites),
            take_back_sites,
        ),
        ImportKind(
            TableKind.FINDS,
            Right.MANAGE_PERMISSIONS,
            FIND_FIELDS,
            (("object",), ("hunt", "found on")),
            _lazy("Finds from before the records here; days and fields without a hunt get a past outing."),
            plan_old_finds,
            partial(_without_site, save_old_finds),
            None,
            _lazy(
                "Finds keep the number they were given and what the law was asked about them. One that is wrong is "
                "withdrawn with its reason on its own page."
            ),
        ),
    )
}


def kind_of(row: Any) -> ImportKind:
    """The kind of a draft or of an import."""
    return KINDS[row.kind]
