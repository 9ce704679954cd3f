"""./ops/coverage: sets up, then simulates measurements and counts how often the answers hold what they promise."""

from __future__ import annotations

import os

from ops import setup_env
from ops.steps import ROOT


def main(words: list[str]) -> int:
    """Does not return: the process turns into the simulations, which need the project's packages."""
    with setup_env.one_at_a_time():
        setup_env.ensure_venv()
        setup_env.ensure_packages(setup_env.RUN_LOCK)
    os.chdir(ROOT)
    python = str(setup_env.PYTHON)
    os.execv(python, [python, "-m", "ops.coverage_checks", *words])
