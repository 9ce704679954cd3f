"""`./ops/coverage [--simulations N] [--only NAME]`: runs the sections, prints each row, ends with 1 if one fails."""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import sys
import time

from ops import coverage_checks

SIMULATIONS = 20_000
SEED = 20_260


def sections() -> list[str]:
    """Names of the files that hold simulations."""
    names = [module.name for module in pkgutil.iter_modules(coverage_checks.__path__)]
    return [name for name in names if hasattr(importlib.import_module(f"ops.coverage_checks.{name}"), "rows")]


def main() -> int:
    """Print a table in the form that the documentation keeps."""
    parser = argparse.ArgumentParser(prog="./ops/coverage", description=coverage_checks.__doc__)
    parser.add_argument("--simulations", type=int, default=SIMULATIONS, help="of each row")
    parser.add_argument("--only", help="one section by name")
    wanted = parser.parse_args()
    failed = 0
    print(f"{wanted.simulations} simulations a row, seed {SEED}\n")
    print("| what | share | must be | |\n|---|---|---|---|")
    for name in [wanted.only] if wanted.only else sections():
        began = time.monotonic()
        for row in importlib.import_module(f"ops.coverage_checks.{name}").rows(wanted.simulations, SEED):
            limits = [f"≥ {row.least:.4f}" if row.least is not None else "", f"≤ {row.most:.2f}" if row.most else ""]
            print(f"| {row.label} | {row.share:.4f} | {' '.join(filter(None, limits))} |", end="")
            print(" holds |" if row.holds else " FAILS |", flush=True)
            failed += not row.holds
        print(f"{name}: {time.monotonic() - began:.0f} s", file=sys.stderr)
    print(f"\n{failed} rows fail" if failed else "\nall rows hold")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
