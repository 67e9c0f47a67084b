"""Draw again the tracks whose masks were drawn in an older way, or on another grid than their site's."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.timezone import now

from geo.errors import GeoError
from hunts.actions import redraw_track
from hunts.cover_page import is_current
from hunts.ground import grounds_of
from hunts.models import Hunt, Track


class Command(BaseCommand):
    help = "Draw kept tracks again where the way of drawing or a site's grid has changed. Safe to repeat."

    def handle(self, *args: Any, **options: Any) -> None:
        done = 0
        for hunt in Hunt.objects.filter(tracks__isnull=False).distinct().order_by("pk"):
            grounds = {ground.site.pk: ground for ground in grounds_of(hunt)[0]}
            for track in Track.objects.filter(hunt=hunt).prefetch_related("covers"):
                rows = track.covers.all()
                if all(row.site_id in grounds and is_current(row, grounds[row.site_id]) for row in rows):
                    continue
                try:
                    redraw_track(track.pk, at=now(), via="redraw_tracks")
                    done += 1
                except GeoError as error:
                    self.stderr.write(f"{hunt.code}, {track}: {error}")
        self.stdout.write(f"{done} tracks drawn again.")
