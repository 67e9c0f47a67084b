"""A form field that takes several photographs and answers each file that cannot be read by name."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from web.photos import PhotoError, TakenPhoto, take_in

MOST_AT_ONCE = 12


class PhotoInput(forms.ClearableFileInput):
    """A file input for several photographs; phones offer the camera."""

    allow_multiple_selected = True

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"accept": "image/jpeg,image/png,image/webp,image/heic,image/heif", **(attrs or {})})


class PhotosField(forms.FileField):
    """Cleans to a list of TakenPhoto: read, turned upright, stripped of metadata, made smaller."""

    widget = PhotoInput
    taken: tuple[TakenPhoto, ...] = ()
    """What could be read of the last sending, also when another file in it could not."""

    def clean(self, data: Any, initial: Any = None) -> list[TakenPhoto]:
        files: list[Any] = [f for f in (data if isinstance(data, list | tuple) else [data]) if f]
        if not files:
            if self.required:
                raise forms.ValidationError(_("Choose at least one photograph."))
            return []
        if len(files) > MOST_AT_ONCE:
            raise forms.ValidationError(
                _(
                    "%(files)s photographs are too many at once; send up to %(most_at_once)s and add the "
                    "rest after."
                )
                % {"files": len(files), "most_at_once": MOST_AT_ONCE}
            )
        taken, errors = [], []
        for file in files:
            try:
                taken.append(take_in(file))
            except PhotoError as error:
                errors.append(str(error))
        self.taken = tuple(taken)
        if errors:
            raise forms.ValidationError(errors)
        return taken
