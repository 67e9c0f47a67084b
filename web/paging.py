"""How long a page of a list is."""

A_PAGE = 25
"""Rows: on a phone each is a slip of some 150 px, and with twice as many nobody reaches the last."""
