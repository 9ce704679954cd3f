"""Runs a module as a shop's machine would: without pandas, which only the tests' packages bring.

sqlite-utils loads pandas wherever it finds it, and a service's start then takes twice as long: `lean MODULE WORDS…`.
"""

from __future__ import annotations

import runpy
import sys

if __name__ == "__main__":
    sys.modules["pandas"] = None
    runpy.run_module(sys.argv.pop(1), run_name="__main__", alter_sys=True)
