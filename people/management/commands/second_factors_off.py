"""Take the second factors off an account whose owner has lost them all, for whoever runs the server."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.timezone import now

from people.actions import remove_factors
from people.models import account_at


class Command(BaseCommand):
    help = "Take passkeys, app and recovery codes off one account. Make sure first that it is really them who ask."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email", help="the e-mail address of the account")

    def handle(self, *args: Any, email: str, **options: Any) -> None:
        person = account_at(email)
        if person is None:
            raise CommandError(f"No account has the address {email}. Look it up among the people.")
        if remove_factors(person.pk, by=None, via="second_factors_off", at=now()):
            self.stdout.write(
                f"The second factors of {person.name} are off; they sign in by password and set up new ones."
            )
        else:
            self.stdout.write(f"{person.name} had no second factor.")
