"""./ops/test: a true exit status, and in CI nothing skipped."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from ops import build_phone, setup_env, test_tools
from ops.commands import test as command
from ops.steps import ROOT, StepFailed


@pytest.fixture
def ran(monkeypatch):
    """Names of the checks that ran, in order; those in `failing` fail."""
    names, failing = [], set()

    def passes(name, argv, cwd, env):
        names.append(name)
        return name not in failing

    monkeypatch.setattr(command, "passes", passes)
    for module, name in (
        (setup_env, "ensure_venv"),
        (setup_env, "ensure_packages"),
        (build_phone, "ensure_built"),
        (build_phone, "ensure_node_packages"),
        (test_tools, "ensure_test_tools"),
    ):
        monkeypatch.setattr(module, name, lambda *words, **more: None)
    monkeypatch.setattr(build_phone, "node_environment", dict)
    return names, failing


def test_everything_runs_and_pytest_comes_last(ran):
    names, _ = ran
    assert command.main([]) == 0
    assert names == ["ruff", "types of the phone app", "tests of the phone app", "pytest"]


@pytest.mark.parametrize("name", ["ruff", "types of the phone app", "tests of the phone app", "pytest"])
def test_one_failed_check_fails_the_whole_and_stops_nothing(ran, name):
    names, failing = ran
    failing.add(name)
    assert command.main([]) == 1
    assert len(names) == 4


SAMPLE = """
import pytest
def test_passes(): pass
@pytest.mark.skipif({skip}, reason="no tool")
def test_needs_a_tool(): pass
"""


@pytest.mark.parametrize(
    ("skip", "in_ci", "workers", "status"),
    [(True, True, False, 1), (True, True, True, 1), (True, False, False, 0), (False, True, False, 0)],
)
def test_a_skipped_test_fails_in_ci_only(tmp_path, skip, in_ci, workers, status):
    (tmp_path / "test_sample.py").write_text(SAMPLE.format(skip=skip))
    plugins = ["-p", "ops.fail_on_skip"] * in_ci + ["-p", "xdist", "-n", "1"] * workers
    line = [sys.executable, "-m", "pytest", "-q", "-c", "/dev/null", "--rootdir", tmp_path, *plugins, tmp_path]
    alone = {**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    ended = subprocess.run(line, cwd=ROOT, env=alone, capture_output=True, text=True, timeout=120, check=False)
    assert ended.returncode == status, ended.stdout + ended.stderr
    assert ("counts as a failure" in ended.stdout) == bool(status)


def test_in_ci_the_plugin_is_loaded():
    assert "ops.fail_on_skip" in command.pytest_line(True, [])
    assert "ops.fail_on_skip" not in command.pytest_line(False, ["-k", "x"])


def test_a_missing_tool_is_named_with_its_use_and_how_to_install_it(monkeypatch, capsys):
    monkeypatch.setattr(test_tools, "missing_packages", lambda: ["strace", "chromium"])
    monkeypatch.setattr(test_tools.os, "geteuid", lambda: 1000)
    test_tools.ensure_test_tools(must_have_all=False)
    assert "sudo apt-get install -y --no-install-recommends strace chromium" in capsys.readouterr().err
    with pytest.raises(StepFailed, match="chromium: the browser tests"):
        test_tools.ensure_test_tools(must_have_all=True)
