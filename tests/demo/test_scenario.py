"""The demo scenario: what was asked of it is in it, it is the same every time, and what is true can be found in it.

The simulation knows the answers, so readings and estimates are checked against its hidden truth; limits of the checks
come from scipy.stats (chi-square, normal) and the closed forms named beside them.
"""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from collections import Counter
from datetime import UTC, date, datetime
from pathlib import Path
from statistics import mean, median, pstdev

import pytest
from scipy import stats

from ops.demo import mishaps
from ops.demo.bikes import BIKES, BY_KEY
from ops.demo.gauge import COUNTED
from ops.demo.shifting import ELECTRONIC_DOUBLE
from ops.demo.simulate import simulate
from ops.demo.truth import CITY
from schemas.bike import BikePutSchema
from schemas.entry import load_entry
from schemas.gauge import GaugesSchema
from schemas.job import JobPutSchema
from schemas.person import PeopleSchema
from service.catalogue import load
from service.domain.chain import size_chain
from service.domain.stand_offset import stand_offset

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = date(2026, 11, 25)
catalogue = load()


@pytest.fixture(scope="module")
def scenario():
    return simulate(REFERENCE)


@pytest.fixture(scope="module")
def by_id(scenario):
    return {entry["id"]: entry for entry in scenario.entries}


def value_of(entry):
    data = entry["data"]
    value = data["value"] if "value" in data else (data["low"] + data["high"]) / 2
    return catalogue.to_unit(value, data["unit"], catalogue.items["quantities"][data["quantity"]]["unit"])


def test_the_bikes_are_of_several_families(scenario):
    facts = [bike.facts for bike in BIKES]
    assert len(BIKES) >= 12
    assert len({f["family"] for f in facts}) >= 8
    for wanted in (
        {"shifting": "electronic"}, {"shifting": "cable"}, {"ring_count": 1}, {"ring_count": 2}, {"rear_mount": "axle"},
        {"tyres": "hookless"}, {"suspension": True}, {"brakes": "rim"},
    ):  # fmt: skip
        assert any(wanted.items() <= f.items() for f in facts), wanted


def test_cassettes_that_the_phone_offers_have_the_same_teeth_here():
    """One cassette of one name and one size has one row of cogs."""
    text = (ROOT / "pwa/src/screens/bike/presets.ts").read_text()
    offered = [tuple(map(int, row.split(","))) for row in re.findall(r"^  \[([\d, ]+)\],$", text, re.MULTILINE)]
    assert len(offered) == 8
    by_size = {(len(row), row[0], row[-1]): row for row in offered}
    shared = [bike for bike in BIKES if (len(bike.cogs), bike.cogs[0], bike.cogs[-1]) in by_size]
    assert len(shared) > 5
    for bike in shared:
        assert by_size[len(bike.cogs), bike.cogs[0], bike.cogs[-1]] == bike.cogs, bike.label


def test_forty_jobs_and_five_comebacks_in_eighteen_months(scenario):
    kinds = Counter(job.visit.kind for job in scenario.jobs)
    assert sum(kinds.values()) == 40
    assert kinds["comeback"] == 5
    assert len({job.visit.cause for job in scenario.jobs if job.visit.kind == "comeback"}) == 5
    days = [job.visit.days_before for job in scenario.jobs]
    assert days == sorted(days, reverse=True)
    assert 500 < days[0] <= 550
    assert days[-1] == 1
    assert 2_700 <= len(scenario.entries) <= 3_500


def test_every_kind_of_entry_is_there_and_most_rides_say_what_they_needed(scenario):
    kinds = Counter(entry["kind"] for entry in scenario.entries)
    assert set(kinds) == {
        "reading",
        "adjustment",
        "shift_check",
        "noise",
        "torque",
        "check",
        "declined",
        "remark",
        "void",
    }
    nothing = [e for e in scenario.entries if e["kind"] == "adjustment" and e["data"]["adjuster"] == "none"]
    assert len(nothing) >= 12
    replaced = [e for e in scenario.entries if "replaces" in e]
    assert len([e for e in replaced if e["kind"] != "void"]) >= 4
    assert len([e for e in replaced if e["kind"] == "void"]) >= 3
    forms = Counter("tips" if "tips" in e["data"] else "pair" if "low" in e["data"] else "value"
                    for e in scenario.entries if e["kind"] == "reading")  # fmt: skip
    assert min(forms.values()) >= 50
    assert {stage for e in scenario.entries if (stage := e["stage"])} == {"found", "bench", "road"}


