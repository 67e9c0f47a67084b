"""Begin a club: make its first secretary's account and print the address on which they choose a password."""

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.core.validators import validate_email
from django.utils.timezone import now

from people.actions import InvitationError, invite_first


class Command(BaseCommand):
    help = "Make the first secretary's account and print the private address that opens it. Works while there is none."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email")
        parser.add_argument("name", help="in quotes, as it is written")
        parser.add_argument("--site", default=settings.PUBLIC_URL, help="address of the site (PUBLIC_URL)")

    def handle(self, *args: Any, email: str, name: str, site: str, **options: Any) -> None:
        if not site:
            raise CommandError(
                "Set PUBLIC_URL, or give --site https://club.example: the address begins with it."
            )
        try:
            validate_email(email)
            address = invite_first(
                email=email, name=name, via="first_secretary", at=now(), site=site.rstrip("/")
            )
        except InvitationError as error:
            raise CommandError(str(error)) from error
        except ValidationError as error:
            raise CommandError(f"“{email}” is no e-mail address; give one like sal@club.example.") from error
        self.stdout.write(f"{name} chooses a password here, within seven days, once:\n{address}")
