"""A party with a say over land, and the private link that lets them read without an account."""

from datetime import datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from permissions.models.site import SiteParty
from web.once import OnceModel


class LandholderQuerySet(models.QuerySet["Landholder"]):
    def visible_to(self, user: User) -> Self:
        """Landholders' details are for those who keep the permissions; nobody else sees a row."""
        return self if user.holds(Right.SEE_LANDHOLDERS) else self.none()

    def with_sites(self) -> Self:
        """The landholders with the sites they have a say over, without the weight of boundaries."""
        parties = SiteParty.objects.select_related("site").only("landholder", "site__code", "site__name")
        return self.prefetch_related(models.Prefetch("parties", parties))


class Landholder(OnceModel):
    """A person, family or body. The capacity (owner, occupier...) belongs to the land: see SiteParty."""

    name = models.CharField(_lazy("Name"), max_length=160)
    contact_name = models.CharField(_lazy("Whom to ask for"), max_length=120, blank=True)
    email = models.EmailField(_lazy("E-mail"), blank=True)
    phone = models.CharField(_lazy("Phone"), max_length=60, blank=True)
    address = models.TextField(_lazy("Address"), blank=True)
    notes = models.TextField(_lazy("Notes"), blank=True)
    language = models.CharField(_lazy("Language"), max_length=10, blank=True)  # empty: the club's
    held_since = models.DateField(_lazy("Details held since"), null=True, blank=True)
    held_why = models.CharField(
        _lazy("Why we hold them"),
        max_length=200,
        blank=True,
        default="To keep and honour a permission to search",
    )

    asks_code = models.BooleanField(
        _lazy("The private page asks for a code sent by e-mail"),
        default=False,
        help_text=_lazy("Whoever is handed the address without the code sees nothing."),
    )
    erased_on = models.DateField(null=True, blank=True, editable=False)

    objects = LandholderQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class LandholderLinkQuerySet(models.QuerySet["LandholderLink"]):
    def live(self, at: datetime) -> Self:
        """Links that open the page at `at`: not revoked and not yet expired."""
        return self.filter(revoked_at__isnull=True, expires_at__gt=at)


class LandholderLink(OnceModel):
    """One private link. The address carries a signed key; this row can end it at any time."""

    landholder = models.ForeignKey(Landholder, on_delete=models.PROTECT, related_name="links")
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_at = models.DateTimeField(null=True, blank=True)

    objects = LandholderLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"link for {self.landholder_id}"


class LinkCode(models.Model):
    """A one-time code that was sent to the landholder's address on file. Only its keyed digest is kept.

    The newest code of a link is the only one that opens anything. `used_by` is the form that carried it, so that the
    same form sent twice is one use.
    """

    link = models.ForeignKey(LandholderLink, on_delete=models.PROTECT, related_name="codes")
    digest = models.CharField(max_length=64)
    address_sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    wrong = models.PositiveSmallIntegerField(default=0)
    used_at = models.DateTimeField(null=True, blank=True)
    used_by = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"code {self.pk}"
