"""Makes a data file that holds the demo scenario, loaded through the API: wholly, or not at all."""

from __future__ import annotations

import shutil
import uuid
from pathlib import Path

from ops.served import served
from ops.setup_env import PYTHON
from ops.steps import ROOT, StepFailed, run_tool, step

LOADER = ROOT / "ops" / "demo" / "load.py"
BESIDE = ("", ".key", "-wal", "-shm", "-journal")  # the data file and what the service keeps next to it


def make_demo_book(db: Path) -> None:
    """Loads the scenario into a file beside `db`, which takes its name only when everything is in it.

    An interrupted load leaves at most that other file, which the next one throws away. A signing key that lies there
    from an earlier book is kept: records signed with it stay genuine.
    """
    unfinished = Path(f"{db}.demo-unfinished")
    discard(unfinished)
    try:
        with step("demo scenario"):
            _load(unfinished, Path(f"{db}.key"))
            _take_name(unfinished, db)
    finally:
        discard(unfinished)


def discard(db: Path) -> None:
    for suffix in BESIDE:
        Path(f"{db}{suffix}").unlink(missing_ok=True)


def _load(db: Path, earlier_key: Path) -> None:
    if earlier_key.exists():
        shutil.copy2(earlier_key, f"{db}.key")
    migrate(db)
    with served(db) as book:
        # The device stays on the list, since its count belongs to the entries; nobody keeps its token.
        token = book.pair(str(uuid.uuid4()), "Demo loader")
        run_tool(
            [PYTHON, LOADER, "--url", book.url, f"--token={token}"],
            "The demo scenario does not load. To start with an empty book: ./ops/run --no-demo",
        )


def migrate(db: Path) -> None:
    run_tool(
        [PYTHON, "-m", "service", "migrate", "--db", db],
        f"The data file {db} cannot be brought to this version. It was left as it was.",
    )


def _take_name(unfinished: Path, db: Path) -> None:
    if Path(f"{unfinished}-wal").exists():
        raise StepFailed("The service left its write-ahead log behind: the demo book is not whole. Start again.")
    Path(f"{unfinished}.key").replace(f"{db}.key")
    unfinished.replace(db)
