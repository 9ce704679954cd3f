"""Set-up steps are done again exactly when something they depend on has changed."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import pytest

from ops import setup_env
from ops.steps import ROOT, StepFailed, run_tool


@pytest.fixture
def files(tmp_path):
    for name, text in (("a.txt", "one"), ("b.txt", "two")):
        (tmp_path / name).write_text(text)
    return tmp_path


def print_of(folder: Path) -> str:
    return setup_env.fingerprint(path for path in folder.rglob("*") if path.is_file())


def test_fingerprint_is_the_same_for_the_same_files_in_any_order(files):
    pair = [files / "a.txt", files / "b.txt"]
    assert setup_env.fingerprint(pair) == setup_env.fingerprint(reversed(pair))


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: (folder / "a.txt").write_text("One"),
        lambda folder: (folder / "c.txt").write_text(""),
        lambda folder: (folder / "a.txt").unlink(),
        lambda folder: (folder / "a.txt").rename(folder / "c.txt"),
    ],
    ids=["edited", "added", "removed", "renamed"],
)
def test_fingerprint_changes_with(files, change):
    before = print_of(files)
    change(files)
    assert print_of(files) != before


def test_fingerprint_ignores_the_time_of_a_file(files):
    before = print_of(files)
    (files / "a.txt").touch()
    assert print_of(files) == before


def test_a_stamp_holds_for_its_own_fingerprint_only(tmp_path, monkeypatch):
    monkeypatch.setattr(setup_env, "STAMPS", tmp_path / "stamps")
    assert not setup_env.is_current("build", "x")
    setup_env.mark_current("build", "x")
    assert setup_env.is_current("build", "x")
    assert not setup_env.is_current("build", "y")
    assert [path.name for path in (tmp_path / "stamps").iterdir()] == ["build"]


def test_packages_are_installed_once_for_one_lock_file(tmp_path, monkeypatch):
    """The second call starts no program; an edited lock file starts one again."""
    started = []
    monkeypatch.setattr(setup_env, "run_tool", lambda argv, advice: started.append(argv))
    monkeypatch.setattr(setup_env, "VENV", tmp_path)
    monkeypatch.setattr(setup_env, "STAMPS", tmp_path / "stamps")
    monkeypatch.setattr(setup_env, "ROOT", tmp_path)
    (tmp_path / "pyvenv.cfg").write_text("version = 3.11.2\n")
    lock = tmp_path / "lock.txt"
    lock.write_text("a==1")
    setup_env.ensure_packages(lock)
    setup_env.ensure_packages(lock)
    assert len(started) == 1
    assert "--require-hashes" in started[0]
    lock.write_text("a==2")
    setup_env.ensure_packages(lock)
    assert len(started) == 2


def test_a_failed_install_leaves_no_stamp(tmp_path, monkeypatch):
    def fail(argv, advice):
        raise StepFailed(advice)

    monkeypatch.setattr(setup_env, "run_tool", fail)
    monkeypatch.setattr(setup_env, "VENV", tmp_path)
    monkeypatch.setattr(setup_env, "STAMPS", tmp_path / "stamps")
    monkeypatch.setattr(setup_env, "ROOT", tmp_path)
    (tmp_path / "pyvenv.cfg").write_text("version = 3.11.2\n")
    lock = tmp_path / "lock.txt"
    lock.write_text("a==1")
    with pytest.raises(StepFailed, match="run the command again"):
        setup_env.ensure_packages(lock)
    assert not (tmp_path / "stamps").exists()


@pytest.mark.parametrize(
    ("config", "version"),
    [("home = /x\nversion = 3.12.1\n", (3, 12)), ("home = /x\n", ()), ("", ())],
)
def test_version_of_the_environment(tmp_path, monkeypatch, config, version):
    monkeypatch.setattr(setup_env, "VENV", tmp_path)
    (tmp_path / "pyvenv.cfg").write_text(config)
    assert setup_env._venv_version() == version


def test_a_python_without_venv_is_told_what_to_install(tmp_path, monkeypatch):
    """Debian ships python3 without ensurepip; the package that brings it is python3-venv."""
    monkeypatch.setattr(setup_env, "PYTHON", tmp_path / "none")
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    with pytest.raises(StepFailed, match="apt-get install python3-venv"):
        setup_env.ensure_venv()


def test_two_commands_set_up_one_after_the_other(tmp_path, monkeypatch):
    monkeypatch.setattr(setup_env, "ROOT", tmp_path)
    order = []

    def second():
        with setup_env.one_at_a_time():
            order.append("second")

    with setup_env.one_at_a_time():
        other = threading.Thread(target=second)
        other.start()
        other.join(0.3)
        order.append("first")
    other.join(10)
    assert order == ["first", "second"]


def test_a_failed_tool_shows_the_end_of_its_output_and_what_to_do():
    with pytest.raises(StepFailed) as failure:
        run_tool([sys.executable, "-c", "print('the reason'); raise SystemExit(3)"], "Do this.")
    assert "the reason" in str(failure.value)
    assert "status 3" in str(failure.value)
    assert str(failure.value).endswith("Do this.")


def test_a_missing_tool_says_what_to_do():
    with pytest.raises(StepFailed, match=r"does not start(.|\n)*Do this\."):
        run_tool(["/nowhere/at/all"], "Do this.")


def test_the_commands_are_executable_and_start_without_the_environment():
    """-S leaves out site-packages: only the standard library may be needed before the environment is made."""
    for name in ("run", "test", "bench", "lock"):
        command = ROOT / "ops" / name
        assert command.stat().st_mode & 0o111
        code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import ops.commands.{name}"
        subprocess.run([sys.executable, "-I", "-S", "-c", code], check=True, timeout=60)
