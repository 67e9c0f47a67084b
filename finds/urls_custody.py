"""Addresses of custody: where everything is, hand-overs, the other side's address, and storage boxes."""

from django.urls import path, re_path

from finds.views import boxes, custody, hand_over_link

HAND_OVER = "finds/custody/<int:pk>/"
KEY = "c/<str:code>/"
urlpatterns = [
    path("finds/custody/", custody.custody_list, name="custody_list"),
    path("finds/custody/new/", custody.hand_over_new, name="hand_over_new"),
    path(HAND_OVER, custody.hand_over, name="hand_over"),
    re_path(
        r"^finds/custody/(?P<pk>\d+)/sign/(?P<side>giver|receiver)/$",
        custody.hand_over_sign,
        name="hand_over_sign",
    ),
    re_path(
        r"^finds/custody/(?P<pk>\d+)/(?P<how>refuse|cancel)/$", custody.hand_over_end, name="hand_over_end"
    ),
    path(f"{HAND_OVER}received/", custody.hand_over_done, name="hand_over_done"),
    path(f"{HAND_OVER}address/", custody.hand_over_address, name="hand_over_address"),
    path("finds/custody/address/<int:pk>/end/", custody.address_end, name="address_end"),
    path("finds/custody/item/<int:pk>/photographs/", custody.condition_add, name="condition_add"),
    path("finds/custody/item/<int:pk>/answer/", custody.missing_answer, name="missing_answer"),
    path("finds/custody/photograph/<int:pk>/", custody.condition_photo, name="condition_photo"),
    path("finds/<int:pk>/hand-over/", custody.custody_add, name="custody_add"),
    path("finds/<int:pk>/loss/", custody.loss, name="loss"),
    path("finds/boxes/", boxes.box_list, name="box_list"),
    path("finds/boxes/new/", boxes.box_edit, name="box_new"),
    path("finds/boxes/<int:pk>/", boxes.box, name="box"),
    path("finds/boxes/<int:pk>/change/", boxes.box_edit, name="box_edit"),
    path("finds/boxes/<int:pk>/read/", boxes.box_read, name="box_read"),
    path("finds/boxes/<int:pk>/in/", boxes.box_in, name="box_in"),
    path("finds/<int:pk>/out-of-box/", boxes.box_out, name="box_out"),
    path(KEY, hand_over_link.receive, name="receive"),
    path(f"{KEY}sign/", hand_over_link.receive_sign, name="receive_sign"),
    path(f"{KEY}refuse/", hand_over_link.receive_refuse, name="receive_refuse"),
]