def test_one_job_waits_for_a_part_and_one_bike_is_on_its_ride(scenario):
    waiting = [job for job in scenario.jobs if job.body.get("missing_parts")]
    assert [job.visit.ends for job in waiting] == ["open"]
    riding = [job for job in scenario.jobs if job.visit.ends == "riding"]
    assert [job.entries[-1]["stage"] for job in riding] == ["road"]
    assert all(job.record_id for job in scenario.jobs if job not in waiting + riding)
    assert any(job.visit.link for job in scenario.jobs)


def test_the_same_date_gives_the_same_to_the_letter(scenario):
    again = simulate(REFERENCE)
    assert json.dumps(again.entries) == json.dumps(scenario.entries)
    assert [job.body for job in again.jobs] == [job.body for job in scenario.jobs]
    assert again.bike_bodies() == scenario.bike_bodies()


@pytest.mark.parametrize("other", [date(2027, 2, 28), date(2026, 11, 30), date(2026, 11, 29)])
def test_another_date_moves_the_days_and_nothing_else(scenario, other):
    moved = simulate(other)
    for entry, before in zip(moved.entries, scenario.entries, strict=True):
        assert {**entry, "taken_at": None} == {**before, "taken_at": None}
    assert moved.entries[0]["taken_at"] != scenario.entries[0]["taken_at"]


@pytest.mark.parametrize("day", range(7))
def test_all_work_is_over_by_the_reference_date_and_the_shop_rests_on_sundays(day):
    reference = date(2026, 11, 23 + day)
    for job in simulate(reference).jobs:
        taken = [datetime.fromisoformat(entry["taken_at"]) for entry in job.entries]
        assert taken == sorted(taken)
        assert taken[0] >= datetime.fromisoformat(job.body["opened_at"])
        assert taken[-1] < datetime(reference.year, reference.month, reference.day, tzinfo=UTC)
        assert {moment.isoweekday() for moment in taken} & {7} == set()
        assert taken[0].hour >= 8
        assert taken[-1].hour < 18


def test_ids_are_of_version_7_and_each_there_once(scenario):
    ids = [e["id"] for e in scenario.entries] + [job.id for job in scenario.jobs] + list(scenario.bikes.values())
    ids += [*scenario.people.values(), *scenario.customers.values(), *scenario.gauges.values()]
    ids += [id for job in scenario.jobs for id in (job.record_id, job.close_id) if id]
    assert len(set(ids)) == len(ids)
    assert {id[14] for id in ids} == {"7"}  # RFC 9562, section 5.7
    assert [e["device_seq"] for e in scenario.entries] == list(range(1, len(scenario.entries) + 1))


def test_every_body_fits_the_contract(scenario):
    for body in scenario.bike_bodies().values():
        BikePutSchema().load(body)
    for job in scenario.jobs:
        JobPutSchema().load(job.body)
    for entry in scenario.entries:
        load_entry(json.loads(json.dumps(entry)))
    PeopleSchema().load({"people": scenario.people_bodies()})
    GaugesSchema().load({"gauges": scenario.gauge_bodies()})


def test_one_gauge_is_overdue_at_the_reference_date(scenario):
    overdue = [gauge["name"] for gauge in scenario.gauge_bodies() if date.fromisoformat(gauge["due"]) < REFERENCE]
    assert overdue == ["Tyre pressure gauge 11 bar"]


def test_a_job_that_was_handed_over_leaves_nothing_out_that_its_steps_ask_for(scenario):
    for job in scenario.jobs:
        if not job.record_id:
            continue
        passed = {e["data"]["check"] for e in job.entries if e["kind"] == "check" and e["data"]["outcome"] == "passed"}
        read = {e["data"]["quantity"] for e in job.entries if e["kind"] == "reading"}
        tightened = {e["data"]["fastener"] for e in job.entries if e["kind"] == "torque"}
        for step in catalogue.steps_for(BY_KEY[job.visit.bike].facts, job.visit.kind):
            if f"step_{step.id}" not in passed:
                assert {*step.quantities} <= read, (job.visit, step.id)
                assert {*step.fasteners} <= tightened, (job.visit, step.id)
                assert {*step.checks} <= passed, (job.visit, step.id)


