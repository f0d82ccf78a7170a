"""Addresses of this app."""

from django.urls import path

from register.views import acts, labels

app_name = "register"
urlpatterns = [
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
