"""Commands of the service: `python -m service migrate`, `serve`, `pair-code`, `backup` and `restore`."""

from __future__ import annotations

import argparse
import errno
import sys
from pathlib import Path

from service.config import Config

PHONE_DIR = Path(__file__).resolve().parent.parent / "pwa" / "dist"


def main(words: list[str]) -> int:
    """Runs one command; 0 when it did its work, 1 with a line on standard error when it could not."""
    chosen = parser().parse_args(words)
    try:
        return chosen.run(chosen)
    except (OSError, LookupError) as error:
        print(f"{chosen.command}: {error}", file=sys.stderr)
        if isinstance(error, OSError) and error.errno == errno.EADDRINUSE:
            print("Another program listens there: choose another with --port N.", file=sys.stderr)
        return 1


def parser() -> argparse.ArgumentParser:
    root = argparse.ArgumentParser(prog="python -m service", description="The set-up book of a bicycle workshop.")
    commands = root.add_subparsers(dest="command", required=True)
    migrate = commands.add_parser("migrate", help="bring a data file to this version's schema, making it if need be")
    migrate.set_defaults(run=run_migrate)
    serve = commands.add_parser("serve", help="serve app and API until SIGINT or SIGTERM")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on (127.0.0.1)")
    serve.add_argument("--port", type=int, default=8321, help="port to listen on; 0 takes a free one (8321)")
    serve.add_argument("--phone", type=Path, help="folder of the built phone app (pwa/dist where it is built)")
    serve.add_argument("--public-url", help="address that customers reach, for links and QR codes")
    serve.set_defaults(run=run_serve)
    pair_code = commands.add_parser("pair-code", help="print a one-time pairing code of the owner, good for 10 minutes")
    pair_code.set_defaults(run=run_pair_code)
    backup = commands.add_parser("backup", help="copy a data file, which may be in use, into a new file")
    backup.add_argument("--to", type=Path, required=True, metavar="BACKUP", help="the new file, best on another disk")
    backup.set_defaults(run=run_backup)
    restore = commands.add_parser("restore", help="put a backup in place; the file before is kept beside it")
    restore.add_argument("--from", dest="source", type=Path, required=True, metavar="BACKUP", help="the backup")
    restore.set_defaults(run=run_restore)
    for command in (migrate, serve, pair_code, backup, restore):
        command.add_argument("--db", type=Path, required=True, metavar="FILE", help="the data file")
    return root


# Each command brings in what it needs by itself: migrating does not wait for the server's libraries.


def run_migrate(chosen: argparse.Namespace) -> int:
    from service.store.migrations import migrate

    for step in migrate(chosen.db):
        print(f"migrated: {step}", flush=True)
    return 0


def run_serve(chosen: argparse.Namespace) -> int:
    from service.serve import serve

    built = PHONE_DIR if (PHONE_DIR / "index.html").is_file() else None
    serve(Config(chosen.db, phone_dir=chosen.phone or built, public_url=chosen.public_url), chosen.host, chosen.port)
    return 0


def run_pair_code(chosen: argparse.Namespace) -> int:
    from service.pairing import owner_code
    from service.store import Store

    if not chosen.db.is_file():
        raise LookupError(f"there is no data file {chosen.db}")
    store = Store(chosen.db)
    try:
        print(owner_code(store, Config(chosen.db).clock()))
    finally:
        store.close()
    return 0


def run_backup(chosen: argparse.Namespace) -> int:
    from service.backup import back_up

    newest = back_up(chosen.db, chosen.to)
    print(f"backed up to {chosen.to}: the book up to number {newest}")
    print(f"Keep {Config(chosen.db).key_path} with it: new set-up records are signed with that key.")
    return 0


def run_restore(chosen: argparse.Namespace) -> int:
    from service.backup import restore

    kept, let_go = restore(chosen.db, chosen.source, Config(chosen.db).clock())
    print(f"restored {chosen.db} from {chosen.source}: phones send again what they hold")
    if kept:
        print(f"The file before is kept as {kept}.")
    if let_go:
        print(f"A later backup held {let_go} changes more, and phones need not hold those any longer.")
        print("If it still exists, restore that one.")
    return 0
