"""Make the environment the project runs in, with nothing but the standard library."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from importlib.metadata import PackageNotFoundError, version
from importlib.util import find_spec
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parents[2]
VENV = ROOT / ".venv"
ON_WINDOWS = os.name == "nt"
PYTHON = VENV / ("Scripts/python.exe" if ON_WINDOWS else "bin/python")
LINES_SHOWN = 12  # of pip's own words, where it fails

Lists = dict[str, list[str]]


def enter(extras: Iterable[str]) -> None:
    """Return only in an environment that has the dependencies and these extras.

    An environment that already has Django is used as it is. Otherwise `.venv` is made or
    brought up to date, and this same command starts again inside it.
    """
    wanted = required_lists(extras)
    inside = Path(sys.prefix).resolve() == VENV.resolve()
    if find_spec("django") and not (inside and _stamp("dependencies").exists()):
        _refuse_if_missing(wanted)
        return
    if bring_up_to_date(wanted) or not inside:
        become([str(PYTHON), *sys.argv])


def required_lists(extras: Iterable[str]) -> Lists:
    """The requirements of pyproject.toml by the name of their list."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    known = project["optional-dependencies"]
    lists = {"dependencies": project["dependencies"]}
    for extra in extras:
        if extra not in known:
            sys.exit(f"There is no extra called '{extra}'. Choose from: {', '.join(known)}.")
        lists[extra] = known[extra]
    return lists


def bring_up_to_date(lists: Lists) -> bool:
    """Install the lists if one of them changed since it was last installed; say whether."""
    stale = [name for name, each in lists.items() if _stamped(name) != _digest(each)]
    if PYTHON.exists() and not stale:
        return False
    if not PYTHON.exists():
        _make_venv()
    _install([requirement for each in lists.values() for requirement in each])
    for name, each in lists.items():
        _stamp(name).write_text(_digest(each), encoding="ascii")
    return True


def become(command: list[str]) -> NoReturn:
    """Hand this process over to another command."""
    sys.stdout.flush()
    if ON_WINDOWS:  # there, exec gives the prompt back before the command has ended
        sys.exit(subprocess.call(command))  # noqa: S603 - our own interpreter
    os.execv(command[0], command)  # noqa: S606 - no shell is wanted


def missing_from_here(lists: Lists) -> list[str]:
    """The requirements the running interpreter has no package for."""
    every = [requirement for each in lists.values() for requirement in each]
    return [requirement for requirement in every if not _is_here(requirement)]


def _is_here(requirement: str) -> bool:
    try:
        version(re.split(r"[^\w.-]", requirement, maxsplit=1)[0])
    except PackageNotFoundError:
        return False
    return True


def _refuse_if_missing(lists: Lists) -> None:
    missing = missing_from_here(lists)
    if missing:
        sys.exit(
            f"{sys.executable} has Django, so its environment is used as it is, but it lacks"
            f" what Tallyhook needs. Add it with:\n"
            f"    {sys.executable} -m pip install {' '.join(repr(each) for each in missing)}"
        )


def _make_venv() -> None:
    if not (find_spec("venv") and find_spec("ensurepip")):
        sys.exit(
            "This Python cannot make a virtual environment: its venv or ensurepip is missing."
            " On Debian and Ubuntu: apt-get install python3-venv. Then run the command again."
        )
    import venv  # only here: some systems leave it out

    _say(f"Making {VENV} for Python {sys.version.split()[0]} ...")
    try:
        venv.create(VENV, clear=True, with_pip=True, symlinks=not ON_WINDOWS)
    except (OSError, subprocess.CalledProcessError) as error:
        shutil.rmtree(VENV, ignore_errors=True)
        sys.exit(f"{VENV} could not be made: {error}")


def _install(requirements: list[str]) -> None:
    _say(f"Installing {len(requirements)} packages and what they need; a minute or so ...")
    command = [str(PYTHON), "-m", "pip", "install", "--quiet", *requirements]
    done = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603
    if done.returncode:
        told = [line for line in done.stderr.splitlines() if not line.startswith("WARNING")]
        sys.exit(
            "The packages could not be installed. Look whether the network reaches the package"
            f" index; if it does, delete {VENV} and try again. pip said:\n    "
            + "\n    ".join(told[-LINES_SHOWN:])
        )


def _stamp(name: str) -> Path:
    return VENV / f"installed-{name}.sha256"


def _stamped(name: str) -> str:
    return _stamp(name).read_text(encoding="ascii") if _stamp(name).exists() else ""


def _digest(requirements: list[str]) -> str:
    return hashlib.sha256("\n".join(sorted(requirements)).encode()).hexdigest()


def _say(sentence: str) -> None:
    sys.stderr.write(sentence + "\n")
