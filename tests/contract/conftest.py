"""Names for the contract's tests."""

from __future__ import annotations

import pytest


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The schema tester names the tests of all operations alike; workers, which know tests by name, would run one."""
    for item in items:
        if hasattr(item, "operation_label"):
            item._id = item.parent.id.child(item.name)
