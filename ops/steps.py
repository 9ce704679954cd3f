"""Shows the steps of setting up while they run, and says what to do when one fails."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
KEPT_LINES = 30  # of a failed command's output
PULSE = 10.0  # seconds between signs of life where the output is no terminal


class StepFailed(Exception):
    """A step that could not be done; the text says what to do about it."""


def say(text: str) -> None:
    """One line of progress, on standard error: standard output belongs to what the command is for."""
    print(text, file=sys.stderr, flush=True)


@contextmanager
def step(label: str) -> Iterator[None]:
    """Announces a step and how long it took."""
    say(f"{label} …")
    began = time.monotonic()
    yield
    say(f"{label}: done in {time.monotonic() - began:.1f} s")


def run_tool(argv: Sequence[str | Path], advice: str, cwd: Path = ROOT, env: Mapping[str, str] | None = None) -> None:
    """Runs a program with its output folded into a sign of life; shows the end of it only when it fails.

    Raises StepFailed with `advice`.
    """
    last = deque(maxlen=KEPT_LINES)
    began = pulse = time.monotonic()
    try:
        child = subprocess.Popen(
            [str(word) for word in argv],
            cwd=cwd, env={**(env or os.environ), "NO_COLOR": "1"}, text=True, errors="replace",
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
    except OSError as error:
        raise StepFailed(f"{argv[0]} does not start: {error}\n{advice}") from error
    with child:
        for line in child.stdout:
            last.append(line.rstrip())
            now = time.monotonic()
            if line.strip() and now - pulse >= PULSE:
                pulse = now
                say(f"  {now - began:.0f} s: {line.strip()[:100]}")
    if child.returncode:
        shown = "\n".join(f"  {line}" for line in last)
        raise StepFailed(f"{shown}\n{Path(argv[0]).name} ended with status {child.returncode}.\n{advice}")
