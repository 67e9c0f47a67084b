"""What this app changes: keys."""

from doors.actions.tokens import TooManyKeysError, make_token, note_use, revoke_token

__all__ = ["TooManyKeysError", "make_token", "note_use", "revoke_token"]
