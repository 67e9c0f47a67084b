"""The one error of this app."""


class KeepingError(Exception):
    """Something cannot be kept, proved or brought back; the sentence says what, why and what to do."""
