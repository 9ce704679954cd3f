"""The virtual environment and what is installed into it, each step skipped when nothing it depends on has changed."""

from __future__ import annotations

import fcntl
import hashlib
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from ops.steps import ROOT, StepFailed, run_tool, say, step

OLDEST_PYTHON = (3, 11)
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
STAMPS = VENV / "stamps"
RUN_LOCK = ROOT / "ops" / "requirements.txt"
TEST_LOCK = ROOT / "ops" / "requirements-test.txt"  # holds the run's pins too
NODE_LOCK = ROOT / "ops" / "requirements-node.txt"


def fingerprint(paths: Iterable[Path]) -> str:
    """A hash over the names and contents of files: the same only when none was added, removed, renamed or edited."""
    whole = hashlib.sha256()
    for path in sorted(paths):
        name = os.path.relpath(path, ROOT).encode()
        content = hashlib.sha256(path.read_bytes()).digest()
        whole.update(len(name).to_bytes(4, "big") + name + content)
    return whole.hexdigest()


def is_current(stamp: str, wanted: str) -> bool:
    """Whether a step was last finished for this fingerprint."""
    try:
        return (STAMPS / stamp).read_text() == wanted
    except OSError:
        return False


def mark_current(stamp: str, wanted: str) -> None:
    """Notes that a step is finished; written whole or not at all, so that a kill leaves the step to be done again."""
    STAMPS.mkdir(parents=True, exist_ok=True)
    unfinished = STAMPS / f"{stamp}.{os.getpid()}"
    unfinished.write_text(wanted)
    unfinished.replace(STAMPS / stamp)


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Two commands started together set up one after the other."""
    with open(ROOT / ".setup.lock", "w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("waiting for another command that is setting up …")
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def ensure_venv() -> None:
    """Makes .venv with this Python, unless there is one whose Python still works.

    Raises StepFailed where this Python is too old or lacks venv.
    """
    if PYTHON.exists() and _venv_version() >= OLDEST_PYTHON:
        return
    try:
        import ensurepip  # noqa: F401  Debian takes it out of python3 and puts it into python3-venv
        import venv  # noqa: F401
    except ImportError:
        raise StepFailed("This Python has no venv.\nInstall it: sudo apt-get install python3-venv") from None
    with step("virtual environment in .venv"):
        run_tool(
            [sys.executable, "-m", "venv", "--clear", VENV],
            "Install what venv needs: sudo apt-get install python3-venv; and see that the disk is not full.",
        )


def _venv_version() -> tuple[int, ...]:
    """The Python version that .venv was made with; empty where it was left half made."""
    try:
        lines = (VENV / "pyvenv.cfg").read_text().splitlines()
    except OSError:
        return ()
    settings = dict(line.split(" = ", 1) for line in lines if " = " in line)
    return tuple(int(part) for part in settings.get("version", "").split(".")[:2] if part.isdigit())


def ensure_packages(lock: Path) -> None:
    """Installs exactly what a lock file names, each file checked against its hash."""
    wanted = fingerprint([lock, VENV / "pyvenv.cfg"])
    if is_current(lock.stem, wanted):
        return
    with step(f"Python packages of {lock.relative_to(ROOT)}"):
        run_tool(
            [PYTHON, "-m", "pip", "install", "--no-input", "--progress-bar", "off", "--disable-pip-version-check",
             "--require-hashes", "--requirement", lock],
            "Look whether the network and the Python package index can be reached, then run the command again.\n"
            "If it still fails, delete the folder .venv and run it once more.",
        )  # fmt: skip
    mark_current(lock.stem, wanted)
