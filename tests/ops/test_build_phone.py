"""Which Node will do, and what the built app depends on."""

from __future__ import annotations

import pytest

from ops import build_phone, setup_env


@pytest.mark.parametrize(
    ("version", "enough"),
    [
        # the build tool's own limits: ^20.19.0 || >=22.12.0
        ("v20.19.0\n", True),
        ("v20.20.2", True),
        ("v22.12.0", True),
        ("v24.1.0-rc.1", True),
        ("v20.18.3", False),
        ("v21.7.3", False),
        ("v22.11.0", False),
        ("v18.19.0", False),
        ("", False),
        ("nonsense", False),
    ],
)
def test_node_versions(version, enough):
    assert build_phone.node_is_new_enough(version) is enough


@pytest.fixture
def app(tmp_path, monkeypatch):
    """A project folder with an app already built for what stands in it; counts the programs that are started."""
    started = []
    monkeypatch.setattr(build_phone, "ROOT", tmp_path)
    monkeypatch.setattr(build_phone, "PWA", tmp_path / "pwa")
    monkeypatch.setattr(setup_env, "STAMPS", tmp_path / "stamps")
    monkeypatch.setattr(build_phone, "node_environment", dict)
    monkeypatch.setattr(build_phone, "run_tool", lambda argv, *rest, **more: started.append(" ".join(argv[:3])))
    for name in ("pwa/src/main.ts", "pwa/package.json", "pwa/package-lock.json", "schemas/catalogue.toml",
                 "pwa/node_modules/x/index.js", "pwa/dist/index.html"):  # fmt: skip
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name)
    build_phone.ensure_built()
    started.clear()
    return tmp_path, started


@pytest.mark.parametrize(
    ("edited", "expected"),
    [
        (None, []),
        ("pwa/node_modules/x/index.js", []),
        ("pwa/dist/index.html", []),
        ("pwa/src/main.ts", ["npm run build"]),
        ("schemas/catalogue.toml", ["npm run build"]),
        ("pwa/package-lock.json", ["npm ci --no-audit", "npm run build"]),
    ],
)
def test_the_app_is_built_again_only_when_what_it_is_made_from_changed(app, edited, expected):
    folder, started = app
    if edited:
        (folder / edited).write_text("edited")
    build_phone.ensure_built()
    assert started == expected


def test_a_lost_build_is_made_again(app):
    folder, started = app
    (folder / "pwa/dist/index.html").unlink()
    build_phone.ensure_built()
    assert started == ["npm run build"]
