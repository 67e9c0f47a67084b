"""Who gets what in the club section."""

from people.invitations import key_of
from people.letter_kinds import LetterKind
from people.mail_choices import stop_key
from tests import make_factors, make_letters
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


def invitation(world):
    return {"pk": make_factors.invited(by=world.secretary).pk}


def invited(world):
    return {"pk": make_factors.invited(by=world.secretary).user_id}


def code(world):
    return {"code": key_of(make_factors.invited(by=world.secretary))}


def with_app(world):
    make_factors.recovery_codes(world.secretary)
    return {}


def passkey(world):
    return {"pk": make_factors.passkey(world.secretary).pk}


SIGN_IN = who("anonymous link expired", 200) | who(f"stranger {INSIDERS}", 302)
ONWARD = who(f"stranger {INSIDERS}", 302)
LIBRARY = [
    Row("account_login", SIGN_IN),
    Row("account_logout", who(f"stranger {INSIDERS} anonymous link expired", LOGIN), method="post"),
    Row("mfa_authenticate", ONWARD),
    Row("mfa_login_webauthn", ONWARD),
    Row("mfa_index", EVERYBODY_IN),
    Row("account_reauthenticate", EVERYBODY_IN),
    Row("mfa_reauthenticate", ONWARD | SECRETARY, kwargs=with_app),
    Row("mfa_reauthenticate_webauthn", ONWARD | SECRETARY, kwargs=lambda w: passkey(w) and {}),
    Row("mfa_activate_totp", EVERYBODY_IN),
    Row("mfa_deactivate_totp", SECRETARY, kwargs=with_app),
    Row("mfa_view_recovery_codes", SECRETARY, kwargs=with_app),
    Row("mfa_generate_recovery_codes", EVERYBODY_IN),
    Row("mfa_download_recovery_codes", SECRETARY, kwargs=with_app),
    Row("mfa_list_webauthn", EVERYBODY_IN),
    Row("mfa_add_webauthn", EVERYBODY_IN),
    Row("mfa_edit_webauthn", SECRETARY, kwargs=passkey),
    Row("mfa_remove_webauthn", SECRETARY, kwargs=passkey),
]

ROWS = [
    *LIBRARY,
    Row("people:session_list", EVERYBODY_IN),
    Row("people:session_end", ONWARD, kwargs=lambda w: {"pk": 1}, method="post"),
    Row("people:sessions_end", ONWARD, method="post"),
    Row("people:invited", OPEN, kwargs=code),
    Row("people:invitation_list", SECRETARY, otherwise=403),
    Row("people:invitation_send", who("secretary", 302), kwargs=invited, method="post", otherwise=403),
    Row("people:invitation_withdraw", who("secretary", 302), kwargs=invitation, method="post", otherwise=403),
    Row("people:factors_off", who("secretary", 302), kwargs=person, method="post", otherwise=403),
    Row("people:sign_in", SIGN_IN),
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
