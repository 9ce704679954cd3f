"""The phone app's files: small, cached as they may be, under a strict policy."""

from __future__ import annotations

import gzip

import pytest

from service import Config, create_app
from service.store import migrate


@pytest.fixture
def http(tmp_path, clock):
    built = tmp_path / "dist"
    (built / "assets").mkdir(parents=True)
    (built / "index.html").write_text("<!doctype html>")
    (built / "worker.js").write_text("self")
    (built / "assets" / "app-abc.js").write_text("plain")
    (built / "assets" / "app-abc.js.br").write_bytes(b"as brotli")
    (built / "assets" / "app-abc.js.gz").write_bytes(gzip.compress(b"plain"))
    (built / "assets" / "app-abc.css").write_text("p{}")
    (built / "roadproof.webmanifest").write_text("{}")
    (tmp_path / "secret.txt").write_text("secret")
    migrate(tmp_path / "book.db")
    app = create_app(Config(tmp_path / "book.db", phone_dir=built, clock=clock))
    yield app.test_client()
    app.extensions["roadproof.store"].close()


def test_the_page_is_asked_for_again_each_time(http):
    answer = http.get("/")
    assert answer.text == "<!doctype html>"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "script-src 'self'" in answer.headers["Content-Security-Policy"]
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    assert "trusted-types" not in answer.headers["Content-Security-Policy"]
    again = http.get("/", headers={"If-None-Match": answer.headers["ETag"]})
    assert (again.status_code, again.headers["ETag"]) == (304, answer.headers["ETag"])
    assert http.get("/worker.js").headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize(
    ("accepted", "encoding", "body"),
    [
        ("gzip, deflate, br", "br", b"as brotli"),
        ("gzip", "gzip", gzip.compress(b"plain", mtime=0)),
        ("br;q=0, gzip", "gzip", gzip.compress(b"plain", mtime=0)),
        ("identity", None, b"plain"),
        ("", None, b"plain"),
    ],
)
def test_precompressed(http, accepted, encoding, body):
    answer = http.get("/assets/app-abc.js", headers={"Accept-Encoding": accepted})
    assert answer.headers.get("Content-Encoding") == encoding
    assert answer.headers["Content-Type"] == "text/javascript; charset=utf-8"
    assert "Accept-Encoding" in answer.headers["Vary"]
    assert "immutable" in answer.headers["Cache-Control"]
    if encoding != "gzip":
        assert answer.data == body
    else:
        assert gzip.decompress(answer.data) == b"plain"


def test_types(http):
    assert http.get("/roadproof.webmanifest").content_type == "application/manifest+json"
    assert http.get("/assets/app-abc.css").content_type == "text/css; charset=utf-8"
    assert http.get("/").content_type == "text/html; charset=utf-8"


@pytest.mark.parametrize(
    "path", ["/jobs/1", "/nothing.js", "/../secret.txt", "/%2e%2e/secret.txt", "/assets", "/assets/app-abc.js.br"]
)
def test_nothing_else_is_served(http, path):
    answer = http.get(path)
    assert answer.status_code == 404
    assert answer.content_type == "application/problem+json"


def test_unknown_addresses_of_the_api_are_problems(http):
    for method in ("get", "post"):
        answer = getattr(http, method)("/api/v1/nothing")
        assert answer.status_code in (404, 405)
        assert answer.content_type == "application/problem+json"
