"""Bringing an archive into an empty register: whole, or not at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from django.apps import apps
from django.db import IntegrityError, transaction

from inspections.conditions import refresh_due
from readiness.archive import contents
from register.actions.ledger import root_of_heads, verify_ledger
from register.archive.loading import Loading, number_after, refuse_unless_empty
from register.archive.reading import Damaged, Source
from register.models import Head, Item

LOT = 500  # items whose due days are counted together
Step = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Brought:
    """What came in; ``lost`` are the files that were missing already when the archive was made."""

    rows: int
    files: int
    entries: int
    root: str
    lost: tuple[str, ...]


def bring_archive(path: Path, step: Step | None = None) -> Brought:
    """Check every part, write every row, prove the ledger; a Refusal leaves the register empty."""
    told = step or (lambda _said: None)
    found = contents.tables()
    source = Source(path, found)
    loading = Loading(source, contents.GIVEN, told)
    try:
        with transaction.atomic():
            refuse_unless_empty(found)
            loading.check()
            _load(loading)
            told("proving the ledger")
            entries, root = _prove(source)
            told("counting due days")
            _count_due_days()
        return Brought(
            loading.rows, len(loading.stored), entries, root, tuple(source.manifest["lost"])
        )
    except BaseException:
        loading.forget_files()
        raise
    finally:
        loading.names.close()
        source.close()


def _load(loading: Loading) -> None:
    try:
        loading.load()
        _number_after_the_ledger()
    except IntegrityError as error:
        raise Damaged(f"The rows do not fit together: {error}.") from error


def _prove(source: Source) -> tuple[int, str]:
    """Every chain fits, and all of them end where they ended when the archive was made."""
    report = verify_ledger()
    if report.misfits:
        first = report.misfits[0]
        raise Damaged(f"tables/register.entry.csv: the ledger does not fit: {first}.")
    chains, root = root_of_heads()
    told = source.manifest["ledger"]
    if [report.entries, chains, root] != [told["entries"], told["chains"], told["root"]]:
        raise Damaged("The ledger is not the one of the manifest: its chains end elsewhere.")
    return report.entries, root


def _number_after_the_ledger() -> None:
    """What stays behind but stands in the ledger (an errand) is not numbered from 1 again: its chain is taken."""
    left = (model for model in apps.get_models() if model._meta.label in contents.LEFT_OUT)  # noqa: SLF001
    for model in left:
        chains = Head.objects.filter(thing_kind=model.__name__.lower())
        ids = chains.values_list("thing_id", flat=True).iterator()
        greatest = max((int(one) for one in ids if one.isdecimal()), default=0)
        if greatest:
            number_after(model, greatest)


def _count_due_days() -> None:
    items = Item.objects.order_by("pk").iterator(chunk_size=LOT)
    while lot := list(islice(items, LOT)):
        refresh_due(lot)
