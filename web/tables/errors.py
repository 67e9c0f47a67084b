"""A file or a cell that cannot be taken."""


class TableError(ValueError):
    """The file as a whole cannot be taken: what is wrong, and the remedy."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what}. {remedy}.")


class CellError(ValueError):
    """A cell that cannot be taken: what is wrong, and what to give instead."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what}; {remedy}.")
