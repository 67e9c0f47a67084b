"""What the tests share."""

import os

EVERYTHING = os.environ.get("STUBBLE_EVERYTHING") == "1"
"""A run that takes its time: every page to every reader, every long test, more examples."""
