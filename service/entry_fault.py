"""Why one entry of a batch is not taken: at fault by itself, or not understood yet."""

from __future__ import annotations

from service.errors import entry_problem, fault


class NotTaken(Exception):
    """`rejected`: wrong, and it stays wrong. `retry`: it names what the service does not know yet."""

    def __init__(self, status: str, kind: str, *faults: dict[str, str]) -> None:
        super().__init__(kind)
        self.status = status
        self.problem = entry_problem(kind, *faults)


def rejected(pointer: str, detail: str, kind: str = "breaks-the-contract") -> NotTaken:
    """The entry is at fault in this field; the detail says what would be right."""
    return NotTaken("rejected", kind, fault(pointer, detail))


def retry(pointer: str, detail: str, kind: str) -> NotTaken:
    """The entry names something that is not known here yet."""
    return NotTaken("retry", kind, fault(pointer, detail))
