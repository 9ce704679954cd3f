"""What holds for every answer: compression where it is worth it, headers, and sizes."""

from __future__ import annotations

import gzip
import json

import pytest

from tests.handing_over import set_up


def test_long_answers_go_out_compressed_where_the_client_takes_it(shop):
    plain = shop.phone.get("/catalogue")
    packed = shop.phone.get("/catalogue", headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in plain.headers
    assert packed.headers["Content-Encoding"] == "gzip"
    assert packed.headers["ETag"] == plain.headers["ETag"]
    assert int(packed.headers["Content-Length"]) == len(packed.data) < len(plain.data) / 4
    assert json.loads(gzip.decompress(packed.data)) == plain.json
    for answer in (plain, packed):
        assert "Accept-Encoding" in answer.headers["Vary"]


def test_short_answers_and_unchanged_ones_do_not(shop):
    assert "Content-Encoding" not in shop.phone.get("/me", headers={"Accept-Encoding": "gzip"}).headers
    tag = shop.phone.get("/catalogue").headers["ETag"]
    unchanged = shop.phone.get("/catalogue", headers={"Accept-Encoding": "gzip", "If-None-Match": tag})
    assert (unchanged.status_code, unchanged.data) == (304, b"")


def test_every_answer_has_its_headers(shop):
    set_up(shop)
    for path in ("/me", "/nothing", f"/jobs/{shop.job}/entries"):
        headers = shop.phone.get(path).headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cache-Control"] == "no-store"
        assert "default-src 'none'" in headers["Content-Security-Policy"]


def test_a_method_that_an_address_does_not_take_names_those_it_does(shop):
    answer = shop.phone.delete("/bikes")
    assert answer.status_code == 405
    assert {"GET", "HEAD"} <= {method.strip() for method in answer.headers["Allow"].split(",")}
    assert answer.content_type == "application/problem+json"


def test_no_answer_holds_nan(app):
    """RFC 8259 knows no such number; Python's own writer would let it out."""
    with pytest.raises(ValueError):
        app.json.dumps({"value": float("nan")})
