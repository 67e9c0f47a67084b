"""Does anything hang on records that are to go? Every foreign key there is, is asked, so that none is forgotten."""

from collections.abc import Collection, Mapping

from django.db import models

_AT_ONCE = 500  # keys in one question: SQLite counts its parameters


def built_on(
    records: Mapping[type[models.Model], Collection[int]], *, but: Collection[type[models.Model]] = ()
) -> str | None:
    """What kind of record, in words, points at one of these without being one of them; None if nothing does.

    Models in `but` are worked out from the records and go with them.
    """
    for model, keys in records.items():
        for relation in model._meta.related_objects:
            pointing = relation.related_model
            if isinstance(pointing, str) or pointing in but or (relation.hidden and relation.many_to_many):
                continue
            own = set(records.get(pointing, ()))
            if _points(pointing, relation.field.name, list(keys), own):
                return str(pointing._meta.verbose_name)
    return None


def _points(pointing: type[models.Model], name: str, keys: list[int], own: set[int]) -> bool:
    for part in range(0, len(keys), _AT_ONCE):
        found = pointing._base_manager.filter(**{f"{name}__in": keys[part : part + _AT_ONCE]})
        if any(pk not in own for pk in found.values_list("pk", flat=True).iterator()):
            return True
    return False
