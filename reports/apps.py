"""The reports app."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"

    def ready(self) -> None:
        from hunts.past_ties import register
        from reports.past_ties import reports_hold

        register(reports_hold)
