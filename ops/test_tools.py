"""What the tests need beside Python and Node, from Debian's packages."""

from __future__ import annotations

import os
import shutil
import subprocess

from ops.steps import StepFailed, run_tool, say, step

PACKAGES = {
    "chromium": "the browser tests",
    "firefox-esr": "the main path in a second engine",
    "fonts-dejavu-core": "text in the browser",
    "fonts-liberation": "text in the browser",
    "fonts-noto-color-emoji": "text in the browser",
    "gir1.2-webkit2-4.1": "a window of WebKitGTK for the main path in a third engine",
    "libnss3-tools": "a browser that trusts the test's own certificate",
    "poppler-utils": "looking at PDF pages",
    "python3-gi": "a window of WebKitGTK",
    "strace": "the test that every answer waits for the disk",
    "webkit2gtk-driver": "WebDriver for WebKitGTK",
    "xvfb": "a screen for WebKitGTK, which cannot do without",
    "zbar-tools": "reading QR codes",
}


def ensure_test_tools(must_have_all: bool) -> None:
    """Installs what is missing where that is possible, else says what to install.

    Raises StepFailed when something stays missing and `must_have_all`.
    """
    missing = missing_packages()
    if not missing:
        return
    if os.geteuid() == 0 and shutil.which("apt-get"):
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        advice = f"Look whether Debian's packages can be reached, then install them by hand: {install_line(missing)}"
        with step(f"tools of the tests: {' '.join(missing)}"):
            run_tool(["apt-get", "update"], advice, env=quiet)
            run_tool(["apt-get", "install", "-y", "--no-install-recommends", *missing], advice, env=quiet)
        return
    text = "\n".join(
        ["The tests need tools that are not here:"]
        + [f"  {name}: {PACKAGES[name]}" for name in missing]
        + [f"Install them: sudo {install_line(missing)}"]
    )
    if must_have_all:
        raise StepFailed(text)
    say(f"{text}\nTests that need them are skipped.")


def install_line(packages: list[str]) -> str:
    return f"apt-get install -y --no-install-recommends {' '.join(packages)}"


def missing_packages() -> list[str]:
    """Those of PACKAGES that dpkg does not report as installed; all of them where there is no dpkg."""
    if not shutil.which("dpkg-query"):
        return list(PACKAGES)
    told = subprocess.run(
        ["dpkg-query", "--show", "--showformat=${Package} ${db:Status-Status}\n", *PACKAGES],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    installed = {line.split()[0] for line in told.stdout.splitlines() if line.endswith(" installed")}
    return [name for name in PACKAGES if name not in installed]
