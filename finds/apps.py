"""The finds app."""

from django.apps import AppConfig


class FindsConfig(AppConfig):
    name = "finds"

    def ready(self) -> None:
        from finds.past_day import finds_follow, finds_hold
        from hunts.past_ties import register

        register(finds_hold, finds_follow)
