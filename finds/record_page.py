"""A find's record as labelled words, in the order in which people read it: for its page and for reports."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from finds.models import Find, FindLink
from finds.models.choices import Certainty, Tri, YearsSource
from hunts.models import Hole
from people.models import User
from people.sensitivity import ShownPoint
from tongue import figure, noop

PLACING = {"outside": noop("outside the boundary"), "uncertain": noop("near the boundary")}


@dataclass(frozen=True, slots=True)
class Said:
    """One line: `source` cites the vocabulary of a term, with its identifier as `uri`."""

    label: str
    text: str
    source: str = ""
    uri: str = ""
    is_free: bool = False  # words that are no term of a vocabulary which has terms for such things

    @property
    def in_full(self) -> str:
        """For paper: with the vocabulary's name and the identifier."""
        cited = ", ".join(part for part in (self.source, self.uri) if part)
        return f"{self.text} ({cited})" if cited else self.text


@dataclass(frozen=True, slots=True)
class Associated:
    """A find that belongs with this one, and what was said about the two."""

    link: FindLink
    other: Find


def described(find: Find) -> Iterator[Said]:
    """What it is, of what, from when and how it is kept. `find.materials` should be prefetched."""
    yield Said(_("Object"), find.object_type, find.object_scheme, find.object_uri, not find.object_uri)
    if find.count > 1:
        yield Said(_("How many"), str(find.count))
    if find.is_coin != Tri.NO:
        yield Said(_("Coin or token"), find.get_is_coin_display())
    yield from _if_said(_("Inscription or marks"), find.inscription)
    yield from _materials(find)
    yield from _date(find)
    yield from _if_said(_("Identified by"), _identified(find))
    yield from _if_said(_("Completeness"), find.completeness)
    yield from _if_said(_("Condition"), find.condition)
    yield from _if_said(_("Weight"), _weight(find))
    yield from _if_said(_("Size"), _size(find))


def where_it_lay(find: Find, point: ShownPoint | None) -> Iterator[Said]:
    """The findspot as the reader may see it, and what it lay in."""
    place = point.label if point else _("Locked") if find.locked else _("Not recorded")
    # That it lies near the boundary says where it lies, so it goes with the place.
    remark = None if find.locked and point is None else _(PLACING.get(find.placing, ""))
    yield Said(_("Where"), f"{place} ({remark})" if remark else place)
    yield Said(_("Site"), find.site.code)
    yield from _if_said(
        _("Depth"),
        _("%(find_depth_cm)s cm") % {"find_depth_cm": find.depth_cm} if find.depth_cm is not None else "",
    )
    yield from _if_said(_("Context"), find.context)
    yield from _if_said(_("Land use"), find.land_use)


def may_open_hole(find: Find, user: User) -> bool:
    """Everybody may know which hole it came from; its own page is open to fewer than the find's."""
    return find.hole_id is not None and Hole.objects.visible_to(user).filter(pk=find.hole_id).exists()


def associated_with(find: Find, user: User) -> list[Associated]:
    """The finds said to belong with this one that `user` may see."""
    links = list(FindLink.objects.of(find))
    others = {link.second_id if link.first_id == find.pk else link.first_id: link for link in links}
    seen = Find.objects.visible_to(user).filter(pk__in=others).order_by("number") if others else ()
    return [Associated(others[other.pk], other) for other in seen]


def associated_words(finds: Sequence[Find]) -> dict[int, str]:
    """For a report: what was said to belong with each of these finds, by primary key, in one query."""
    links = FindLink.objects.filter(Q(first__in=finds) | Q(second__in=finds)).select_related(
        "first", "second"
    )
    words: dict[int, list[str]] = {find.pk: [] for find in finds}
    for link in links:
        for find, other in ((link.first, link.second), (link.second, link.first)):
            if find.pk in words and other.withdrawn_at is None:
                words[find.pk].append(f"{other.number} {other.object_type}: {link.note}")
    return {key: "; ".join(said) for key, said in words.items()}


def _if_said(label: str, text: str) -> Iterator[Said]:
    if text:
        yield Said(label, text)


def _materials(find: Find) -> Iterator[Said]:
    for row in find.materials.all():
        share = f" {figure(f'{row.share_percent.normalize():f}')} %" if row.share_percent is not None else ""
        yield Said(_("Material"), f"{row}{share}", row.scheme, row.uri, not row.uri)


def _date(find: Find) -> Iterator[Said]:
    sure = f" ({find.get_certainty_display().lower()})" if find.certainty != Certainty.UNKNOWN else ""
    if find.period:
        yield Said(
            _("Period"), f"{find.period}{sure}", find.period_scheme, find.period_uri, not find.period_scheme
        )
    if find.years:
        derived = find.years_source in {YearsSource.PERIOD, YearsSource.EDTF}
        source = f", {find.get_years_source_display()}" if derived else ""
        yield Said(_("Made"), f"{find.years}{source}{'' if find.period else sure}")
    yield from _if_said(_("Date in EDTF"), find.edtf_date)


def _identified(find: Find) -> str:
    day = date_format(find.identified_on, "j F Y") if find.identified_on else ""
    return ", ".join(part for part in (find.identified_by, day) if part)


def _weight(find: Find) -> str:
    if find.weight_g is None:
        return ""
    typed = (
        _(" (typed as %(find_weight_as_typed)s)") % {"find_weight_as_typed": find.weight_as_typed}
        if find.weight_as_typed
        else ""
    )
    return f"{figure(str(find.weight_g))} g{typed}"


def _size(find: Find) -> str:
    sizes: list[tuple[str, Any]] = [
        (_("length"), find.length_mm),
        (_("width"), find.width_mm),
        (_("thickness"), find.thickness_mm),
        (_("diameter"), find.diameter_mm),
    ]
    return ", ".join(f"{name} {figure(str(value))} mm" for name, value in sizes if value is not None)
