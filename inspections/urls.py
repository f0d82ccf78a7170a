"""Addresses of this app."""

from django.urls import path, re_path

from inspections.views import (
    accepting,
    arrests,
    authorisations,
    due,
    equipment,
    findings,
    hatch,
    inspecting,
    intake,
    kits,
    people,
    records,
    tag,
)

app_name = "inspections"
urlpatterns = [
    path("deliveries/<int:pk>/accept/", accepting.delivery_accept, name="delivery-accept"),
    path("kits/", kits.kit_list, name="kit-list"),
    path("kits/<str:name>/", kits.kit_detail, name="kit-detail"),
    path("people/<int:pk>/", people.person_detail, name="person-detail"),
    path("hatch/", hatch.hatch, name="hatch"),
    path("items/", equipment.item_list, name="item-list"),
    path("items/<str:code>/", equipment.item_detail, name="item-detail"),
    path("items/<str:code>/release/", equipment.item_release, name="item-release"),
    path("items/<str:code>/change-use/", equipment.item_change_use, name="item-change-use"),
    path("inspect/", inspecting.inspect, name="inspect"),
    path("inspect/round/", inspecting.inspect_round, name="inspect-round"),
    path("inspect/<str:code>/pass/", inspecting.inspect_pass, name="inspect-pass"),
    path("inspect/<str:code>/stop/<slug:verdict>/", inspecting.inspect_stop, name="inspect-stop"),
    path("inspect/<str:code>/<slug:verdict>/", findings.inspect_finding, name="inspect-finding"),
    re_path(r"^[tT]/(?P<code>[^/]+)/?$", tag.tag, name="tag"),
    re_path(r"^[tT]/(?P<code>[^/]+)/(?P<secret>[^/]+)/?$", tag.tag, name="tag"),
    path("due/", due.due_list, name="due-list"),
    path("inspections/<uuid:pk>/", records.inspection_detail, name="inspection-detail"),
    path("inspections/<uuid:pk>/correct/", records.inspection_correct, name="inspection-correct"),
    path("defects/<int:pk>/photo/", records.defect_photo, name="defect-photo"),
    path("arrests/new/", arrests.arrest_new, name="arrest-new"),
    path("arrests/<uuid:pk>/", arrests.arrest_detail, name="arrest-detail"),
    path("authorisations/", authorisations.authorisation_list, name="authorisation-list"),
    path("authorisations/new/", authorisations.authorisation_new, name="authorisation-new"),
    path("intake/", intake.intake, name="intake"),
    path("intake/<int:pk>/columns/", intake.intake_columns, name="intake-columns"),
    path("intake/<int:pk>/preview/", intake.intake_preview, name="intake-preview"),
    path("intake/<int:pk>/apply/", intake.intake_apply, name="intake-apply"),
    path("intake/<int:pk>/progress/", intake.intake_progress, name="intake-progress"),
    path("intake/<int:pk>/leftover/", intake.intake_leftover, name="intake-leftover"),
    path("intake/<int:pk>/done/", intake.intake_done, name="intake-done"),
]
