"""./ops/shots: sets up, then takes a picture of every screen in every state, for review."""

from __future__ import annotations

import os

from ops import build_phone, setup_env, test_tools
from ops.steps import ROOT


def main(words: list[str]) -> int:
    """Does not return: the process turns into the one that takes the pictures."""
    with setup_env.one_at_a_time():
        setup_env.ensure_venv()
        setup_env.ensure_packages(setup_env.TEST_LOCK)
        build_phone.ensure_node_packages()
        test_tools.ensure_test_tools(must_have_all=False)
    os.chdir(ROOT)
    os.environ.update(build_phone.node_environment())
    python = str(setup_env.PYTHON)
    os.execv(python, [python, "-m", "tests.browser.pictures", *words])
