"""Addresses of the club section."""

from django.urls import path

from people.views import auth, club, invitations, letters, persons, sessions, trail

app_name = "people"
urlpatterns = [
    path("", club.club, name="club"),
    path("sign-in/", auth.sign_in, name="sign_in"),
    path("sign-out/", auth.sign_out, name="sign_out"),
    path("password/", auth.password_change, name="password_change"),
    path("password/forgotten/", auth.password_reset, name="password_reset"),
    path("password/forgotten/sent/", auth.password_reset_done, name="password_reset_done"),
    path("password/new/<uidb64>/<token>/", auth.password_reset_confirm, name="password_reset_confirm"),
    path("me/", persons.me, name="me"),
    path("me/sessions/", sessions.session_list, name="session_list"),
    path("me/sessions/end/", sessions.sessions_end, name="sessions_end"),
    path("me/sessions/<int:pk>/end/", sessions.session_end, name="session_end"),
    path("invited/<str:code>/", invitations.invited, name="invited"),
    path("invitations/", invitations.invitation_list, name="invitation_list"),
    path("invitations/<int:pk>/withdraw/", invitations.invitation_withdraw, name="invitation_withdraw"),
    path("me/mail/", letters.mail_choices, name="mail_choices"),
    path("mail/stop/<str:code>/", letters.mail_stop, name="mail_stop"),
    path("letters/", letters.outbox, name="outbox"),
    path("letters/<int:pk>/again/", letters.letter_again, name="letter_again"),
    path("letters/<int:pk>/close/", letters.letter_close, name="letter_close"),
    path("people/", persons.person_list, name="person_list"),
    path("people/add/", invitations.person_add, name="person_add"),
    path("people/<int:pk>/", persons.person_detail, name="person_detail"),
    path("people/<int:pk>/invite/", invitations.invitation_send, name="invitation_send"),
    path("people/<int:pk>/factors-off/", sessions.factors_off, name="factors_off"),
    path("people/<int:pk>/change/", persons.person_edit, name="person_edit"),
    path("people/<int:pk>/membership/", persons.membership_add, name="membership_add"),
    path("people/<int:pk>/insurance/", persons.insurance_add, name="insurance_add"),
    path("people/<int:pk>/role/", club.role_give, name="role_give"),
    path("roles/<int:pk>/take/", club.role_take, name="role_take"),
    path("settings/", club.club_settings, name="club_settings"),
    path("contacts/add/", club.contact_edit, name="contact_add"),
    path("contacts/<int:pk>/", club.contact_edit, name="contact_edit"),
    path("contacts/<int:pk>/delete/", club.contact_delete, name="contact_delete"),
    path("audit/", trail.audit_list, name="audit_list"),
]
