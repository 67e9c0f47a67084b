"""Which hand-overs a returns statement makes: accepted when the landholder confirms it."""

from django.db import models


class ReturnsHandOver(models.Model):
    """One hand-over to the landholder that goes with one issued statement; one for each person who holds something."""

    report = models.ForeignKey("reports.IssuedReport", on_delete=models.PROTECT, related_name="going_back")
    hand_over = models.OneToOneField("finds.HandOver", on_delete=models.PROTECT, related_name="statement")

    class Meta:
        ordering = ["report", "pk"]

    def __str__(self) -> str:
        return f"{self.report_id} with {self.hand_over_id}"
