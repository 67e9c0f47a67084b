"""People without an account who come with a member: guests, and juniors with their responsible adult."""

from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from people.models import User
from people.rights import Right
from web.once import OnceModel

ADULT_AGE = 18


class GuestQuerySet(models.QuerySet["Guest"]):
    def visible_to(self, user: User) -> Self:
        """Those who run hunts, and the members who bring them or answer for them."""
        if user.holds(Right.RUN_HUNT) or user.holds(Right.SEE_PEOPLE):
            return self
        if not user.roles:
            return self.none()
        return self.filter(Q(host__user=user) | Q(responsible__user=user))

    def standing(self) -> Self:
        """Guests who hold a place."""
        return self.filter(withdrawn_at__isnull=True)

    def out(self) -> Self:
        """Guests who came in and have not signed out."""
        return self.filter(signed_in_at__isnull=False, signed_out_at__isnull=True)


class Guest(OnceModel):
    """One head without an account. A junior's data is kept to name, age and who answers for them."""

    hunt = models.ForeignKey("hunts.Hunt", on_delete=models.PROTECT, related_name="guests")
    host = models.ForeignKey("hunts.SignUp", on_delete=models.PROTECT, related_name="guests")
    name = models.CharField(_lazy("Name"), max_length=120)
    is_junior = models.BooleanField(_lazy("Under 18"), default=False)
    age = models.PositiveIntegerField(
        _lazy("Age"), null=True, blank=True, validators=[MaxValueValidator(120)]
    )
    responsible = models.ForeignKey(
        "hunts.SignUp", null=True, blank=True, on_delete=models.PROTECT, related_name="juniors"
    )
    insurer = models.CharField(_lazy("Insurer or association"), max_length=120)
    insured_until = models.DateField(_lazy("Last day of the insurance card"))
    emergency_contact = models.CharField(_lazy("Emergency contact (name and phone)"), max_length=160)
    added_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    signed_in_at = models.DateTimeField(null=True, blank=True)
    signed_in_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    signed_out_at = models.DateTimeField(null=True, blank=True)
    signed_out_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    objects = GuestQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(is_junior=False)
                | Q(responsible__isnull=False, age__isnull=False, age__lt=ADULT_AGE),
                name="guest_junior_has_adult",
            ),
            models.CheckConstraint(
                condition=Q(signed_out_at__isnull=True)
                | Q(signed_in_at__isnull=False, signed_out_at__gte=F("signed_in_at")),
                name="guest_out_after_in",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True) | Q(signed_in_at__isnull=True),
                name="guest_withdrawn_never_came",
            ),
        ]

    def __str__(self) -> str:
        return f"guest {self.pk}"

    @property
    def is_out(self) -> bool:
        return self.signed_in_at is not None and self.signed_out_at is None
