"""./ops/run: its options, what it does to a data file, and the process it turns into."""

from __future__ import annotations

from pathlib import Path

import pytest

from ops import demo_book, setup_env
from ops.commands import run
from ops.steps import ROOT, StepFailed


def test_defaults():
    chosen = run.arguments([])
    assert (chosen.db, chosen.host, chosen.port, chosen.demo) == (ROOT / ".data/roadproof.db", "127.0.0.1", 8321, True)


def test_options():
    chosen = run.arguments(["--db", "x.db", "--host", "::1", "--port", "0", "--no-demo"])
    assert (chosen.db, chosen.host, chosen.port, chosen.demo) == (Path("x.db"), "::1", 0, False)


@pytest.mark.parametrize("words", [["--port", "65536"], ["--port", "-1"], ["--port", "x"], ["--db"], ["more"]])
def test_what_is_refused(words, capsys):
    with pytest.raises(SystemExit) as ended:
        run.arguments(words)
    assert ended.value.code == 2
    assert "usage: ./ops/run" in capsys.readouterr().err


def test_the_server_is_the_environments_own_python():
    line = run.server_line(Path("/a/b.db"), "127.0.0.1", 9)
    assert line == [str(setup_env.PYTHON), "-m", "service", "serve", "--db", "/a/b.db", "--host", "127.0.0.1",
                    "--port", "9"]  # fmt: skip


@pytest.fixture
def done(monkeypatch):
    """What was done to data files, in place of doing it."""
    steps = []
    monkeypatch.setattr(demo_book, "make_demo_book", lambda db: steps.append(("demo", db.name)))
    monkeypatch.setattr(demo_book, "migrate", lambda db: steps.append(("migrate", db.name)))
    return steps


def test_the_demo_goes_into_a_new_file_only(tmp_path, done):
    run.prepare_book(tmp_path / "new.db", demo=True)
    (tmp_path / "used.db").touch()
    run.prepare_book(tmp_path / "used.db", demo=True)
    run.prepare_book(tmp_path / "empty.db", demo=False)
    assert done == [("demo", "new.db"), ("migrate", "used.db"), ("migrate", "empty.db")]


def test_the_folder_of_the_data_file_is_made(tmp_path, done):
    run.prepare_book(tmp_path / "a" / "b" / "new.db", demo=False)
    assert (tmp_path / "a" / "b").is_dir()


def test_a_folder_that_cannot_be_made_says_what_to_do(tmp_path, done):
    (tmp_path / "file").touch()
    with pytest.raises(StepFailed, match="--db FILE"):
        run.prepare_book(tmp_path / "file" / "new.db", demo=False)


class TestDemoBook:
    """Wholly there under its name, or not at all."""

    @pytest.fixture(autouse=True)
    def loaded(self, monkeypatch):
        def load(db, earlier_key):
            assert not db.exists()
            db.write_text("book")
            Path(f"{db}.key").write_text(earlier_key.read_text() if earlier_key.exists() else "new key")

        monkeypatch.setattr(demo_book, "_load", load)

    def test_takes_its_name_when_loaded(self, tmp_path):
        demo_book.make_demo_book(tmp_path / "x.db")
        assert {path.name for path in tmp_path.iterdir()} == {"x.db", "x.db.key"}

    def test_what_an_interrupted_load_left_is_thrown_away(self, tmp_path):
        for suffix in demo_book.BESIDE:
            (tmp_path / f"x.db.demo-unfinished{suffix}").touch()
        demo_book.make_demo_book(tmp_path / "x.db")
        assert {path.name for path in tmp_path.iterdir()} == {"x.db", "x.db.key"}

    @pytest.mark.parametrize("fault", [StepFailed("no"), KeyboardInterrupt(), SystemExit(143)], ids=repr)
    def test_nothing_is_left_of_a_load_that_fails(self, tmp_path, monkeypatch, fault):
        def load(db, earlier_key):
            db.write_text("half a book")
            raise fault

        monkeypatch.setattr(demo_book, "_load", load)
        with pytest.raises(type(fault)):
            demo_book.make_demo_book(tmp_path / "x.db")
        assert list(tmp_path.iterdir()) == []

    def test_an_earlier_signing_key_is_kept(self, tmp_path):
        (tmp_path / "x.db.key").write_text("earlier key")
        demo_book.make_demo_book(tmp_path / "x.db")
        assert (tmp_path / "x.db.key").read_text() == "earlier key"
