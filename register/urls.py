"""Addresses of this app."""

from django.urls import path

from register.views import acts, arrivals, deliveries, kits, labels, people

app_name = "register"
urlpatterns = [
    path("arrivals/", arrivals.arrivals, name="arrivals"),
    path("deliveries/new/", deliveries.delivery_new, name="delivery-new"),
    path("deliveries/<int:pk>/", deliveries.delivery_detail, name="delivery-detail"),
    path("deliveries/<int:pk>/reject/", deliveries.delivery_reject, name="delivery-reject"),
    path("deliveries/<int:pk>/declare/", deliveries.delivery_declare, name="delivery-declare"),
    path("kits/new/", kits.kit_new, name="kit-new"),
    path("kits/<str:name>/fill/", kits.kit_fill, name="kit-fill"),
    path("kits/<str:name>/take-out/", kits.kit_take_out, name="kit-take-out"),
    path("kits/<str:name>/seal/", kits.kit_seal, name="kit-seal"),
    path("kits/<str:name>/unseal/", kits.kit_unseal, name="kit-unseal"),
    path("kits/<str:name>/place/", kits.kit_place, name="kit-place"),
    path("people/", people.person_list, name="person-list"),
    path("people/new/", people.person_new, name="person-new"),
    path("people/<int:pk>/edit/", people.person_edit, name="person-edit"),
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
    path("labels/", labels.label_sheet, name="label-sheet"),
]
