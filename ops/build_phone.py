"""The phone app: Node, its packages and the build, each done again only when something it depends on has changed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

from ops import setup_env
from ops.steps import ROOT, run_tool, step

PWA = ROOT / "pwa"
MADE_BY_TOOLS = {"node_modules", "dist", "dev-dist", "coverage"}


def node_is_new_enough(version: str) -> bool:
    """Whether the phone app's tools run on this Node: 20.19, or 22.12 and later (the build tool's own limits)."""
    found = re.fullmatch(r"v(\d+)\.(\d+)\.\d+\S*", version.strip())
    if not found:
        return False
    major, minor = int(found[1]), int(found[2])
    return (major == 20 and minor >= 19) or (major == 22 and minor >= 12) or major > 22


def node_environment() -> dict[str, str]:
    """The environment in which `node` and `npm` are found: the machine's where it is new enough, else one in .venv."""
    if _machine_has_node():
        return dict(os.environ)
    setup_env.ensure_packages(setup_env.NODE_LOCK)
    return {**os.environ, "PATH": f"{setup_env.VENV / 'bin'}{os.pathsep}{os.environ.get('PATH', os.defpath)}"}


def _machine_has_node() -> bool:
    if not (shutil.which("node") and shutil.which("npm")):
        return False
    told = subprocess.run(["node", "--version"], capture_output=True, text=True, check=False)
    return told.returncode == 0 and node_is_new_enough(told.stdout)


def sources() -> Iterator[Path]:
    """Every file that the built app depends on: the app's own and the contract's."""
    for folder in (PWA, ROOT / "schemas"):
        for here, folders, files in os.walk(folder):
            folders[:] = [name for name in folders if name not in MADE_BY_TOOLS and name != "__pycache__"]
            yield from (Path(here) / name for name in files)


def ensure_node_packages(folder: Path | None = None, what: str = "the phone app") -> None:
    """Installs what the package-lock.json of a folder names, the phone app's if none is given."""
    folder = folder or PWA
    stamp = "node-packages" if folder == PWA else f"node-packages-{folder.name}"
    wanted = setup_env.fingerprint([folder / "package.json", folder / "package-lock.json"])
    if setup_env.is_current(stamp, wanted) and (folder / "node_modules").is_dir():
        return
    environment = node_environment()
    with step(f"packages of {what}"):
        run_tool(
            ["npm", "ci", "--no-audit", "--no-fund"],
            "Look whether the network and the npm registry can be reached, then run the command again.",
            cwd=folder, env=environment,
        )  # fmt: skip
    setup_env.mark_current(stamp, wanted)


def ensure_built() -> None:
    """Builds pwa/dist."""
    wanted = setup_env.fingerprint(sources())
    if setup_env.is_current("phone-build", wanted) and (PWA / "dist" / "index.html").is_file():
        return
    ensure_node_packages()
    environment = node_environment()
    with step("phone app"):
        run_tool(
            ["npm", "run", "build"],
            "The phone app does not build. If its files were not edited, delete pwa/node_modules and run this again.",
            cwd=PWA, env=environment,
        )  # fmt: skip
    setup_env.mark_current("phone-build", wanted)
