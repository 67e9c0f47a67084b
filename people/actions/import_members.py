"""Save a table of members: accounts without a way in yet, their memberships and insurances. All of it or nothing."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import models, transaction

from people.actions.invitations import send_invitation
from people.actions.persons import add_person, give_insurance, give_membership
from people.actions.tables import begin_save, lock_import, note_import, plan_again, remove_made
from people.import_fields import MEMBER_FIELDS
from people.import_members import plan_members
from people.models import Insurance, Membership, TableImport, User
from people.rights import Right, require
from web.tables.plan import Coming


@transaction.atomic
def save_members(key: UUID, *, by: User, at: datetime, seal: str, site: str) -> TableImport:
    """Make everybody who is new a member without a password, and give who is here what the file adds.

    Letters go only where the sender ticked that: then everybody new is invited. `seal` is `Plan.seal` as it was
    looked at. Saved twice it changes nothing the second time. Raises NoTableError, TableError, or ChangedError.
    """
    require(by, Right.MANAGE_PEOPLE)
    draft = begin_save(key, by=by, at=at)
    if isinstance(draft, TableImport):
        return draft
    plan, rows = plan_again(draft, MEMBER_FIELDS, plan_members, by=by, at=at, seal=seal)
    people = [_add(row, by=by, at=at) for row in plan.new]
    for row in plan.gaining:
        _renew(row, by=by, at=at)
    if draft.answers.get("invite"):
        for person in people:
            letter_key = uuid5(key, str(person.pk))
            send_invitation(person.pk, by=by, at=at, site=site, client_id=letter_key, soon=False)
    return note_import(draft, by=by, at=at, rows=rows, made={"people": people}, gained=len(plan.gaining))


def _add(row: Coming, *, by: User, at: datetime) -> User:
    fields = {name: value for name, value in row.values.items() if name != "insurance"}
    person = add_person(by=by, at=at, **fields)
    if insurance := row.values.get("insurance"):
        give_insurance(person, by=by, at=at, **insurance)
    return person


def _renew(row: Coming, *, by: User, at: datetime) -> None:
    if "starts" in row.values:
        give_membership(row.there, by=by, at=at, starts=row.values["starts"], ends=row.values["ends"])
    if insurance := row.values.get("insurance"):
        give_insurance(row.there, by=by, at=at, **insurance)


@transaction.atomic
def take_back_members(import_id: int, *, by: User, at: datetime) -> TableImport:
    """Remove the accounts that an import made, within a day and while nothing hangs on them. Twice is once.

    Raises TakeBackError with the reason.
    """
    row = lock_import(import_id, by=by, at=at)
    if row is None:
        return TableImport.objects.get(pk=import_id)
    people = row.made["people"]
    periods: list[type[models.Model]] = [Membership, Insurance]
    keys: dict[type[models.Model], list[int]] = {
        model: list(model._base_manager.filter(user__in=people).values_list("pk", flat=True))
        for model in periods
    }
    remove_made(row, {**keys, User: people}, by=by, at=at)
    return row
