"""What finds are worth, what became of them, and the sheet on which a club settles them with a landholder."""

from typing import Any, Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _lazy

from finds.states import LIVE_SHEETS, SheetState
from people.models import User
from people.rights import Right
from web.append_only import AppendOnlyModel
from web.once import OnceModel


class FateWord(models.TextChoices):
    """What becomes of an object; the values are those of finds.settlement.Fate."""

    FINDER_KEEPS = "finder keeps", _lazy("The finder keeps it")
    LANDHOLDER_KEEPS = "landholder keeps", _lazy("The landholder keeps it")
    SOLD = "sold", _lazy("Sold")
    DONATED = "donated", _lazy("Given to a museum")
    REBURIED = "reburied", _lazy("Reburied")
    SCRAPPED = "scrapped", _lazy("Scrapped")
    WITH_AUTHORITY = "with the authority", _lazy("With the authority")


class Valuation(OnceModel, AppendOnlyModel):
    """One opinion of what a find is worth. A slip is put right by a new row that names the old one."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="valuations")
    on = models.DateField(_lazy("Valued on"))
    valuer = models.CharField(_lazy("Who valued it"), max_length=120)
    method = models.CharField(_lazy("How"), max_length=200)
    currency = models.CharField(max_length=3)
    low = models.DecimalField(
        _lazy("From"), max_digits=12, decimal_places=3, validators=[MinValueValidator(0)]
    )
    high = models.DecimalField(
        _lazy("To"), max_digits=12, decimal_places=3, validators=[MinValueValidator(0)]
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    why = models.CharField(_lazy("Why it is corrected"), max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(low__gt=0, high__gte=F("low")), name="valuation_low_to_high"),
        ]

    def __str__(self) -> str:
        return f"valuation {self.pk}"


class FindFate(OnceModel, AppendOnlyModel):
    """What became of one find; the last row counts."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="fates")
    fate = models.CharField(_lazy("What becomes of it"), max_length=18, choices=FateWord.choices)
    price = models.DecimalField(
        _lazy("Sold for, fees already off"), max_digits=12, decimal_places=3, null=True, blank=True
    )
    keeper = models.ForeignKey(
        "permissions.Landholder", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    waived = models.BooleanField(_lazy("Nobody asks anything for it"), default=False)
    on = models.DateField(_lazy("Since"))
    words = models.CharField(_lazy("What was said"), max_length=300, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(fate__in=FateWord.values), name="find_fate_known"),
            models.CheckConstraint(
                condition=Q(price__isnull=True) | Q(price__gt=0, fate="sold"), name="find_fate_price_if_sold"
            ),
        ]

    def __str__(self) -> str:
        return self.get_fate_display()


class SheetQuerySet(models.QuerySet["Sheet"]):
    def visible_to(self, user: User) -> Self:
        """Every sheet for those who settle; a finder sees what was sent about their own finds."""
        if user.holds(Right.SETTLE):
            return self
        if not user.roles:
            return self.none()
        return self.filter(rows__find__finder=user).exclude(state=SheetState.DRAFT).distinct()

    def live(self) -> Self:
        """Sheets that were not replaced or given up."""
        return self.filter(state__in=LIVE_SHEETS)


class Sheet(OnceModel):
    """Finds under one permission settled together, with the terms that they are settled under.

    The terms are columns of their own: they are those of the day of the hunt, and later changes of the permission
    change no sheet. `figures` is what the sheet came to when it was sent.
    """

    number = models.CharField(max_length=20, unique=True)
    title = models.CharField(max_length=200)
    state = models.CharField(
        max_length=10, choices=[(s.value, _lazy(s.value)) for s in SheetState], default=SheetState.DRAFT
    )
    permission = models.ForeignKey(
        "permissions.Permission", on_delete=models.PROTECT, related_name="settlements"
    )
    currency = models.CharField(max_length=3)
    way = models.CharField(
        _lazy("Several opinions become one by"),
        max_length=6,
        choices=[("mean", _lazy("their mean")), ("median", _lazy("their median"))],
        default="mean",
    )
    terms: Any = models.JSONField(default=dict)  # finds/sheets.py: terms_data
    terms_on = models.DateField()
    terms_note = models.CharField(max_length=300, blank=True)
    figures: Any = models.JSONField(default=dict, blank=True)
    replaces = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField(null=True, blank=True)
    ended_why = models.CharField(max_length=300, blank=True)

    objects = SheetQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[s.value for s in SheetState]), name="sheet_state_known"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class SheetRow(models.Model):
    """One find on a sheet. A find is on one live sheet at most, so that it is never settled twice."""

    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="rows")
    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="sheet_rows")
    live = models.BooleanField(default=True)

    class Meta:
        ordering = ["find__number"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "find"], name="sheet_row_once"),
            models.UniqueConstraint(fields=["find"], condition=Q(live=True), name="find_on_one_live_sheet"),
        ]


class SheetShare(models.Model):
    """A landholder's part of the landholders' side, in per cent."""

    sheet = models.ForeignKey(Sheet, on_delete=models.CASCADE, related_name="shares")
    landholder = models.ForeignKey("permissions.Landholder", on_delete=models.PROTECT, related_name="+")
    percent = models.DecimalField(max_digits=7, decimal_places=4, validators=[MinValueValidator(0)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["sheet", "landholder"], name="sheet_share_once"),
            models.CheckConstraint(condition=Q(percent__gte=0, percent__lte=100), name="sheet_share_to_100"),
        ]


class SheetPayment(OnceModel, AppendOnlyModel):
    """Money that went from one party of a sheet to another."""

    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="payments")
    payer = models.CharField(max_length=40)  # party keys of finds/sheets.py
    payee = models.CharField(max_length=40)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    on = models.DateField(_lazy("Paid on"))
    how = models.CharField(_lazy("How"), max_length=120)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["on", "pk"]
        constraints = [models.CheckConstraint(condition=Q(amount__gt=0), name="sheet_payment_positive")]
