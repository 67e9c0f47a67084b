"""What of a file was left out, in one sentence for each kind of thing."""

from tongue import figure, say_many


def left_out(what: str, count: int) -> str:
    """The sentence for `count` of one kind, by the key that it was counted under."""
    said = {
        "point": say_many("%(count)s point was left out.", "%(count)s points were left out.", count),
        "line": say_many("%(count)s line was left out.", "%(count)s lines were left out.", count),
        "empty shape": say_many(
            "%(count)s empty shape was left out.", "%(count)s empty shapes were left out.", count
        ),
        "empty placemark": say_many(
            "%(count)s empty placemark was left out.", "%(count)s empty placemarks were left out.", count
        ),
        "deleted shape": say_many(
            "%(count)s deleted shape was left out.", "%(count)s deleted shapes were left out.", count
        ),
        "shape across": say_many(
            "%(count)s shape across the 180th meridian was left out.",
            "%(count)s shapes across the 180th meridian were left out.",
            count,
        ),
        "shape without ground": say_many(
            "%(count)s shape without any ground inside was left out.",
            "%(count)s shapes without any ground inside were left out.",
            count,
        ),
        "shape beyond": say_many(
            "%(count)s shape beyond the area asked for was left out.",
            "%(count)s shapes beyond the area asked for were left out.",
            count,
        ),
        "short ring": say_many(
            "%(count)s ring of fewer than three points was left out.",
            "%(count)s rings of fewer than three points were left out.",
            count,
        ),
        "tangled outline": say_many(
            "%(count)s outline too tangled to mend was left out.",
            "%(count)s outlines too tangled to mend were left out.",
            count,
        ),
    }
    return said[what] % {"count": figure(f"{count:,}")}
