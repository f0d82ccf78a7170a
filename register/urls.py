"""Addresses of this app."""

from django.urls import path, re_path

from register.api import pages
from register.lists.every import LISTS
from register.views import (
    acts,
    calendars,
    errands,
    kits,
    labels,
    papers,
    people,
    sites,
    tokens,
    users,
)
from register.views.lists import files

app_name = "register"
urlpatterns = [
    path("kits/new/", kits.kit_new, name="kit-new"),
    path("kits/<str:name>/fill/", kits.kit_fill, name="kit-fill"),
    path("kits/<str:name>/take-out/", kits.kit_take_out, name="kit-take-out"),
    path("kits/<str:name>/seal/", kits.kit_seal, name="kit-seal"),
    path("kits/<str:name>/unseal/", kits.kit_unseal, name="kit-unseal"),
    path("kits/<str:name>/place/", kits.kit_place, name="kit-place"),
    path("people/", people.person_list, name="person-list"),
    path("people/new/", people.person_new, name="person-new"),
    path("people/<int:pk>/edit/", people.person_edit, name="person-edit"),
    path("errands/", errands.errand_list, name="errand-list"),
    path("errands/<int:pk>/", errands.errand_detail, name="errand-detail"),
    path("errands/<int:pk>/stop/", errands.errand_stop, name="errand-stop"),
    path("errands/<int:pk>/again/", errands.errand_again, name="errand-again"),
    path("errands/<int:pk>/result/", errands.errand_result, name="errand-result"),
    path("items/<str:code>/quarantine/", acts.item_quarantine, name="item-quarantine"),
    path("items/<str:code>/withdraw/", acts.item_withdraw, name="item-withdraw"),
    path("items/<str:code>/destroy/", acts.item_destroy, name="item-destroy"),
    path("items/<str:code>/report-lost/", acts.item_report_lost, name="item-report-lost"),
    path("items/<str:code>/report-found/", acts.item_report_found, name="item-report-found"),
    path("items/<str:code>/send-away/", acts.item_send_away, name="item-send-away"),
    path("items/<str:code>/back/", acts.item_back, name="item-back"),
    path("items/<str:code>/let-go/", acts.item_let_go, name="item-let-go"),
    path("items/<str:code>/transfer/", acts.item_transfer, name="item-transfer"),
    path("items/<str:code>/retag/", acts.item_retag, name="item-retag"),
    path("sites/", sites.site_list, name="site-list"),
    path("sites/new/", sites.site_new, name="site-new"),
    path("sites/<slug:site>/edit/", sites.site_edit, name="site-edit"),
    path("sites/<slug:site>/places/", sites.site_places, name="site-places"),
    path("sites/<slug:site>/passages/", sites.site_passages, name="site-passages"),
    path("sites/<slug:site>/zones/new/", sites.zone_new, name="zone-new"),
    path("sites/<slug:site>/zones/<slug:zone>/edit/", sites.zone_edit, name="zone-edit"),
    path("sites/<slug:site>/shifts/new/", sites.shift_new, name="shift-new"),
    path("sites/<slug:site>/shifts/<int:shift>/edit/", sites.shift_edit, name="shift-edit"),
    path("users/", users.user_list, name="user-list"),
    path("users/new/", users.user_new, name="user-new"),
    path("users/<int:pk>/close/", users.user_close, name="user-close"),
    path("users/<int:pk>/reopen/", users.user_reopen, name="user-reopen"),
    path("users/<int:pk>/password/", users.user_password, name="user-password"),
    path("users/<int:pk>/roles/", users.role_give, name="role-give"),
    path("users/<int:pk>/roles/<int:grant>/take/", users.role_take, name="role-take"),
    path("calendars/", calendars.calendar_list, name="calendar-list"),
    path("calendars/<uuid:pk>/renew/", calendars.calendar_renew, name="calendar-renew"),
    path("calendars/<uuid:pk>/revoke/", calendars.calendar_revoke, name="calendar-revoke"),
    path("employer/", papers.employer_edit, name="employer-edit"),
    re_path(
        r"^[pP]/(?P<reference>[^/]+)/(?P<secret>[^/]+)/?$", papers.paper_check, name="paper-check"
    ),
    path("tokens/", tokens.token_list, name="token-list"),
    path("tokens/new/", tokens.token_new, name="token-new"),
    path("tokens/<int:pk>/revoke/", tokens.token_revoke, name="token-revoke"),
    path("api/", pages.api_docs, name="api-docs"),
    path("api/problems/", pages.api_problems, name="api-problems"),
    path("api/v1/openapi.json", pages.api_description, name="api-description"),
    path("labels/", labels.label_sheet, name="label-sheet"),
    *files(*LISTS),
]
