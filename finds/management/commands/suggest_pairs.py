"""Look for pairs among all finds, for records that were there before suggestions were kept. Safe to run again."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils.timezone import now

from finds.actions.suggest import suggest_on_site
from finds.models import Find


class Command(BaseCommand):
    help = (
        "Look for pairs of finds that may be one find, one site at a time. Needed once after an upgrade: since then "
        "each find looks round itself when it is recorded or changed."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        sites = Find.objects.order_by("site").values_list("site", flat=True).distinct()
        looked = sum(suggest_on_site(site, at=now()) for site in sites)
        self.stdout.write(f"{looked} finds lie within reach of another; their pairs are up to date.")
