"""Addresses of pairs that may be one find, and of same-find groups."""

from django.urls import path

from finds.views import groups, pairs

urlpatterns = [
    path("finds/<int:pk>/together/", pairs.together, name="together"),
    path("heritage/pairs/", pairs.pair_list, name="pair_list"),
    path("heritage/pairs/<int:pk>/", pairs.pair_detail, name="pair_detail"),
    path("heritage/pairs/<int:pk>/answer/", pairs.pair_answer, name="pair_answer"),
    path("heritage/pairs/<int:pk>/decide/<slug:how>/", pairs.pair_decide, name="pair_decide"),
    path("heritage/group/", groups.group_make, name="group_make"),
    path("heritage/group/<int:pk>/", groups.group_detail, name="group_detail"),
    path("heritage/group/<int:pk>/add/", groups.group_add, name="group_add"),
    path("heritage/group/<int:pk>/take-out/<int:find>/", groups.group_take_out, name="group_take_out"),
]
