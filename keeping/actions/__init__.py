"""What this app changes: rows whose time is over."""

from keeping.actions.tidy import tidy_files, tidy_up

__all__ = ["tidy_files", "tidy_up"]
