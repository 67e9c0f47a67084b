"""Addresses of the heritage section."""

from django.urls import path

from finds.views import case_moves as moves
from finds.views import case_pages as pages
from finds.views import looks

urlpatterns = [
    path("heritage/", pages.case_list, name="case_list"),
    path("heritage/looks/", looks.look_list, name="look_list"),
    path("heritage/looks/<int:pk>/answer/", looks.answer, name="look_answer"),
    path("heritage/<int:pk>/", pages.case_detail, name="case_detail"),
    path("heritage/<int:pk>/move/", moves.case_move, name="case_move"),
    path("heritage/<int:pk>/reported/", moves.case_report, name="case_report"),
    path("heritage/<int:pk>/confirmed/", moves.case_acknowledge, name="case_acknowledge"),
    path("heritage/<int:pk>/decide/", moves.case_decide, name="case_decide"),
    path("heritage/<int:pk>/no-duty/", moves.case_propose, name="case_propose"),
    path("heritage/<int:pk>/no-duty/second/", moves.case_second, name="case_second"),
    path("heritage/<int:pk>/no-duty/take-back/", moves.case_take_back, name="case_take_back"),
    path("heritage/<int:pk>/message/", moves.case_message, name="case_message"),
    path("heritage/<int:pk>/note/", moves.case_note, name="case_note"),
    path("heritage/<int:pk>/task/", moves.case_task, name="case_task"),
    path("heritage/<int:pk>/stage/", moves.case_stage, name="case_stage"),
    path("heritage/tasks/<int:pk>/done/", moves.task_done, name="case_task_done"),
    path("heritage/reports/<int:pk>/copy/", pages.case_copy, name="case_copy"),
]
