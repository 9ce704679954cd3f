"""./ops/run: sets up, makes the data file ready and becomes the server."""

from __future__ import annotations

import argparse
import os
import signal
import sys
from pathlib import Path

from ops import build_phone, demo_book, setup_env
from ops.steps import ROOT, StepFailed, say

DEFAULT_DB = ROOT / ".data" / "roadproof.db"


def main(words: list[str]) -> int:
    """Does not return: the process turns into the server, so that signals reach it."""
    chosen = arguments(words)
    # A stop while setting up unwinds the steps, so that what they started is ended and what they left is cleaned up.
    signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(128 + number))
    db = chosen.db.resolve()
    with setup_env.one_at_a_time():
        setup_env.ensure_venv()
        setup_env.ensure_packages(setup_env.RUN_LOCK)
        build_phone.ensure_built()
        prepare_book(db, chosen.demo)
    say(f"data file: {db}")
    os.chdir(ROOT)
    line = server_line(db, chosen.host, chosen.port)
    os.execv(line[0], line)


def arguments(words: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="./ops/run", description="Sets up and serves the set-up book.")
    parser.add_argument("--db", type=Path, default=DEFAULT_DB, metavar="FILE", help="data file (.data/roadproof.db)")
    parser.add_argument("--host", default="127.0.0.1", metavar="H", help="address to listen on (127.0.0.1)")
    parser.add_argument("--port", type=port, default=8321, metavar="N", help="port to listen on (8321)")
    parser.add_argument("--no-demo", dest="demo", action="store_false", help="begin a new data file with an empty book")
    return parser.parse_args(words)


def port(word: str) -> int:
    number = int(word)
    if not 0 <= number <= 65535:
        raise ValueError
    return number


def prepare_book(db: Path, demo: bool) -> None:
    """Brings the data file to this version. The demo goes into a new file only, never into a book that is in use."""
    try:
        db.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StepFailed(f"No folder for the data file: {error}\nChoose another place with --db FILE.") from error
    if demo and not db.exists():
        demo_book.make_demo_book(db)
    else:
        demo_book.migrate(db)


def server_line(db: Path, host: str, number: int) -> list[str]:
    """The program that this process becomes."""
    python = str(setup_env.PYTHON)
    return [python, "-m", "service", "serve", "--db", str(db), "--host", host, "--port", str(number)]
