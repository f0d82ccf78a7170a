"""What a back-up says of itself, and how it is compared with what was put back. Knows no database."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import PurePosixPath

FORMAT = 1
MANIFEST = "manifest.json"
DATABASES = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}
FILES = "files"

Proof = Mapping[str, Mapping[str, str]]
"""By section (counts, ledger, verdicts ...): what was asked, and the answer, both as text."""


class NotWhole(Exception):
    """A back-up that cannot be trusted, with the sentence that says why and what to do."""


@dataclass(frozen=True, slots=True)
class Member:
    """One file in the back-up."""

    name: str
    bytes: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """What the back-up holds; ``made_at`` is the moment for which the proof was computed."""

    made_at: str
    database: str
    migrations: tuple[str, ...]
    key_check: str
    members: tuple[Member, ...]
    proof: Proof

    def written(self) -> bytes:
        said = {"format": FORMAT, **asdict(self)}
        return json.dumps(said, ensure_ascii=False, sort_keys=True, indent=1).encode()


def read_manifest(written: bytes) -> Manifest:
    """Refuses what is no manifest of ours, and one of another format."""
    try:
        said = json.loads(written)
        made_by = said.pop("format")
        if made_by != FORMAT:
            raise NotWhole(
                f"The back-up is of format {made_by}; this program reads format {FORMAT}."
                " Put it back with the version of the program that made it."
            )
        members = tuple(Member(**one) for one in said.pop("members"))
        return Manifest(members=members, migrations=tuple(said.pop("migrations")), **said)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise NotWhole(
            "The list of contents cannot be read: this is no back-up of ours."
        ) from error


def check_names(names: Iterable[str], manifest: Manifest) -> None:
    """Nothing more, nothing less, nothing twice, and nothing that would land outside."""
    found = list(names)
    listed = [member.name for member in manifest.members]
    for name in found:
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts:
            raise NotWhole(f"It holds {name!r}, which would be written outside its own folder.")
    for what, wrong in (
        ("lacks", sorted(set(listed) - set(found))),
        ("holds what it does not list:", sorted(set(found) - set(listed))),
        ("holds twice", sorted({name for name in found if found.count(name) > 1})),
    ):
        if wrong:
            raise NotWhole(f"The back-up {what} {wrong[0]} (and {len(wrong) - 1} more).")


def differences(made: Proof, restored: Proof) -> Iterator[str]:
    """Each answer that is not what it was when the back-up was made."""
    for section in sorted(made.keys() | restored.keys()):
        before, after = made.get(section, {}), restored.get(section, {})
        for asked in sorted(before.keys() | after.keys()):
            was, now = before.get(asked, "nothing"), after.get(asked, "nothing")
            if was != now:
                yield f"{section}, {asked}: was {was}, is {now}"
