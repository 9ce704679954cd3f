"""How each command of this room starts and ends."""

from __future__ import annotations

import sys
from collections.abc import Callable

from ops.steps import StepFailed


def start(main: Callable[[list[str]], int]) -> None:
    """Runs a command with the words it was given; a failed step ends it with words instead of a traceback."""
    try:
        sys.exit(main(sys.argv[1:]))
    except StepFailed as failure:
        sys.exit(f"\n{failure}")
    except KeyboardInterrupt:
        sys.exit(130)
