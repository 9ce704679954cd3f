"""The contract as a document. `python -m service.openapi` writes schemas/openapi.json; a test fails if stale."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from flask import Flask

TARGET = Path(__file__).parent.parent / "schemas" / "openapi.json"


def described_app() -> Flask:
    """The service without a book: it knows its document and answers nothing else."""
    from service import api, routes

    app = Flask("service", static_folder=None)
    routes.register(app, api.new_api(app))
    return app


def document() -> dict[str, Any]:
    """The OpenAPI 3.1 document of this service."""
    return described_app().extensions["flask-smorest"]["apis"][""]["ext_obj"].spec.to_dict()


def text() -> str:
    """The document as it is checked in."""
    return json.dumps(document(), indent=1, ensure_ascii=False, sort_keys=True) + "\n"


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
