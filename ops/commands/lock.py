"""./ops/lock: writes the lock files from the pins in pyproject.toml; run after one of those has changed."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from ops import setup_env
from ops.steps import ROOT, run_tool, step

PROJECT = ROOT / "pyproject.toml"
ADVICE = "Look whether the pins in pyproject.toml fit together and the Python package index can be reached."


def main(words: list[str]) -> int:
    """Keeps the versions that are locked already and still fit."""
    with tempfile.TemporaryDirectory() as folder, step("lock files"):
        tools = Path(folder)  # the resolver is needed here only, so it is in no lock file
        run_tool([sys.executable, "-m", "venv", tools], ADVICE)
        run_tool([tools / "bin" / "pip", "install", "--disable-pip-version-check", "uv"], ADVICE)
        for lock, source in (
            (setup_env.RUN_LOCK, [PROJECT]),
            (setup_env.TEST_LOCK, [PROJECT, "--extra", "test", "--constraint", setup_env.RUN_LOCK]),
            (setup_env.NODE_LOCK, ["--group", f"{PROJECT}:node"]),
        ):
            run_tool(
                [tools / "bin" / "uv", "pip", "compile", *source, "--output-file", lock,
                 "--universal", "--python-version", "3.11", "--generate-hashes",
                 "--no-emit-index-url", "--no-emit-find-links", "--no-header", "--no-annotate"],
                ADVICE,
            )  # fmt: skip
    return 0
