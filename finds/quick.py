"""Quick entry: what was entered in this sitting, and what the next find may take over from it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.timezone import localtime

from finds.circumstances import ticks_from
from finds.models import Find, ScreeningRecord
from finds.screens import ScreeningShown, latest_records, shown
from hunts.models import Hunt
from people.models import User
from web.position_model import PositionModel

MOST = 40
PLACE = [
    *(f.name for f in PositionModel._meta.get_fields() if f.name not in {"cell"}),
    "placing",
    "placing_probability",
    "site_id",
]


@dataclass(frozen=True)
class Sitting:
    """What one person entered for one hunt on one day, the latest first."""

    finds: list[Find]
    records: dict[int, ScreeningRecord]

    @property
    def last(self) -> Find | None:
        return self.finds[0] if self.finds else None

    def find(self, key: Any) -> Find | None:
        """The find of this sitting with this primary key, as text or number."""
        return next((find for find in self.finds if str(find.pk) == str(key)), None)

    def screening(self, find: Find) -> ScreeningShown | None:
        record = self.records.get(find.pk)
        return shown(record) if record else None

    @property
    def rows(self) -> list[dict[str, Any]]:
        return [{"find": find, "screening": self.screening(find)} for find in self.finds]


def sitting_of(hunt: Hunt, user: User, *, at: datetime) -> Sitting:
    """The finds that `user` recorded for `hunt` since midnight, the newest `MOST` of them."""
    midnight = localtime(at).replace(hour=0, minute=0, second=0, microsecond=0)
    mine = Find.objects.visible_to(user).filter(hunt=hunt, recorded_by=user, recorded_at__gte=midnight)
    mine = mine.select_related("hunt", "finder").prefetch_related("materials").order_by("-pk")
    finds = list(mine[:MOST])
    return Sitting(finds, latest_records(finds))


def like(find: Find) -> dict[str, Any]:
    """What another like it starts from: object, materials and circumstances, never the place."""
    return {
        "object_type": find.object_type,
        "coin": find.is_coin == "yes",
        "materials": list(dict.fromkeys(row.material for row in find.materials.all())),
        "circumstances": ticks_from(find.facts),
        "site": find.site_id,
    }


def place_of(find: Find) -> dict[str, Any]:
    """The columns of the place of a find that the recorder just entered, for the next one at the same spot."""
    return {name: getattr(find, name) for name in PLACE if name != "site_id"} if find.is_fixed else {}
