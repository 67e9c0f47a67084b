"""Pictures of ground covered: seen without a map program, and printed."""

from hunts.cover_page import covered_of, picture_of
from hunts.cover_screens import chosen_of, sees_site_cover, site_cover
from hunts.ground import grounds_of
from hunts.models import Hunt
from people.models import User
from permissions.models import Site


def hunt_picture(hunt: Hunt, user: User, site_id: int, person: str) -> bytes | None:
    """A PNG of the tracks that `user` may see on one site of the hunt; None where there are none."""
    chosen = chosen_of(hunt, user, person)
    ground = next((each for each in grounds_of(hunt)[0] if each.site.pk == site_id), None)
    if ground is None or not chosen.tracks:
        return None
    return picture_of(covered_of(ground, chosen.covers[site_id]))


def site_picture(site: Site, user: User) -> bytes | None:
    """A PNG of the whole site since it was last cultivated; None for readers who see shares only."""
    covered = site_cover(site)[0] if sees_site_cover(user) else None
    return picture_of(covered) if covered else None
