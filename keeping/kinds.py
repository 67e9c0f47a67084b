"""Which tables are a club's data, with which columns, at which state of the schema."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

from django.apps import apps as current
from django.db import connections, models
from django.db.migrations import Migration
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.utils.translation import gettext as _

from keeping.errors import KeepingError

Step = tuple[str, str]
"""A migration: its app and its name."""

LEFT_OUT = {
    "auth": "tables of the framework that this program does not use",
    "contenttypes": "a register that every installation makes for itself",
    "sessions": "everybody signs in anew",
    "usersessions": "the list of those sign-ins",
    "account": "a table of the library for signing in that stays empty here",
}


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
    """The state of a database's schema: the migrations it has had, as app.name, without those that stand for others."""
    done = MigrationRecorder(connections[alias]).applied_migrations()
    return _named(set(done) - _squashed())


def known() -> list[str]:
    """The state of the schema that this program brings a database to."""
    return _named(set(_on_disk()) - _squashed())


def registry_at(schema: list[str]) -> Registry:
    """The models as they stood at `schema`. Raises KeepingError where this program is older than that."""
    here = known()
    if schema == here:
        return current
    if newer := sorted(set(schema) - set(here)):
        raise KeepingError(
            _(
                "It was made by a newer version of this program (it has %(newer)s, which is not known "
                "here). Bring the program up to date first; nothing was changed."
            )
            % {"newer": newer[-1]}
        )
    registry: Registry = LoaderAt(schema).project_state().apps
    return registry


class LoaderAt(MigrationLoader):
    """The migrations as they were on disk when `schema` was the newest state: its own, and those that stand for some of
    its own and need nothing newer."""

    def __init__(self, schema: list[str], connection: Any = None) -> None:
        self.schema = set(targets_of(schema))
        super().__init__(connection)

    def load_disk(self) -> None:
        super().load_disk()
        every = self.disk_migrations or {}
        kept = {
            key
            for key, step in every.items()
            if key[0] in LEFT_OUT
            or key in self.schema
            or (step.replaces and set(step.replaces) <= self.schema)
        }
        while lost := {
            key for key in kept if any(_is_missing(need, every, kept) for need in every[key].dependencies)
        }:
            kept -= lost
        self.disk_migrations = {key: every[key] for key in every if key in kept}


def targets_of(schema: list[str]) -> list[Step]:
    return [(app, name) for app, _rest, name in (each.partition(".") for each in schema)]


def _is_missing(need: Step, every: Mapping[Step, Any], kept: set[Step]) -> bool:
    return need in every and need not in kept


def _named(steps: Iterable[Step]) -> list[str]:
    return sorted(f"{app}.{name}" for app, name in steps if app not in LEFT_OUT)


def _on_disk() -> dict[Step, Migration]:
    loader = MigrationLoader(None, load=False)  # the files alone: nobody asks here how they hang together
    loader.load_disk()
    return loader.disk_migrations or {}


def _squashed() -> set[Step]:
    """Migrations that stand for others: whether a database had one of them or those others makes no difference."""
    return {key for key, step in _on_disk().items() if step.replaces}
