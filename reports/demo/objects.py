"""What the demo finds: kinds of object with material, date range, weight and the answers the form would give."""

from dataclasses import dataclass
from decimal import Decimal
from random import Random
from typing import Any

from finds.circumstances import NO_PRECIOUS, answers_from

PLAIN: dict[str, Any] = answers_from(["none"]) | NO_PRECIOUS | {"worked": "yes"}
SILVER: dict[str, Any] = answers_from(["none"]) | {"worked": "yes"}


@dataclass(frozen=True, slots=True)
class Kind:
    words: str
    material: str
    years: tuple[int, int]
    grams: tuple[float, float]
    coin: str
    shape: str
    period: str
    weight: int  # how common


KINDS = [
    Kind("button, flat", "copper alloy", (1760, 1840), (1.5, 6), "no", "disc", "Post-medieval", 9),
    Kind("button, livery", "copper alloy", (1830, 1900), (2, 5), "no", "disc", "Post-medieval", 4),
    Kind("halfpenny, George III", "copper alloy", (1770, 1807), (7, 10), "yes", "disc", "Post-medieval", 5),
    Kind("penny, Victoria", "copper alloy", (1860, 1901), (8.5, 9.5), "yes", "disc", "Post-medieval", 6),
    Kind("farthing", "copper alloy", (1672, 1720), (4, 5.6), "yes", "disc", "Post-medieval", 3),
    Kind("buckle, shoe", "copper alloy", (1730, 1790), (4, 18), "no", "ring", "Post-medieval", 4),
    Kind("musket ball", "lead", (1640, 1815), (14, 33), "no", "disc", "Post-medieval", 6),
    Kind("cloth seal", "lead", (1740, 1830), (3, 14), "no", "disc", "Post-medieval", 3),
    Kind("weight, disc", "lead", (1500, 1800), (12, 80), "no", "disc", "Post-medieval", 3),
    Kind("thimble", "copper alloy", (1750, 1850), (3, 6), "no", "ring", "Post-medieval", 3),
    Kind("spoon bowl", "tin", (1750, 1820), (10, 25), "no", "bar", "Post-medieval", 2),
    Kind("horseshoe", "iron", (1800, 1920), (150, 400), "no", "ring", "Post-medieval", 3),
    Kind("nummus", "copper alloy", (330, 348), (1, 2.4), "yes", "disc", "Roman", 2),
    Kind("sixpence", "silver", (1816, 1919), (2.4, 2.8), "yes", "disc", "Post-medieval", 3),
    Kind("strap end", "copper alloy", (1300, 1450), (2, 9), "no", "bar", "Medieval", 1),
]


# Struck sizes in millimetres (penny, sixpence: as coined; the others from memory), so that no coin of the demo is odd.
ACROSS_MM = {
    "halfpenny, George III": (28.0, 30.5),
    "penny, Victoria": (30.2, 31.0),
    "farthing": (21.5, 24.0),
    "nummus": (14.0, 18.0),
    "sixpence": (19.0, 19.4),
}


def pick(rng: Random) -> Kind:
    return rng.choices(KINDS, [kind.weight for kind in KINDS])[0]


def record_of(kind: Kind, rng: Random) -> dict[str, Any]:
    """Columns of a find of this kind, as the form would give them."""
    return {
        "object_type": kind.words,
        "is_coin": kind.coin,
        "year_from": kind.years[0],
        "year_to": kind.years[1],
        "period": kind.period,
        "certainty": rng.choice(["certain", "probable"]),
        "weight_g": round(rng.uniform(*kind.grams), 2),
        "facts": SILVER if kind.material == "silver" else PLAIN,
        "context": "ploughsoil",
        **_looked_at(kind, Random(str(rng.getstate()[1][::624]))),  # noqa: S311 (drawn aside: the season stays as it was)
    }


def _looked_at(kind: Kind, rng: Random) -> dict[str, Any]:
    """What the finds table adds: size, state, letters, and for some the year of the coin in EDTF."""
    whole = rng.random() < 0.7
    least, most = ACROSS_MM.get(kind.words, (12.0, 34.0))
    across = Decimal(rng.randrange(round(least * 10), round(most * 10) + 1)) / 10
    known: dict[str, Any] = {
        "completeness": "complete" if whole else rng.choice(["incomplete", "fragment"]),
        "condition": "corroded" if kind.material == "iron" else rng.choice(["good", "fair", "worn", "poor"]),
        "length_mm" if kind.shape == "bar" else "diameter_mm": across
        if whole or kind.shape != "bar"
        else None,
    }
    if kind.coin == "yes" and rng.random() < 0.5:
        year = rng.randrange(*kind.years)
        known |= {"edtf": f"{year:04d}", "year_from": None, "year_to": None, "inscription": f"…{year}…"}
    elif rng.random() < 0.2:
        known |= {"year_from": None, "year_to": None}
    return known
