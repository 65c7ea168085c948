"""Addresses of surveys and plans."""

from django.urls import path

from jobs.views import plans, surveys

urlpatterns = [
    path("installations/<row:pk>/survey/", surveys.survey_edit, name="survey_edit"),
    path("installations/<row:pk>/survey/preview/", surveys.survey_preview, name="survey_preview"),
    path("surveys/<row:pk>/", surveys.survey_detail, name="survey_detail"),
    path("surveys/<row:pk>/plan/", surveys.survey_replan, name="survey_replan"),
    path("plans/<row:pk>/", plans.plan_detail, name="plan_detail"),
    path("plans/<row:pk>/margins/", plans.plan_margins, name="plan_margins"),
    path("plans/<row:pk>/attach/", plans.plan_attach, name="plan_attach"),
]
