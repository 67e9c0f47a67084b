"""What belongs to one find: its materials, its photographs, and the finds it is associated with."""

from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy

from finds.models.choices import Material
from finds.models.find import Find
from hunts.models.hole import PhotoModel
from web.once import OnceModel


class FindMaterial(models.Model):
    """A material of the object and, where known, its share by weight (of the metal, for a metal).

    `words` say it more closely than the list does, or name what is not on it; `scheme` and `uri` say which term of a
    vocabulary it is, and are empty for free text.
    """

    find = models.ForeignKey(Find, on_delete=models.CASCADE, related_name="materials")
    material = models.CharField(max_length=12, choices=Material.choices)
    words = models.CharField(max_length=60, blank=True)
    scheme = models.CharField(max_length=120, blank=True)
    uri = models.CharField(max_length=200, blank=True)
    share_percent = models.DecimalField(
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["find", "material", "words"], name="find_material_once"),
            models.CheckConstraint(
                condition=Q(share_percent__isnull=True) | Q(share_percent__lte=100),
                name="find_material_share_to_100",
            ),
        ]

    def __str__(self) -> str:
        return self.words or self.get_material_display()


class FindPhoto(PhotoModel):
    """A photograph of the find."""

    class View(models.TextChoices):
        FACE = "face", _lazy("Face or front")
        BACK = "back", _lazy("Back")
        EDGE = "edge", _lazy("Edge")
        IN_SITU = "in situ", _lazy("In the ground")

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="photos")
    view = models.CharField(max_length=8, choices=View.choices, default=View.FACE)
    has_scale = models.BooleanField(_lazy("With a scale in the picture"), default=False)

    class Meta:
        ordering = ["find", "pk"]
        constraints = [models.UniqueConstraint(fields=["find", "original_sha256"], name="find_photo_once")]

    @property
    def shows(self) -> str:
        """'back, with a scale'."""
        view = self.get_view_display().lower()
        return _("%(view)s, with a scale") % {"view": view} if self.has_scale else view


class FindLinkQuerySet(models.QuerySet["FindLink"]):
    def of(self, find: Find) -> Self:
        return self.filter(Q(first=find) | Q(second=find))


class FindLink(OnceModel):
    """Two finds that somebody says have to do with each other, and how. Not a same-find group: nothing is decided.

    One row a pair, the earlier key first, so that a link reads the same from both sides.
    """

    first = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(_lazy("How they belong together"), max_length=160)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects = FindLinkQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["first", "second"], name="find_link_once"),
            models.CheckConstraint(condition=Q(first__lt=F("second")), name="find_link_in_order"),
        ]

    def other(self, find: Find) -> Find:
        """The find at the other end."""
        return self.second if self.first_id == find.pk else self.first
