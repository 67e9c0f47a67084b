"""What the rows of a table are held against: hunts, fields, people and finds there are, each asked for once."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from typing import TypeVar
from uuid import UUID

from django.db.models import Prefetch, Q
from django.utils.translation import gettext as _

from finds.models import Find
from hunts.models import Hunt, HuntSite, SignUp
from people.models import User
from people.rights import Right
from permissions.models import Boundary, Site
from web.tables.errors import CellError

T = TypeVar("T")
_AT_ONCE = 500  # keys in one question: SQLite counts its parameters


def portions(values: Iterable[T], size: int = _AT_ONCE) -> Iterator[list[T]]:
    """The values in lists of at most `size`."""
    rest = iter(values)
    while part := list(islice(rest, size)):
        yield part


@dataclass(frozen=True)
class ComingHunt:
    """A hunt as it would be: who would be on it too, and its fields where it is not entered yet."""

    hunt: Hunt
    people: frozenset[int]
    fields: tuple[HuntSite, ...] = ()


class Ground:
    """What `by` may see of the hunts with these codes, and who may be named as a finder.

    `coming`: hunts that are not entered yet, or will have more people on them, as they would then be.
    """

    def __init__(self, by: User, codes: Iterable[str], coming: Iterable[ComingHunt] = ()) -> None:
        self.by = by
        self.codes = {code.casefold() for code in codes}
        self.coming = {each.hunt.pk: each for each in coming}

    @cached_property
    def hunts(self) -> dict[str, Hunt]:
        """Hunts by code in lower case, with their fields and the boundaries of the day."""
        fields = Prefetch(
            "hunt_sites",
            HuntSite.objects.select_related("site", "boundary").defer("site__boundary"),
        )
        seen = Hunt.objects.visible_to(self.by).defer("gate_answer", "briefing")
        wanted = [pk for pk, code in seen.values_list("pk", "code") if code.casefold() in self.codes]
        rows = [
            hunt
            for part in portions(wanted)
            for hunt in seen.filter(pk__in=part).select_related("leader").prefetch_related(fields)
        ]
        new = [each.hunt for each in self.coming.values() if each.fields]
        return {hunt.code.casefold(): hunt for hunt in (*rows, *new)}

    @cached_property
    def on_hunt(self) -> set[tuple[int, int]]:
        """Who holds a place on which hunt, as (hunt, person)."""
        hunts = [hunt.pk for hunt in self.hunts.values() if not hunt._state.adding]
        places = {
            place
            for part in portions(hunts)
            for place in SignUp.objects.standing().filter(hunt__in=part).values_list("hunt_id", "user_id")
        }
        coming = {(pk, user) for pk, each in self.coming.items() for user in each.people}
        return places | coming | {(hunt.pk, hunt.leader_id) for hunt in self.hunts.values()}

    @cached_property
    def people(self) -> dict[str, list[User]]:
        """Accounts by e-mail address and by name, in lower case.

        Whoever sees every find also sees who found it: for them, everybody on these hunts may be named.
        """
        seen = User.objects.visible_to(self.by)
        if self.by.holds(Right.SEE_ALL_FINDS):
            seen = User.objects.filter(Q(pk__in=seen) | Q(pk__in={user for _rest, user in self.on_hunt}))
        found: dict[str, list[User]] = {}
        for user in seen.only("pk", "email", "name"):
            for name in {user.email.casefold(), " ".join(user.name.casefold().split())}:
                found.setdefault(name, []).append(user)
        return found

    def hunt(self, code: str) -> Hunt:
        """The hunt with this code. Raises CellError."""
        hunt = self.hunts.get(code.casefold())
        if hunt is None:
            raise CellError(
                _("No hunt that you may see has the code “%(code)s”") % {"code": code},
                _(
                    "take the code from the hunt's page; for finds from before the records here, the secretary enters "
                    "a past outing first, and its code goes here"
                ),
            )
        return hunt

    def finder(self, text: str) -> User:
        """The person so named, or the importer. Raises CellError."""
        found = self.people.get(" ".join(text.casefold().split()), []) if text else [self.by]
        if len(found) == 1:
            return found[0]
        if found:
            raise CellError(
                _("%(found)s people are called “%(text)s”") % {"found": len(found), "text": text},
                _("give the e-mail address instead"),
            )
        if not self.by.holds(Right.SEE_PEOPLE) and not self.by.holds(Right.SEE_ALL_FINDS):
            raise CellError(
                _("“%(text)s” is not you") % {"text": text},
                _("import your own finds only; the secretary imports others'"),
            )
        raise CellError(
            _("Nobody in the club's list is “%(text)s”") % {"text": text},
            _("give the e-mail address or the name as it stands there"),
        )

    def fields_of(self, hunt: Hunt) -> Sequence[HuntSite]:
        """The hunt's fields with their boundaries of the day."""
        coming = self.coming.get(hunt.pk)
        return coming.fields if coming and coming.fields else list(hunt.hunt_sites.all())

    def boundary(self, hunt: Hunt, site: Site) -> Boundary:
        """The boundary that the hunt keeps of one of its fields."""
        return next(row.boundary for row in self.fields_of(hunt) if row.site_id == site.pk)

    def site(self, hunt: Hunt, code: str) -> Site:
        """The field of the hunt. Raises CellError."""
        fields: list[Site] = [row.site for row in self.fields_of(hunt)]
        if not code and len(fields) == 1:
            return fields[0]
        for field in fields:
            if code and field.code.casefold() == code.casefold():
                return field
        listed = ", ".join(field.code for field in fields)
        said = (
            _("“%(code)s” is not a field of %(hunt_code)s") % {"code": code, "hunt_code": hunt.code}
            if code
            else _("%(hunt_code)s was on %(fields)s fields") % {"hunt_code": hunt.code, "fields": len(fields)}
        )
        raise CellError(said, _("give one of: %(listed)s") % {"listed": listed})


def known_finds(keys: Iterable[UUID], numbers: Iterable[str]) -> dict[UUID | str, Find]:
    """Finds there are, withdrawn ones too, by the key of their row and by number."""
    rows: dict[UUID | str, Find] = {}
    detailed = Find.objects.select_related("finder", "hunt", "site").defer(
        "site__boundary", "hunt__gate_answer"
    )
    detailed = detailed.prefetch_related("materials")
    for part in portions(set(numbers)):
        rows |= {find.number: find for find in detailed.filter(number__in=part)}
    for keys_part in portions(set(keys)):
        rows |= {find.client_id: find for find in detailed.filter(client_id__in=keys_part)}
    return rows
