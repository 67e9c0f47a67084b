"""Run as a program: fill an empty database with a hunt that runs today and print who may sign in, as JSON."""

import json
import os
import sys
from datetime import time
from typing import Any

PHONES = 2


def main() -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.browser.server_settings"
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", run_syncdb=True, verbosity=0)
    guard_ledgers()
    json.dump(fill(), sys.stdout)


def guard_ledgers() -> None:
    """The append-only triggers, which the migrations would have made."""
    from django.apps import apps
    from django.db import connection

    from web.append_only import AppendOnlyModel, guard_sql

    with connection.cursor() as cursor:
        for model in apps.get_models():
            if issubclass(model, AppendOnlyModel):
                for statement in guard_sql(connection.vendor, model._meta.db_table)[0]:
                    cursor.execute(statement)


def fill() -> dict[str, Any]:
    from shapely.geometry import shape

    from people.rights import Role
    from tests import make, make_kit

    make.club()
    member, leader = make.person(name="Mo Saltwort"), make.person(Role.LEADER, name="Len Groyne")
    hunt = make.hunt(leader=leader, state="running", starts_at=time(0), ends_at=time(23, 59))
    make.attendance(hunt, member)
    kit = make_kit.kit(member)
    middle = shape(hunt.sites.all()[0].boundary).representative_point()
    return {
        "member": member.pk,
        "hunt": hunt.pk,
        "code": hunt.code,
        "on": hunt.on.isoformat(),
        "kit": kit.pk,
        "lat": middle.y,
        "lon": middle.x,
        "sessions": [session_of(member) for _ in range(PHONES)],
    }


def session_of(user: Any) -> str:
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(user)
    return client.cookies[settings.SESSION_COOKIE_NAME].value


if __name__ == "__main__":
    main()
