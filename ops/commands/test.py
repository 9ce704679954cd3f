"""./ops/test: sets up what the tests need, then runs all of them."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

from ops import build_phone, setup_env, test_tools
from ops.measure import lighthouse
from ops.steps import ROOT, say


def main(pytest_arguments: list[str]) -> int:
    """Runs every check even after one has failed; 0 only when all of them passed.

    pytest comes last, so that the output ends with its closing line.
    """
    in_ci = os.environ.get("CI", "").lower() in {"1", "true"}
    with setup_env.one_at_a_time(), ThreadPoolExecutor(1) as beside:
        # Debian's packages wait for nothing of the rest.
        tools = beside.submit(test_tools.ensure_test_tools, must_have_all=in_ci)
        setup_env.ensure_venv()
        setup_env.ensure_packages(setup_env.TEST_LOCK)
        build_phone.ensure_built()
        build_phone.ensure_node_packages()
        build_phone.ensure_node_packages(lighthouse.FOLDER, "Lighthouse, for its gate")
        tools.result()
    node = build_phone.node_environment()
    failed = [
        name
        for name, argv, cwd, env in (
            ("ruff", [setup_env.PYTHON, "-m", "ruff", "check", "."], ROOT, None),
            ("types of the phone app", ["npm", "run", "--silent", "check"], build_phone.PWA, node),
            ("tests of the phone app", ["npm", "test", "--silent"], build_phone.PWA, {**node, "CI": "true"}),
            ("pytest", pytest_line(in_ci, pytest_arguments), ROOT, node),
        )
        if not passes(name, argv, cwd, env)
    ]
    if failed and failed != ["pytest"]:
        print(f"failed: {', '.join(failed)}", flush=True)
    return 1 if failed else 0


def pytest_line(in_ci: bool, arguments: list[str]) -> list[str | os.PathLike]:
    """Two workers: tests of one file stay together, so that what a file sets up is set up once. The longest files come
    first, as tests/conftest.py has them."""
    line = [setup_env.PYTHON, "-m", "pytest", "-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]
    if in_ci:
        line += ["-p", "ops.fail_on_skip"]
    return line + arguments


def passes(name: str, argv: list, cwd: os.PathLike, env: dict | None) -> bool:
    """Runs one check with its output as it is."""
    say(f"── {name}")
    sys.stdout.flush()
    return subprocess.run(argv, cwd=cwd, env=env, check=False).returncode == 0
