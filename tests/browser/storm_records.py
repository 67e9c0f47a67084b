"""What somebody records in the storm, written down beside the phone before anything can go wrong with it."""

from dataclasses import dataclass, field
from io import BytesIO
from random import Random
from typing import Any
from uuid import UUID

import numpy as np
from PIL import Image

from tests.browser.field_storm import StormPhone


@dataclass
class Made:
    """What was recorded: by key the kind and the token in its words, and photographs by digest."""

    records: dict[str, tuple[str, str]] = field(default_factory=dict)
    depths: dict[str, int] = field(default_factory=dict)
    photos: dict[str, str] = field(default_factory=dict)


def jpeg(rng: Random, side: int) -> bytes:
    """A photograph like no other: noise, so that it is sent in several parts."""
    out = BytesIO()
    pixels = np.random.default_rng(rng.getrandbits(32)).integers(0, 255, (side, side, 3), dtype=np.uint8)
    Image.fromarray(pixels).save(out, "JPEG", quality=92)
    return out.getvalue()


def new_key(rng: Random) -> str:
    return str(UUID(int=rng.getrandbits(128), version=4))


class Recorder:
    """Makes records on a phone as the random numbers have it, and writes down what was made."""

    def __init__(self, rng: Random, world: dict[str, Any]) -> None:
        self.rng, self.world, self.made = rng, world, Made()
        self.holes: list[str] = []
        self.incidents: list[str] = []

    def place(self) -> dict[str, Any]:
        lat, lon = self.world["lat"], self.world["lon"]
        step = self.rng.uniform(-0.0004, 0.0004)
        return {"lat": lat + step, "lon": lon - step, "accuracy_m": 4.0, "method": "averaged"}

    def hole(self, phone: StormPhone) -> str:
        depth = self.rng.randint(5, 30)
        data = {"position": self.place(), "text": "", "depth_cm": depth, "outcome": "scrap", "target_id": 50}
        key = self._keep(phone, "hole", data | {"ground": "stubble", "filled": False}, "notes")
        self.holes.append(key)
        self.made.depths[key] = depth
        return key

    def find(self, phone: StormPhone) -> None:
        owner = self.rng.choice(self.holes) if self.holes else None
        data = {"object_type": "buckle", "count": 1, "coin": "no", "materials": [], "hole": owner, "text": ""}
        self._keep(phone, "find", data | {"position": None if owner else self.place()}, "notes")

    def reading(self, phone: StormPhone) -> None:
        value = self.rng.randint(20, 80)
        self._keep(
            phone, "reading", {"kit": self.world["kit"], "environment": "arable", "value": value}, "notes"
        )

    def incident(self, phone: StormPhone) -> None:
        data = {"kind": "gate", "told": "", "hole": None, "text": "", "position": self.place()}
        self.incidents.append(self._keep(phone, "incident", data, "words"))

    def fill(self, phone: StormPhone) -> None:
        if self.holes:
            self._keep(phone, "fill", {"hole": self.holes.pop(self.rng.randrange(len(self.holes)))}, None)

    def correct(self, phone: StormPhone) -> None:
        """Another depth for a hole of this phone, wherever it has got to."""
        mine = [key for key in self.holes if key in phone.standing()["records"]]
        if mine:
            key = self.rng.choice(mine)
            depth = self.rng.randint(31, 60)
            phone.edit(key, {"depth_cm": depth})
            self.made.depths[key] = depth

    def photo(self, phone: StormPhone) -> None:
        """Of a hole or an incident that is on this phone."""
        made = [("hole", key) for key in self.holes] + [("incident", key) for key in self.incidents]
        here = phone.standing()["records"]
        mine = [(of, key) for of, key in made if key in here]
        of, owner = self.rng.choice(mine) if mine else ("hole", self.hole(phone))
        data = jpeg(self.rng, self.rng.choice((64, 160, 300)))
        self.made.photos[phone.add_picture(data, of, owner)] = owner

    def some(self, phone: StormPhone) -> None:
        """The next thing that somebody records."""
        kinds = (
            self.hole,
            self.hole,
            self.find,
            self.reading,
            self.incident,
            self.fill,
            self.correct,
            self.photo,
        )
        if phone.has_pack():
            self.rng.choice(kinds)(phone)

    def _keep(self, phone: StormPhone, kind: str, data: dict[str, Any], words: str | None) -> str:
        key = new_key(self.rng)
        token = f"record {key}"
        phone.make({"client_id": key, "kind": kind, "data": data | ({words: token} if words else {})})
        self.made.records[key] = (kind, token if words else "")
        return key
