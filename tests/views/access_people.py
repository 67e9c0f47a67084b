"""Who gets what in the club section."""

from people.letter_kinds import LetterKind
from people.mail_choices import stop_key
from tests import make_letters
from tests.views.access import INSIDERS, LOGIN, Row, who

EVERYBODY_IN = who(f"stranger {INSIDERS}", 200)
OPEN = who(f"anonymous link expired {INSIDERS} stranger", 200)
SECRETARY = who("secretary", 200)


def person(world):
    return {"pk": world.member.pk}


def stop(world):
    return {"code": stop_key(world.member.email, LetterKind.SIGNED)}


def letter(world):
    return {"pk": make_letters.given_up(to=world.member.email).pk}


ROWS = [
    Row("people:sign_in", who("anonymous link expired", 200) | who(f"stranger {INSIDERS}", 302)),
    Row("people:sign_out", who(f"stranger {INSIDERS} anonymous link expired", LOGIN), method="post"),
    Row("people:password_change", EVERYBODY_IN),
    Row("people:password_reset", OPEN),
    Row("people:password_reset_done", OPEN),
    Row("people:password_reset_confirm", OPEN, kwargs=lambda w: {"uidb64": "x", "token": "y"}),
    Row("people:me", EVERYBODY_IN),
    Row("people:club", EVERYBODY_IN),
    Row("people:mail_choices", EVERYBODY_IN),
    Row(
        "people:mail_choices",
        who(f"stranger {INSIDERS}", 302),
        method="post",
        data=lambda w: {"digest": "on"},
    ),
    Row("people:mail_stop", OPEN, kwargs=stop),
    Row("people:mail_stop", OPEN, kwargs=stop, method="post"),
    Row("people:outbox", SECRETARY, otherwise=403),
    Row("people:letter_again", who("secretary", 302), kwargs=letter, method="post", otherwise=403),
    Row("people:letter_close", who("secretary", 302), kwargs=letter, method="post", otherwise=403),
    Row("people:person_list", who("leader secretary", 200), otherwise=403),
    Row("people:person_add", SECRETARY, otherwise=403),
    Row("people:person_detail", who("member leader secretary", 200), kwargs=person),
    Row("people:person_edit", SECRETARY, kwargs=person, otherwise=403),
    Row("people:membership_add", SECRETARY, kwargs=person, otherwise=403),
    Row("people:insurance_add", SECRETARY, kwargs=person, otherwise=403),
    Row(
        "people:role_give",
        who("secretary", 302),
        kwargs=person,
        method="post",
        data=lambda w: {"role": "leader"},
        otherwise=403,
    ),
    Row(
        "people:role_take",
        who("secretary", 302),
        kwargs=lambda w: {"pk": w.leader.roles_held.all()[0].pk},
        method="post",
        otherwise=403,
    ),
    Row("people:club_settings", SECRETARY, otherwise=403),
    Row("people:contact_add", SECRETARY, otherwise=403),
    Row("people:contact_edit", SECRETARY, kwargs=lambda w: {"pk": w.contact.pk}, otherwise=403),
    Row("people:contact_delete", SECRETARY, kwargs=lambda w: {"pk": w.contact.pk}, otherwise=403),
    Row(
        "people:contact_delete",
        who("secretary", 302),
        kwargs=lambda w: {"pk": w.contact.pk},
        method="post",
        otherwise=403,
    ),
    Row("people:audit_list", who("secretary committee", 200), otherwise=403),
]
