"""What the pure geometry layer raises: one plain sentence with the value that was wrong and what to give
instead.
"""


class GeoError(ValueError):
    """A value could not be used. `str()` is the whole sentence; `.value` and `.remedy` are its parts."""

    def __init__(self, what: str, *, value: object, remedy: str) -> None:
        """`what` says what is wrong and already names the value; `remedy` says what to give instead."""
        self.what = what.rstrip(".; ")
        self.value = value
        self.remedy = remedy.rstrip(". ")
        super().__init__(f"{self.what}; {self.remedy}.")


class PositionError(GeoError):
    """Text or numbers that do not name one place."""


class BoundaryError(GeoError):
    """A shape that cannot be kept as a boundary."""


def shown(text: str, limit: int = 60) -> str:
    """The text as it may be quoted in a message: one line, at most `limit` characters."""
    line = " ".join(text.split())
    return line if len(line) <= limit else line[: limit - 1] + "…"