def test_chains_have_the_length_that_the_set_up_book_would_cut():
    for bike in BIKES:
        assert size_chain(bike.rings, bike.cogs, bike.chainstay_mm).links_to_cut == bike.chain_links, bike.label


def test_values_differ_from_the_truth_by_gauge_error_only(scenario, by_id):
    """Errors over u are normal with deviation 1, a little more for the digits written (step²/12, JCGM 100, F.2.2.1)."""
    errors = []
    for truth in scenario.truth.readings:
        entry, quantity = by_id[truth.entry_id], catalogue.items["quantities"][truth.quantity]
        if "low" in entry["data"]:
            assert entry["data"]["low"] - 0.15 <= truth.true <= entry["data"]["high"] + 0.15
        elif truth.vector_mm is None and (quantity["u"] == 0 or truth.quantity in COUNTED):
            assert value_of(entry) == pytest.approx(truth.true, abs=0.5 * quantity["step"])
        elif truth.vector_mm is None:
            at_a_stop = quantity.get("zero", False)
            near_the_end = truth.true < 3 * quantity["u"] or truth.true > quantity.get("full", math.inf) - 15
            if not (at_a_stop and near_the_end):
                errors.append((value_of(entry) - truth.true) / quantity["u"])
    n = len(errors)
    assert n > 600
    assert abs(mean(errors)) < stats.norm.ppf(0.9995) / math.sqrt(n) * 1.1
    assert math.sqrt(stats.chi2.ppf(0.0005, n) / n) < pstdev(errors) < 1.1 * math.sqrt(stats.chi2.ppf(0.9995, n) / n)
    assert max(map(abs, errors)) < 5


def test_hanger_tips_say_what_the_hanger_is(scenario, by_id):
    """Four tips at right angles: a = (g12 - g6)/2, b = (g3 - g9)/2, each with variance u²/2 (closed form)."""
    squares = []
    for truth in scenario.truth.readings:
        if truth.vector_mm is None:
            continue
        gap = {tip["clock"]: tip["gap_mm"] for tip in by_id[truth.entry_id]["data"]["tips"]}
        a, b = (gap[12] - gap[6]) / 2, (gap[3] - gap[9]) / 2
        squares.append(((a - truth.vector_mm[0]) ** 2 + (b - truth.vector_mm[1]) ** 2) / (0.3**2 / 2))
    n = 2 * len(squares)
    assert n > 100
    assert stats.chi2.ppf(0.0005, n) < sum(squares) < 1.02 * stats.chi2.ppf(0.9995, n)


def test_the_stand_is_one_step_off_on_the_main_family_and_right_on_the_city_bikes(scenario):
    electronic = scenario.truth.corrections(ELECTRONIC_DOUBLE, "rear_trim")
    assert len(electronic) >= 10
    assert electronic.count(0) >= 2
    found = stand_offset(electronic, 1.0)
    assert found.certain
    assert found.low <= 1.0 <= found.high
    city = scenario.truth.corrections(CITY, "barrel")
    assert len(city) >= 6
    assert not stand_offset(city, 0.25).certain


def test_what_the_rides_turned_is_what_the_entries_say(scenario):
    """The truth counts what was turned; a void takes the second tap of a doubled one out again."""
    for job, truth in zip(scenario.jobs, scenario.truth.jobs, strict=True):
        taken_back = {entry["replaces"] for entry in job.entries if "replaces" in entry}
        turned: dict[str, float] = {}
        for entry in job.entries:
            data = entry["data"]
            if entry["kind"] == "adjustment" and entry["stage"] == "road" and entry["id"] not in taken_back:
                turned[data["adjuster"]] = turned.get(data["adjuster"], 0) + data["amount"]
        turned.pop("none", None)
        if truth.turned_on_the_road is not None:
            assert turned == truth.turned_on_the_road


