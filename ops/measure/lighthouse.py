"""Lighthouse's scores of pages in one Chromium: a gate of the tests, and the performance rows of ./ops/bench."""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ops import build_phone
from ops.steps import ROOT, StepFailed

FOLDER = ROOT / "ops" / "lighthouse"
CHROMIUM = Path("/usr/bin/chromium")
RUNS = 3  # of which the median counts
WITHIN = 600.0  # seconds


@dataclass(frozen=True)
class Audited:
    """One page: its heading when it was done, each category's score (0 to 1) by runs, what fell short and where."""

    url: str
    heading: str
    scores: dict[str, list[float]]
    missed: list[str]


def lacking() -> str | None:
    """What stops Lighthouse from running here, in words; None when it can."""
    if not (FOLDER / "node_modules").is_dir():
        return "Lighthouse is not installed; ./ops/test installs it"
    return None if CHROMIUM.exists() else f"{CHROMIUM} is not installed; ./ops/test says how"


def audit(pages: Sequence[str], categories: Sequence[str], *, runs: int = 1, pair: str | None = None,
          quick: bool = True) -> list[Audited]:  # fmt: skip
    """Audits pages one after the other, in a browser that `pair`, a link, has paired. Raises StepFailed."""
    environment = build_phone.node_environment()
    wanted = {
        "chromium": str(CHROMIUM), "pages": list(pages), "categories": list(categories), "runs": runs,
        "pair": pair, "quick": quick,
    }  # fmt: skip
    node = shutil.which("node", path=environment["PATH"])
    told = subprocess.run(
        [node, "audit.mjs"], cwd=FOLDER, env=environment, input=json.dumps(wanted),
        capture_output=True, text=True, timeout=WITHIN, check=False,
    )  # fmt: skip
    if told.returncode:
        raise StepFailed(f"Lighthouse ended with status {told.returncode}.\n{told.stderr[-2000:]}")
    return [Audited(**page) for page in json.loads(told.stdout)]


def performance(url: str, code: str) -> list[tuple[str, str, str]]:
    """Label, measured, to reach: performance as Lighthouse reckons it for a slow phone, of 100."""
    label = f"Lighthouse performance, median of {RUNS}"
    if lacking():
        return [(label, "not measured", ""), (f"  {lacking()}", "", "")]
    rows = []
    for where, pair in (("first screen", None), ("bikes of a paired phone", f"{url}/#/pair/{code}")):
        (page,) = audit([f"{url}/#/"], ["performance"], runs=RUNS, pair=pair, quick=False)
        rows.append((f"{label}: {where}", f"{statistics.median(page.scores['performance']) * 100:.0f}", ""))
    return rows
