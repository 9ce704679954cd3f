"""Holm's method as statsmodels has it."""

from __future__ import annotations

from collections.abc import Sequence
from unittest.mock import patch

import numpy as np
from statsmodels.stats.multitest import multipletests


def holm_by_statsmodels(p: Sequence[float], q: float = 0.05) -> tuple[np.ndarray, np.ndarray]:
    """Which of p, shape (n,), are rejected at the family's level q, and p adjusted. It collects garbage on every call,
    which takes a thousand times as long as the rest: left out."""
    with patch("gc.collect"):
        return multipletests(p, alpha=q, method="holm")[:2]
