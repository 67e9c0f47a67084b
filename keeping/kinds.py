"""Which tables are a club's data, with which columns, at which state of the schema."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

from django.apps import apps as current
from django.db import connections, models
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from keeping.errors import KeepingError

LEFT_OUT = {
    "auth": "tables of the framework that this program does not use",
    "contenttypes": "a register that every installation makes for itself",
    "sessions": "everybody signs in anew",
    "usersessions": "the list of those sign-ins",
    "account": "a table of the library for signing in that stays empty here",
}

Key = tuple[str, str]


class Registry(Protocol):
    """Django's own registry, or that of an older state of the schema."""

    def get_models(self, include_auto_created: bool = ..., include_swapped: bool = ...) -> Iterable[Any]: ...


@dataclass(frozen=True)
class Kind:
    """One table: its model and the columns that are kept."""

    model: type[models.Model]

    @cached_property
    def label(self) -> str:
        return self.model._meta.label_lower

    @cached_property
    def fields(self) -> "dict[str, models.Field[Any, Any]]":
        """Column fields by attribute name, in order of that name."""
        return {
            field.attname: field
            for field in sorted(self.model._meta.concrete_fields, key=lambda f: f.attname)
        }

    @cached_property
    def files(self) -> list[str]:
        return [name for name, field in self.fields.items() if isinstance(field, models.FileField)]

    @property
    def pk(self) -> str:
        return self.model._meta.pk.attname

    def rows(self, alias: str) -> models.QuerySet[Any]:
        """Every row, past any manager of the model's own, in a fixed order."""
        return self.model._base_manager.using(alias).order_by("pk")


def kinds(registry: Registry = current) -> dict[str, Kind]:
    """Every table that holds a club's data, by label."""
    found = [
        Kind(model)
        for model in registry.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.app_label not in LEFT_OUT
    ]
    return {kind.label: kind for kind in sorted(found, key=lambda kind: kind.label)}


def applied(alias: str) -> list[str]:
    """The state of a database's schema: the migrations it has had, as app.name."""
    done = MigrationRecorder(connections[alias]).applied_migrations()
    return _named(set(done) - _in_one_step().keys())


def known() -> list[str]:
    """The state of the schema that this program brings a database to."""
    return _named(_on_disk().keys() - _in_one_step().keys())


def way_to(schema: list[str], alias: str | None = None) -> tuple[MigrationLoader, list[Key]]:
    """The migrations that lead to `schema`, and the last one of each app.

    A migration that makes an app's tables in one step is taken where the state has all that it stands for and nothing
    is there yet; it is many times quicker. Any other state is reached step by step.
    """
    connection = connections[alias] if alias else None
    wanted, at_once = targets_of(schema), _in_one_step()
    is_empty = alias is None or not applied(alias)
    if is_empty and all(replaced <= set(wanted) for replaced in at_once.values()):
        stands_for = {old: new for new, replaced in at_once.items() for old in replaced}
        wanted = [stands_for.get(key, key) for key in wanted]
        loader = MigrationLoader(connection)
    else:
        loader = MigrationLoader(connection, replace_migrations=False)
    return loader, [max(key for key in wanted if key[0] == app) for app in sorted({app for app, _ in wanted})]


def _on_disk() -> dict[Key, Any]:
    loader = MigrationLoader(None, load=False)
    loader.load_disk()
    return dict(loader.disk_migrations or {})


def _in_one_step() -> dict[Key, set[Key]]:
    """Migrations that do at once what others, which are still here, do one by one, and what they stand for. They are no
    state of their own: the tables are the same."""
    there = _on_disk()
    stand = {key: {(app, name) for app, name in migration.replaces} for key, migration in there.items()}
    return {key: replaced for key, replaced in stand.items() if replaced and replaced <= there.keys()}


def _named(keys: Iterable[Key]) -> list[str]:
    return sorted(f"{app}.{name}" for app, name in keys if app not in LEFT_OUT)


def registry_at(schema: list[str]) -> Registry:
    """The models as they stood at `schema`. Raises KeepingError where this program is older than that."""
    here = known()
    if schema == here:
        return current
    if newer := sorted(set(schema) - set(here)):
        raise KeepingError(
            f"It was made by a newer version of this program (it has {newer[-1]}, which is not known here). "
            "Bring the program up to date first; nothing was changed."
        )
    loader, targets = way_to(schema)
    registry: Registry = loader.project_state(targets).apps
    return registry


def targets_of(schema: list[str]) -> list[Key]:
    return [(app, name) for app, _, name in (each.partition(".") for each in schema)]
