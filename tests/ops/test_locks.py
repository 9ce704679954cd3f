"""The lock files say the same as the pins in pyproject.toml, and name no place to fetch from."""

from __future__ import annotations

import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from ops import setup_env
from ops.steps import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())


def locked(path) -> dict[str, str]:
    """Name to version, from the lines that begin with a name."""
    pins = re.findall(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)", path.read_text(), flags=re.MULTILINE)
    return {canonicalize_name(name): version for name, version in pins}


@pytest.mark.parametrize(
    ("wanted", "lock"),
    [
        (PROJECT["project"]["dependencies"], setup_env.RUN_LOCK),
        (PROJECT["project"]["dependencies"], setup_env.TEST_LOCK),
        (PROJECT["project"]["optional-dependencies"]["test"], setup_env.TEST_LOCK),
        (PROJECT["dependency-groups"]["node"], setup_env.NODE_LOCK),
    ],
    ids=["run", "run within test", "test", "node"],
)
def test_every_pin_is_locked_as_it_stands(wanted, lock):
    pins = locked(lock)
    for requirement in map(Requirement, wanted):
        assert str(requirement.specifier) == f"=={pins[canonicalize_name(requirement.name)]}"


def test_the_test_lock_holds_the_run_lock():
    assert locked(setup_env.RUN_LOCK).items() <= locked(setup_env.TEST_LOCK).items()


@pytest.mark.parametrize("lock", [setup_env.RUN_LOCK, setup_env.TEST_LOCK, setup_env.NODE_LOCK], ids=lambda p: p.stem)
def test_every_locked_package_has_hashes_and_no_address(lock):
    text = lock.read_text()
    blocks = re.split(r"^(?=[A-Za-z0-9._-]+==)", text, flags=re.MULTILINE)[1:]
    assert blocks
    assert all("--hash=sha256:" in block for block in blocks)
    assert "://" not in text
    assert "--index-url" not in text