def test_a_chain_wears_by_its_rate(scenario, by_id):
    """Theil–Sen slope and its 95 % interval by scipy.stats.theilslopes, against the simulated rate."""
    series = list(scenario.truth.series("white_city", "chain_elongation"))
    assert len(series) >= 6
    km = [by_id[r.entry_id]["odometer_km"] for r in series]
    slope, _, low, high = stats.theilslopes([value_of(by_id[r.entry_id]) for r in series], km)
    rate = BY_KEY["white_city"].chain_rate / 1000
    assert low <= rate <= high
    assert low > 0
    assert slope == pytest.approx(rate, rel=0.35)


def test_a_rim_jumps_once_and_does_not_drift(scenario, by_id):
    """The two sides of the jump differ by its size within their standard error (Welch, scipy.stats.ttest_ind)."""
    series = list(scenario.truth.series("sand_gravel", "rim_radial_runout"))
    first_after = scenario.truth.summary(scenario.bikes)["jumps"][0]["first_after"]
    place = [r.entry_id for r in series].index(first_after)
    values = [value_of(by_id[r.entry_id]) for r in series]
    before, after = values[:place], values[place:]
    assert min(len(before), len(after)) >= 4
    interval = stats.ttest_ind(after, before, equal_var=False).confidence_interval(0.99)
    assert interval.low <= mishaps.FLAT_SPOT <= interval.high
    assert interval.low > 0


def test_a_new_hand_sets_the_front_cages_wider(scenario, by_id):
    """First bench values of the main family before and since, by the Mann–Whitney test (scipy.stats)."""
    shift = scenario.truth.summary(scenario.bikes)["workshop_shifts"][0]
    before, since = [], []
    for job in scenario.jobs:
        values = [value_of(e) for e in job.entries if e["stage"] == "bench"
                  and e["data"].get("quantity") == shift["quantity"]]  # fmt: skip
        if values and BY_KEY[job.visit.bike].facts["family"] == ELECTRONIC_DOUBLE:
            (before if job.visit.days_before > shift["days_before"] else since).append(values[0])
    assert stats.mannwhitneyu(since, before, alternative="greater").pvalue < 0.01
    assert median(since) - median(before) == pytest.approx(shift["size"], abs=0.06)


def test_each_comeback_shows_its_cause(scenario, by_id):
    """What the trade expects to have moved has moved, between the last handover and the arrival."""
    jobs = {job.visit.cause: job for job in scenario.jobs if job.visit.cause}
    found = {
        cause: {e["data"]["quantity"]: e for e in reversed(job.entries)
                if e["kind"] == "reading" and e["stage"] == "found"}
        for cause, job in jobs.items()
    }  # fmt: skip
    tips = {tip["clock"]: tip["gap_mm"] for tip in found["hanger_bent_inward"]["hanger_deviation"]["data"]["tips"]}
    assert tips[12] - tips[6] > 3
    assert value_of(found["disc_or_caliper"]["rotor_runout"]) > 0.3
    assert value_of(found["chain_worn"]["chain_elongation"]) > 0.75
    assert value_of(found["charge_or_connector"]["battery_rear"]) < 70
    failed = [e for e in jobs["charge_or_connector"].entries if e["data"].get("outcome") == "failed"]
    assert [e["data"]["check"] for e in failed] == ["connectors_home"]
    turned = [e["data"]["amount"] for e in jobs["cable_settled"].entries
              if e["kind"] == "adjustment" and e["data"]["adjuster"] == "barrel"]  # fmt: skip
    assert sum(turned) >= 0.5
    for cause, job in jobs.items():
        row = catalogue.items["causes"][cause]
        assert {*job.visit.symptoms} & {*row["likely"]}, cause


def test_the_truth_can_be_printed():
    said = subprocess.run(
        [sys.executable, ROOT / "ops" / "demo" / "simulate.py", "--truth", "--reference-date", REFERENCE.isoformat()],
        capture_output=True, text=True, check=True, cwd="/",
    )  # fmt: skip
    truth = json.loads(said.stdout)
    assert {"stand_offsets", "drifts", "jumps", "workshop_shifts", "comebacks", "noises"} <= set(truth)
    assert len(truth["comebacks"]) == 5
