"""Resident memory of a process and all it has started, from /proc (proc(5): VmRSS, and the parent in stat)."""

from __future__ import annotations

import re
from pathlib import Path


def resident_mib(pid: int) -> float:
    """Sum over the process and its descendants, in MiB."""
    return sum(_resident_kib(each) for each in family(pid)) / 1024


def family(pid: int) -> list[int]:
    """The process and its descendants."""
    children: dict[int, list[int]] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            # the name, in brackets, may hold spaces and brackets itself
            parent = int(stat.read_text().rpartition(")")[2].split()[1])
        except OSError:
            continue  # ended meanwhile
        children.setdefault(parent, []).append(int(stat.parent.name))
    found = [pid]
    for each in found:
        found += children.get(each, [])
    return found


def _resident_kib(pid: int) -> int:
    told = re.search(r"^VmRSS:\s+(\d+) kB$", Path(f"/proc/{pid}/status").read_text(), flags=re.MULTILINE)
    return int(told[1]) if told else 0
