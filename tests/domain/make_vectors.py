"""The answers that service and phone share, worked out by outside references.

`python -m tests.domain.make_vectors` writes schemas/vectors/NAME.json for every module of vector_sources.
Numbers are kept to 12 digits, so that another build of a reference library gives the same file.
"""

import json
from importlib import import_module
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parents[2] / "schemas" / "vectors"
NAMES = sorted(path.stem for path in (Path(__file__).parent / "vector_sources").glob("*.py"))


def shortened(value: Any) -> Any:
    """The value with every float kept to 12 significant digits."""
    if isinstance(value, dict):
        return {key: shortened(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [shortened(inner) for inner in value]
    return float(f"{value:.12g}") if isinstance(value, float) else value


def content(name: str) -> dict[str, Any]:
    """The whole file of one module: about, source and cases."""
    source = import_module(f"tests.domain.vector_sources.{name}")
    cases = [
        {
            "id": case["id"],
            "inputs": case["inputs"],
            "expected": shortened(case["expected"]),
            "tolerance": float(f"{case.get('tolerance', 1e-9):.2g}"),
            "source": case["source"],
        }
        for case in source.cases()
    ]
    about = f"{source.ABOUT} Tolerances are absolute and for numbers; words, booleans and nulls match exactly."
    return {"about": about, "source": source.SOURCE, "cases": cases}


def text(body: dict[str, Any]) -> str:
    """The file's text, one case a line."""
    lines = ",\n".join(json.dumps(case, ensure_ascii=False, allow_nan=False) for case in body["cases"])
    head = f'"about": {json.dumps(body["about"])},\n"source": {json.dumps(body["source"])}'
    return f'{{\n{head},\n"cases": [\n{lines}\n]\n}}\n'


if __name__ == "__main__":
    for name in NAMES:
        (FOLDER / f"{name}.json").write_text(text(content(name)), encoding="utf-8")
        print(f"{name}.json written")
