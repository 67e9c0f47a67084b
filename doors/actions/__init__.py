"""What this app changes: keys, and that files were taken."""

from doors.actions.files import note_file
from doors.actions.tokens import TooManyKeysError, make_token, note_use, revoke_token

__all__ = ["TooManyKeysError", "make_token", "note_file", "note_use", "revoke_token"]
