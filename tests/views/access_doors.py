"""Who gets what of the doors: everybody their own keys, members and up the open interface."""

from tests.views.access import Row

ROWS: list[Row] = []
