"""Every write of the field page."""

from field.actions.photos import PhotoTurn, add_part, begin_photo, finish_photo, leave_photo_out
from field.actions.records import leave_out, let_in, settle

__all__ = [
    "PhotoTurn",
    "add_part",
    "begin_photo",
    "finish_photo",
    "leave_out",
    "leave_photo_out",
    "let_in",
    "settle",
]
