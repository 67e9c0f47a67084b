"""The incident that a find opened because of what was said about it: one for each find and kind."""

from django.db import models

from hunts.models import Incident


class FindDrill(models.Model):
    """`said` is false once the answer was taken back, with its reason; the incident and the lock stay all the same."""

    find = models.ForeignKey("finds.Find", on_delete=models.PROTECT, related_name="drills")
    kind = models.CharField(max_length=10, choices=Incident.Kind.choices)
    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="find_drills")
    said = models.BooleanField(default=True)
    opened_at = models.DateTimeField()

    class Meta:
        ordering = ["opened_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["find", "kind"], name="find_drill_once")]

    def __str__(self) -> str:
        return self.get_kind_display()
