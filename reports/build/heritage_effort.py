"""How hard the ground was searched, and what it did not give: the negative evidence of a heritage report."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext as _n

from hunts.cover_page import covered_of, figures_of
from hunts.cover_screens import put_in
from hunts.ground import area_of, grounds_of
from hunts.models import Hunt, TrackCover
from hunts.models.hole import Outcome
from hunts.states import HuntState
from permissions.models import Site
from reports.blocks import Block, Column, Heading, Paragraph, Table, say_columns
from tongue import figure, noop

EARLIER = 20


@dataclass(frozen=True, slots=True)
class Effort:
    """What was put into one hunt and what came of it. `outcomes` counts holes by what they gave."""

    code: str
    title: str
    on: date
    leader: str
    fields: str
    people: int | None  # None for a past outing: nobody kept a roll
    guests: int
    hours: float | None
    searchable_m2: float
    drawn_m2: float | None
    tracks: int
    holes: int
    outcomes: dict[str, int]
    finds: int
    ground: tuple[dict[str, Any], ...]  # the searched boundaries, GeoJSON, by site

    @property
    def blanks(self) -> int:
        return self.outcomes.get(Outcome.NOTHING, 0)

    @property
    def covered(self) -> str:
        if self.drawn_m2 is None:
            return _("no track kept")
        return _n(
            "%(value)s ha from %(tracks)s track", "%(value)s ha from %(tracks)s tracks", self.tracks
        ) % {"value": figure(f"{self.drawn_m2 / 10000:.2f}"), "tracks": self.tracks}


def effort_of(hunt: Hunt) -> Effort:
    """People-hours, ground and holes of `hunt`, as kept when it closed, or so far."""
    kept = getattr(hunt, "blank_ground", None)
    so_far = kept_later(hunt) if hunt.is_past_outing else {} if kept else put_in(hunt)
    drawn, tracks = _drawn(hunt)
    links = list(hunt.hunt_sites.select_related("site", "boundary"))
    outcomes = Counter(hunt.holes.order_by().values_list("outcome", flat=True))
    return Effort(
        code=hunt.code,
        title=hunt.title,
        on=hunt.on,
        leader=hunt.leader.name,
        fields=", ".join(link.site.name for link in links),
        people=kept.people if kept else so_far["people"],
        guests=hunt.guests.filter(signed_in_at__isnull=False).count(),
        hours=kept.hours if kept else so_far["hours"],
        searchable_m2=kept.searchable_m2 if kept else so_far["area_m2"],
        drawn_m2=drawn,
        tracks=tracks,
        holes=sum(outcomes.values()),
        outcomes=dict(outcomes),
        finds=hunt.finds.filter(withdrawn_at=None).count(),
        ground=tuple({"site": link.site.code, "geometry": link.boundary.geometry} for link in links),
    )


def kept_later(hunt: Hunt) -> dict[str, Any]:
    """What is known of a past outing: its ground, and neither a roll nor hours."""
    return {"people": None, "hours": None, "area_m2": area_of(grounds_of(hunt)[0])}


def _drawn(hunt: Hunt) -> tuple[float | None, int]:
    """Square metres under the hunt's tracks, and how many tracks; None where no track shows any."""
    covers = list(TrackCover.objects.filter(track__hunt=hunt).select_related("track"))
    drawn = [
        figures["drawn_m2"]
        for ground in (grounds_of(hunt)[0] if covers else ())
        if "drawn_m2" in (figures := figures_of(covered_of(ground, _on(ground.site, covers))))
    ]
    return (sum(drawn) if drawn else None), len({cover.track_id for cover in covers})


def _on(site: Site, covers: Iterable[TrackCover]) -> list[TrackCover]:
    return [cover for cover in covers if cover.site_id == site.pk]


def earlier_searches(sites: Iterable[int], before: date) -> list[Hunt]:
    """Closed hunts on these sites before `before`, the latest first: blank days are evidence too."""
    rows = Hunt.objects.filter(sites__in=sites, state=HuntState.CLOSED, on__lt=before)
    return list(rows.distinct().select_related("blank_ground").order_by("-on", "-pk")[:EARLIER])


EFFORT_COLUMNS = (
    Column(noop("Hunt")),
    Column(noop("Fields")),
    *(
        Column(name, numeric=True)
        for name in (noop("People"), noop("Hours in all"), noop("Searched, ha"), noop("Holes"), noop("Finds"))
    ),
    Column(noop("Ground covered")),
)


def effort_blocks(efforts: Sequence[Effort], earlier: Sequence[Hunt], reported: int) -> list[Block]:
    """What was searched and how hard, also where nothing was found."""
    rows = tuple(
        (
            f"{date_format(each.on, 'j M Y')}, {each.code}",
            each.fields,
            "–" if each.people is None else str(each.people + each.guests),
            "–" if each.hours is None else figure(f"{each.hours:.1f}"),
            figure(f"{each.searchable_m2 / 10_000:.2f}"),
            str(each.holes),
            str(each.finds),
            each.covered,
        )
        for each in efforts
    )
    note = _(
        "Hours are members' hours between sign-in and sign-out, added up. Searched is the ground open to the "
        "search, no-go ground left out; covered is what recorded tracks show."
    )
    if any(each.people is None for each in efforts):
        note += _(" A dash stands where an outing was entered later and nobody had kept it.")
    blocks: list[Block] = [
        Heading(_("The search")),
        Table(_("Effort of the search"), say_columns(EFFORT_COLUMNS), rows, note),
    ]
    blocks.append(Paragraph(" ".join(_came_to(each) for each in efforts)))
    others = sum(each.finds for each in efforts) - reported
    blocks.append(
        Paragraph(
            _("Besides the %(reported)s reported here, %(others)s finds of these hunts are on record.")
            % {"reported": reported, "others": others}
        )
    )
    return [*blocks, *_earlier(earlier)]


def _came_to(effort: Effort) -> str:
    """'H014: of 40 holes 22 gave nothing, 10 scrap …'; a hunt without a hole is said too."""
    if not effort.holes:
        return _("%(effort_code)s: no hole is on record.") % {"effort_code": effort.code}
    words = {
        Outcome.NOTHING: _("gave nothing"),
        Outcome.SCRAP: _("scrap"),
        Outcome.IRON: _("iron"),
        Outcome.FIND: _("a find"),
        Outcome.STOPPED: _("were stopped at"),
    }
    parts = [f"{effort.outcomes.get(kind, 0)} {said}" for kind, said in words.items()]
    return _("%(effort_code)s: of %(effort_holes)s holes %(parts)s.") % {
        "effort_code": effort.code,
        "effort_holes": effort.holes,
        "parts": ", ".join(parts),
    }


def _earlier(hunts: Sequence[Hunt]) -> list[Block]:
    if not hunts:
        return [Paragraph(_("The club has no earlier closed hunt on these fields on record."))]
    rows = []
    for hunt in hunts:
        kept = getattr(hunt, "blank_ground", None)
        effort = (str(kept.people), figure(f"{kept.hours:.1f}")) if kept else ("–", "–")
        counts = (str(hunt.holes.count()), str(hunt.finds.filter(withdrawn_at=None).count()))
        rows.append((date_format(hunt.on, "j M Y"), hunt.code, *effort, *counts))
    columns = (
        Column(_("Day")),
        Column(_("Hunt")),
        *(Column(name, numeric=True) for name in (_("People"), _("Hours in all"), _("Holes"), _("Finds"))),
    )
    return [Table(_("Earlier searches of the same fields, blank ones included"), columns, tuple(rows))]
