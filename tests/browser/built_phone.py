"""The phone app as the browser tests load it: built from the sources as they stand, with the book handed out."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

PHONE = Path(__file__).resolve().parents[2] / "pwa"


def build(folder: Path, version: str) -> Path:
    """A build of its own in `folder`; another `version` makes another worker, as a release does."""
    command = ["npx", "vite", "build", "--mode", "test", "--outDir", str(folder), "--emptyOutDir"]
    done = subprocess.run(
        command, cwd=PHONE, env={**os.environ, "VITE_VERSION": version}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return folder
