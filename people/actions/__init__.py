"""Every write to people, roles, memberships and the club's settings."""

from people.actions.club import change_club, remove_contact, save_contact
from people.actions.persons import add_person, change_own, change_person, give_insurance, give_membership
from people.actions.roles import LastSecretaryError, give_role, take_role

__all__ = [
    "LastSecretaryError",
    "add_person",
    "change_club",
    "change_own",
    "change_person",
    "give_insurance",
    "give_membership",
    "give_role",
    "remove_contact",
    "save_contact",
    "take_role",
]
