"""What this app changes: rows whose time is over, files that no record names, the note that a backup was proved."""

from keeping.actions.proofs import note_proof
from keeping.actions.tidy import tidy_files, tidy_up

__all__ = ["note_proof", "tidy_files", "tidy_up"]
