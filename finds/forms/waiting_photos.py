"""The photographs of a find's form, which wait while it is shown again."""

from django.utils.translation import gettext_lazy as _lazy

from finds.actions.photos import PreparedPhoto
from hunts.forms.waiting_photos import WaitingPhotosMixin
from web.photo_field import PhotosField


class FindPhotosMixin(WaitingPhotosMixin):
    """Mixin for a find's form with a hidden `client_id`: one field for all photographs."""

    photos = PhotosField(
        label=_lazy("Photographs"),
        required=False,
        help_text=_lazy("Both faces, the edge, and a scale beside it."),
    )

    def prepared_photos(self) -> list[PreparedPhoto]:
        """What to attach to the find: those that waited and the new ones."""
        return [PreparedPhoto(taken, "face") for _, taken in self.photos_to_keep()]
