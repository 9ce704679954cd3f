"""The developers' document stays true: every public function of the computing stands in its table."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_every_public_function_of_domain_is_in_the_table():
    listed = set(re.findall(r"[a-z_][a-z0-9_]*", " ".join(_first_cells())))
    missing = []
    for path in sorted((ROOT / "service" / "domain").glob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            public = isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
            if public and not {path.stem, node.name} <= listed:
                missing.append(f"{path.stem}: {node.name}")
    assert not missing


def test_the_published_cases_that_are_named_exist():
    published = (ROOT / "tests" / "domain" / "published.json").read_text(encoding="utf-8")
    pattern = r"\b(?:cf|cc|ts|np|pr|sv|gr|by|pe|ch|tq|sn|cp)-[a-z0-9-]+"
    named = {case for row in _rows() for case in re.findall(pattern, row[2])}
    assert named
    assert not [case for case in named if f'"{case}"' not in published]


def test_the_fault_tests_that_are_named_exist():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("| fault | test | expected |", 1)[1].split("\n\n", 1)[0]
    named = [row.split("|")[2].strip().split(": ") for row in table.splitlines()[2:]]
    assert named
    for module, tests in named:
        source = (ROOT / "tests" / "faults" / f"test_{module}.py").read_text(encoding="utf-8")
        for test in tests.split(", "):
            assert f"def test_{test}(" in source, f"{module}: {test}"


def _rows() -> list[list[str]]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("| module: functions |", 1)[1].split("\n\n", 1)[0]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()[2:]]


def _first_cells() -> list[str]:
    return [row[0] for row in _rows()]
