"""The people app."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "people"

    def ready(self) -> None:
        from allauth.mfa.signals import authentication_failed
        from django.contrib.auth.signals import user_logged_in

        from people import checks  # noqa: F401 - registers them
        from people.views.account_door import code_failed
        from people.views.session_rules import begin

        # The frameworks' own way to be told of what happens inside them.
        user_logged_in.connect(begin, dispatch_uid="session began")
        authentication_failed.connect(code_failed, dispatch_uid="code failed")
