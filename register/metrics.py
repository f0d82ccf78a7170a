"""The numbers a monitoring system reads: how much there is, what waits, and which watch is not well."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.db.models import Count
from django.utils import translation
from django_tasks_db.models import DBTaskResult
from prometheus_client import CollectorRegistry, GCCollector, ProcessCollector, generate_latest
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.exposition import CONTENT_TYPE_LATEST
from prometheus_client.registry import Collector

from register.models import BackUp, Entry, Item
from register.watching import look

CONTENT_TYPE = CONTENT_TYPE_LATEST


class _Register(Collector):
    def __init__(self, at: datetime) -> None:
        self.at = at

    def collect(self) -> Iterator[GaugeMetricFamily]:
        items = GaugeMetricFamily("tallyhook_items", "Items by condition.", labels=["condition"])
        for condition, count in (
            Item.objects.values_list("condition").annotate(n=Count("pk")).order_by()
        ):
            items.add_metric([condition], count)
        yield items
        yield _gauge("tallyhook_ledger_entries", "Entries of the ledger.", Entry.objects.count())
        waiting = DBTaskResult.objects.ready().count()
        yield _gauge("tallyhook_tasks_waiting", "Background tasks that wait.", waiting)
        if last := BackUp.objects.first():
            age = (self.at - last.at).total_seconds()
            yield _gauge("tallyhook_backup_age_seconds", "Age of the last back-up.", age)
        well = GaugeMetricFamily(
            "tallyhook_well", "1 where a watch found nothing.", labels=["watch"]
        )
        for name, found in look(self.at):
            well.add_metric([name], int(found.well))
        yield well


def measured(at: datetime) -> bytes:
    """All numbers as text; the names of the watches in English, whatever the reader's language."""
    registry = CollectorRegistry()
    ProcessCollector(registry=registry)
    GCCollector(registry=registry)
    registry.register(_Register(at))
    with translation.override("en-gb"):
        return generate_latest(registry)


def _gauge(name: str, words: str, value: float) -> GaugeMetricFamily:
    return GaugeMetricFamily(name, words, value=value)
