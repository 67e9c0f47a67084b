"""What the pages of an import show: the likely places of a file's numbers, and its shapes before they are saved."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from geo.polygon import CheckedBoundary
from people.models import Club, User
from permissions.maps import background, drawn_feature, drawn_on_map, points_on_map, sites_on_map
from permissions.models import ImportDraft, Site
from permissions.shared_ground import Shared, shared_by, shared_words

_CODE = re.compile(r"[A-Za-z]{1,6}[- ]?\d{1,5}[A-Za-z]?")
_NEIGHBOURS = 200


@dataclass
class ShapeRow:
    """One shape as it is looked at: `form` is None where it cannot be taken over and `error` says why."""

    number: int
    name: str
    area_m2: float | None
    notes: list[str]
    error: str = ""
    form: Any = None


def club_place() -> tuple[float, float] | None:
    """The club's own longitude and latitude, where they are set."""
    club = Club.objects.filter(pk=1).only("base_lon", "base_lat").first()
    return (club.base_lon, club.base_lat) if club and club.base_lon and club.base_lat else None


def question_context(draft: ImportDraft) -> dict[str, Any]:
    """The likely systems as points on the map, so that the right one is seen."""
    places = [(c["lon"], c["lat"], c["label"]) for c in draft.choices]
    return {"draft": draft, "layers": {"places": points_on_map(places), "ground": background()}}


def shared_in(draft: ImportDraft, user: User) -> dict[int, list[Shared]]:
    """For each good shape by number, what it shares ground with."""
    good = [(n, shape["geometry"]) for n, shape in enumerate(draft.shapes) if "error" not in shape]
    sites = Site.objects.visible_to(user).current()
    numbers = [number for number, _rest in good]
    found = shared_by([geometry for _rest, geometry in good], sites)
    # `shared_by` counts the shapes that it was given; on the page every shape of the file is counted.
    named = [[_by_file(s, numbers) for s in shared] for shared in found]
    return dict(zip(numbers, named, strict=True))


def _by_file(shared: Shared, numbers: list[int]) -> Shared:
    if isinstance(shared.other, int):
        return Shared(numbers[shared.other - 1] + 1, shared.shared_m2, shared.same)
    return shared


def suggestions(
    draft: ImportDraft, shared: dict[int, list[Shared]], codes: Iterable[str]
) -> dict[int, dict[str, str]]:
    """What each shape most likely becomes: a new line for the site on the same ground or with that code, else new."""
    known = {code.upper() for code in codes}
    free = set(known)
    found: dict[int, dict[str, str]] = {}
    for number in shared:
        name = draft.shapes[number]["name"]
        same = [s.other for s in shared[number] if s.same and isinstance(s.other, Site)]
        if same or name.upper() in known:
            code = same[0].code if same else name.upper()
            found[number] = {"what": "redraw", "code": code, "name": same[0].name if same else ""}
        else:
            code = _free_code(name, free)
            free.add(code)
            found[number] = {"what": "new", "code": code, "name": "" if name.startswith("Shape ") else name}
    return found


def _free_code(name: str, taken: set[str]) -> str:
    """The name itself where it looks like a code, else its initials with the next free number."""
    if _CODE.fullmatch(name) and len(name) <= 12 and name.upper() not in taken:
        return name.upper()
    words = [w for w in re.findall(r"[^\W\d_]+", name) if w.lower() not in {"the", "of", "and"}]
    initials = "".join(w[0] for w in words[:3]).upper() or "S"
    return next(code for n in range(1, 10_000) if (code := f"{initials}{n:02}") not in taken)


def preview_context(
    draft: ImportDraft, user: User, form: Any, shared: dict[int, list[Shared]]
) -> dict[str, Any]:
    """The shapes on the map among their neighbours, with what was mended and what they share."""
    rows = [
        ShapeRow(
            number + 1,
            shape["name"],
            shape.get("area_m2"),
            [*shape.get("notes", []), *shared_words(shared.get(number, []))],
            shape.get("error", ""),
            form.rows.get(number),
        )
        for number, shape in enumerate(draft.shapes)
    ]
    drawn = [
        drawn_feature(shape["geometry"], f"{number}. {shape['name']}")
        for number, shape in enumerate(draft.shapes, 1)
        if "error" not in shape
    ]
    features = sites_on_map(_around(draft, user), {})
    features["features"] += drawn
    return {
        "draft": draft,
        "form": form,
        "rows": rows,
        "errors": list(form.errors()),
        "layers": {"shapes": features, "ground": background()},
    }


def look_context(checked: CheckedBoundary | None, user: User, *, but: int | None = None) -> dict[str, Any]:
    """A boundary drawn or pasted that was mended: on the map, with what was done to it and what it shares."""
    if checked is None:
        return {}
    sites = Site.objects.visible_to(user).current()
    sites = sites if but is None else sites.exclude(pk=but)
    shared = shared_by([checked.geometry], sites)[0]
    west, south, east, north = checked.bounds
    near = sites.filter(min_lat__lt=north + 0.01, max_lat__gt=south - 0.01)
    near = near.filter(min_lon__lt=east + 0.02, max_lon__gt=west - 0.02)
    features = drawn_on_map([(checked.geometry, _("The boundary to be saved"))], near[:_NEIGHBOURS])
    return {
        "area_m2": checked.area_m2,
        "notes": [*checked.notes, *shared_words(shared)],
        "layers": {"shapes": features, "ground": background()},
    }


def _around(draft: ImportDraft, user: User) -> Iterable[Site]:
    """The sites in use near the shapes."""
    boxes = [shape["bounds"] for shape in draft.shapes if "error" not in shape]
    if not boxes:
        return []
    wests, souths, easts, norths = zip(*boxes, strict=True)
    near = Site.objects.visible_to(user).current()
    near = near.filter(min_lat__lt=max(norths) + 0.01, max_lat__gt=min(souths) - 0.01)
    return near.filter(min_lon__lt=max(easts) + 0.02, max_lon__gt=min(wests) - 0.02)[:_NEIGHBOURS]
