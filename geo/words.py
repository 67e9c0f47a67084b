"""Counts said in English."""


def counted(count: int, noun: str, verb: str = "") -> str:
    """Count and noun, with a verb that agrees: counted(2, "point", "was") gives "2 points were"."""
    plural = {"was": "were", "has": "have", "lies": "lie", "names": "name"}
    said = f"{count} {noun}" if count == 1 else f"{count} {noun}s"
    return f"{said} {verb if count == 1 else plural.get(verb, verb)}".rstrip()
