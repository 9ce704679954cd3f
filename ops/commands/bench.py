"""./ops/bench: sets up, then measures the real service on the demo book and prints what is to be reached beside it."""

from __future__ import annotations

import os

from ops import build_phone, setup_env
from ops.steps import ROOT


def main(words: list[str]) -> int:
    """Does not return: the process turns into the measuring, which compares with the project's own sqlite3."""
    with setup_env.one_at_a_time():
        setup_env.ensure_venv()
        setup_env.ensure_packages(setup_env.RUN_LOCK)
        build_phone.ensure_built()
    os.chdir(ROOT)
    python = str(setup_env.PYTHON)
    os.execv(python, [python, "-m", "ops.measure", *words])
