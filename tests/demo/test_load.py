"""Loading the demo scenario into a real service: all of it is taken, once; and the service finds what is true of it.

The simulation knows the answers: each estimate of the service is checked against the hidden truth.
"""

from __future__ import annotations

import subprocess
import sys
import uuid
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest

from ops.demo.load import Book, LoadFailed, load
from ops.demo.shifting import ELECTRONIC_DOUBLE
from ops.demo.simulate import simulate
from ops.demo.truth import CITY
from ops.served import served
from service.store import migrate

ROOT = Path(__file__).resolve().parents[2]
TODAY = date.today()


@pytest.fixture(scope="module")
def scenario():
    return simulate(TODAY)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """The service with the scenario in it, loaded as ./ops/run does."""
    db = tmp_path_factory.mktemp("demo") / "book.db"
    migrate(db)
    with served(db) as service:
        token = service.pair(str(uuid.uuid4()), "demo loader")
        said = subprocess.run(
            [sys.executable, ROOT / "ops" / "demo" / "load.py", "--url", service.url, f"--token={token}",
             "--reference-date", TODAY.isoformat()],
            capture_output=True, text=True, cwd="/", timeout=120,
        )  # fmt: skip
        assert said.returncode == 0, said.stdout + said.stderr
        print(said.stdout)
        yield Book(service.url, token)


def newest_seq(book: Book) -> int:
    seq, more = 0, True
    while more:
        page = book.call("GET", f"/changes?after={seq}&limit=1000")
        seq, more = page["next"], page["more"]
    return seq


def test_everything_is_there(book, scenario):
    states = Counter()
    for job in scenario.jobs:
        states[book.call("GET", f"/jobs/{job.id}")["state"]] += 1
        stored = book.call("GET", f"/jobs/{job.id}/entries")
        assert [entry["id"] for entry in stored["entries"]] == [e["id"] for e in job.entries + job.late_entries]
        assert stored["gaps"] == []
    assert states == {"handed_over": 34, "closed": 4, "open": 2}
    assert len(book.call("GET", "/bikes?limit=200")["bikes"]) == len(scenario.bikes)


def test_a_second_load_stores_nothing_new(book, scenario):
    before = newest_seq(book)
    links = [book.call("GET", f"/records/{job.record_id}")["links"] for job in scenario.jobs if job.visit.link]
    assert all(len(of_record) == 1 for of_record in links)
    for _ in load(book, scenario):
        pass
    assert newest_seq(book) == before
    assert links == [book.call("GET", f"/records/{job.record_id}")["links"] for job in scenario.jobs if job.visit.link]


def test_a_load_of_another_day_ends_with_words(book):
    before = newest_seq(book)
    with pytest.raises(LoadFailed, match="409"):
        list(load(book, simulate(TODAY + timedelta(days=1))))
    assert newest_seq(book) == before


def test_records_were_handed_over_when_the_bikes_left(book, scenario):
    late = {}
    for job in scenario.jobs:
        if job.record_id:
            record = book.call("GET", f"/records/{job.record_id}")
            assert record["handed_over_at"] == job.ended_at
            assert record["genuine"]
            late[job.visit.days_before, job.visit.bike] = record["late_entries"]
    assert [visit for visit, count in late.items() if count] == [(124, "sand_gravel")]


def test_the_missing_part_holds_what_needs_it_and_no_more(book, scenario):
    [waiting] = [job for job in scenario.jobs if job.visit.missing_parts]
    plan = book.call("GET", f"/jobs/{waiting.id}/plan")
    states = {step["id"]: step["state"] for step in plan["steps"]}
    assert {states[id] for id in ("support_wedge", "front_derailleur", "front_cage", "front_limits")} == {"held"}
    assert states["chain"] == "ready"
    assert {states[id] for id in ("cockpit", "wheels", "hanger", "levers", "brakes", "tyres")} == {"done"}


def test_the_offset_of_the_stand_is_found(book, scenario):
    true = scenario.truth.summary(scenario.bikes)["stand_offsets"]
    found = {(row["adjuster"], row["family"]): row for row in book.call("GET", "/workshop/stand-offsets")["offsets"]}
    electronic = found["rear_trim", ELECTRONIC_DOUBLE]
    assert electronic["certain"]
    assert electronic["low"] <= true[ELECTRONIC_DOUBLE]["true"] <= electronic["high"]
    assert electronic["advice"] == "On the stand, start 1 step inboard."
    city = found["barrel", CITY]
    assert not city["certain"]
    assert city["low"] <= true[CITY]["true"] <= city["high"]


def only_series(book, wanted: dict) -> dict:
    [series] = book.call(
        "GET", f"/bikes/{wanted['bike_id']}/trend?quantity={wanted['quantity']}&stage={wanted['stage']}"
    )["series"]
    assert len(series["points"]) == wanted["readings"]
    return series


def test_wear_reads_as_a_drift(book, scenario):
    [true] = scenario.truth.summary(scenario.bikes)["drifts"]
    series = only_series(book, true)
    assert series["slope"]["per"] == true["per"]
    assert series["slope"]["low"] <= true["slope"] <= series["slope"]["high"]
    assert series["slope"]["p"] < 0.05
    assert series["step"] is None
    assert series["forecast"]["leaves_at"] > series["points"][-1]["odometer_km"]


def test_a_blow_reads_as_a_jump(book, scenario):
    [true] = scenario.truth.summary(scenario.bikes)["jumps"]
    series = only_series(book, true)
    places = {point["entry_id"]: n for n, point in enumerate(series["points"])}
    after = places[true["first_after"]]
    before_km, after_km = (series["points"][n]["odometer_km"] for n in (after - 1, after))
    assert before_km < series["step"]["at"] < after_km
    assert series["step"]["size"] == pytest.approx(true["size"], abs=0.06)  # medians of 5 and 4 readings of u 0.05
    assert series["slope"] is None


def test_the_wider_front_cages_are_seen_in_the_workshop(book, scenario):
    [true] = scenario.truth.summary(scenario.bikes)["workshop_shifts"]
    trend = book.call("GET", f"/workshop/trend?quantity={true['quantity']}&family={true['family']}")
    assert trend["weighted"]["beyond"]


def test_each_comeback_is_traced_to_its_true_cause(book, scenario):
    for true in scenario.truth.summary(scenario.bikes)["comebacks"]:
        review = book.call("GET", f"/jobs/{true['job_id']}/review")
        first = max(review["causes"], key=lambda cause: cause["probability"])
        assert first["id"] == true["cause"]
        assert first["probability"] > 0.5


def test_the_comebacks_are_counted_with_their_causes(book, scenario):
    found = book.call("GET", "/workshop/comebacks")
    closed = {job.visit.cause for job in scenario.jobs if job.visit.ends == "closed"}
    assert closed <= {row["cause"] for row in found["by_cause"]}
    assert found["comebacks"]["count"] == 5
    assert len(found["staying_out"]["days"]) >= 4
