"""Every write to people, roles, memberships and the club's settings."""

from people.actions.club import change_club, remove_contact, save_contact
from people.actions.letters import (
    LetterError,
    carry_mail_choices,
    choose_mail,
    choose_mail_by_link,
    close_letter,
    forget_address,
    send_letter_again,
    set_mail,
)
from people.actions.persons import add_person, change_own, change_person, give_insurance, give_membership
from people.actions.roles import LastSecretaryError, give_role, take_role

__all__ = [
    "LastSecretaryError",
    "LetterError",
    "add_person",
    "carry_mail_choices",
    "change_club",
    "change_own",
    "change_person",
    "choose_mail",
    "choose_mail_by_link",
    "close_letter",
    "forget_address",
    "give_insurance",
    "give_membership",
    "give_role",
    "remove_contact",
    "save_contact",
    "send_letter_again",
    "set_mail",
    "take_role",
]
