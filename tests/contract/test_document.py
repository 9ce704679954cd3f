"""The document that is checked in is the service's own, and a valid one."""

from __future__ import annotations

import json

from openapi_spec_validator import OpenAPIV31SpecValidator

from service.openapi import TARGET, text


def test_the_document_is_fresh():
    assert TARGET.read_text(encoding="utf-8") == text(), "stale: run `python -m service.openapi`"


def test_it_is_valid_openapi():
    OpenAPIV31SpecValidator(json.loads(text())).validate()


def test_every_operation_has_a_summary_and_a_way_to_fail():
    for path, operations in json.loads(text())["paths"].items():
        for method, operation in operations.items():
            if method in ("get", "put", "post", "delete"):
                assert operation.get("summary"), (method, path)
                assert "default" in operation["responses"], (method, path)
