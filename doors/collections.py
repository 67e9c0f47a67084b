"""The five collections that go out: sites, hunts, holes, finds and ground covered, behind one small interface.

Whatever leaves through it is already what its reader may have: rows by `visible_to`, places by hunts/points.py and
finds/points.py, and nothing in a question or an answer depends on more than that.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils.translation import gettext_lazy as _lazy

from doors.feature import Extent, Feature, Page, Property, Query, Rows, Words
from doors.rows import finds, ground, holes, hunts, sites
from people.models import User


@dataclass(frozen=True)
class Collection:
    """One collection: its words, its properties in order, and its features as `user` may see them."""

    id: str
    title: Words
    description: Words
    properties: Mapping[str, Property]
    rows: Rows

    @property
    def most(self) -> int:
        """Features in one page at most; a page may hold fewer than were asked for."""
        return self.rows.most

    def features(self, user: User, query: Query, *, at: datetime) -> Page:
        """One page of the features that `query` asks for, in a lasting order."""
        rows = self.rows.visible_to(user)
        for name, value in query.equals.items():
            rows = rows.filter(**{self.properties[name].lookup: value})
        rows = self.rows.during(rows, query.since, query.until)
        if query.bbox is not None:
            rows = self.rows.within(rows, query.bbox, user)
        return self.rows.page(rows, query, user, at=at)

    def every(self, user: User, query: Query, *, at: datetime) -> Iterator[Feature]:
        """All features from the question's page on, read page by page: memory does not grow with them."""
        after = query.after
        while True:
            page = self.features(user, replace(query, after=after, before=None, limit=self.most), at=at)
            yield from page.features
            if page.next_after is None:
                return
            after = page.next_after

    def feature(self, user: User, number: int, *, at: datetime) -> Feature | None:
        """One feature by its number, or None where there is none that `user` may see."""
        row = self.rows.visible_to(user).filter(pk=number).first()
        return None if row is None else self.rows.shown([row], user, at=at)[0]

    def extent(self, user: User) -> Extent:
        """Where and when, of what `user` is shown."""
        return self.rows.extent(user)


_ALL = (
    Collection(
        "sites",
        _lazy("Sites"),
        _lazy(
            "Fields and other blocks of ground with their boundaries. They have no date: every moment matches."
        ),
        sites.PROPERTIES,
        sites.SiteRows(),
    ),
    Collection(
        "hunts",
        _lazy("Hunts"),
        _lazy("Outings of the club with the ground as it was bounded on the day."),
        hunts.PROPERTIES,
        hunts.HuntRows(),
    ),
    Collection(
        "holes",
        _lazy("Holes"),
        _lazy(
            "Holes that were dug: one's own, those of hunts one leads, or all, by role. Locked ones have no place."
        ),
        holes.PROPERTIES,
        holes.HoleRows(),
    ),
    Collection(
        "finds",
        _lazy("Finds"),
        _lazy("Finds: with their full place, their 1 km square, or no place while they are locked, by role."),
        finds.PROPERTIES,
        finds.FindRows(),
    ),
    Collection(
        "ground-covered",
        _lazy("Ground covered"),
        _lazy(
            "What tracks covered of each site since it was last cultivated. It has no date: every moment matches."
        ),
        ground.PROPERTIES,
        ground.GroundRows(),
    ),
)
COLLECTIONS: dict[str, Collection] = {each.id: each for each in _ALL}
