"""Setting up must work before anything is installed."""

import subprocess
import sys

import pytest

from register.conf import bootstrap


def test_setting_up_needs_nothing_but_the_standard_library() -> None:
    code = (
        "import sys; import register.conf.bootstrap; print({'django', 'pytest'} & set(sys.modules))"
    )
    done = subprocess.run(
        [
            sys.executable,
            "-I",
            "-S",
            "-c",
            f"import sys; sys.path.insert(0, {str(bootstrap.ROOT)!r}); {code}",
        ],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "set()"


def test_an_extra_nobody_knows_is_refused_by_name() -> None:
    with pytest.raises(SystemExit, match="no extra called 'ropes'"):
        bootstrap.required_lists(["ropes"])


def test_what_this_environment_lacks_is_named() -> None:
    lists = {"dependencies": ["django>=5.2,<7", "a-package-nobody-made[fast]>=1"]}
    assert bootstrap.missing_from_here(lists) == ["a-package-nobody-made[fast]>=1"]


def test_the_test_list_comes_on_top_of_the_dependencies() -> None:
    assert list(bootstrap.required_lists(["test"])) == ["dependencies", "test"]
