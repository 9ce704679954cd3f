"""The catalogue keeps its own rules: every value tagged, every id known, every band wide enough to be judged by."""

import itertools
import json
from pathlib import Path

import pint
import pytest

from service.catalogue import NOUNS, load
from service.domain.bike import applies, facts, usual_gear
from service.domain.plan import working_order

VECTORS = json.loads((Path(__file__).parent.parent / "schemas" / "vectors" / "catalogue.json").read_text())
TAGS = {"common practice", "from memory", "standard", "computed"}
FACTS = {
    "shifting", "rear_mount", "front_derailleur", "suspension", "brakes", "tyres", "ring_count", "cog_count",
    "largest_ring", "smallest_ring", "largest_cog", "smallest_cog",
}  # fmt: skip
catalogue = load()
quantities = catalogue.items["quantities"]


def every_bike():
    """Bikes of every combination of facts that the catalogue asks about."""
    for shifting, mount, front, suspension, brakes, tyres, rings, cogs in itertools.product(
        ("electronic", "cable"), ("hanger", "axle"), (True, False), (True, False), ("disc", "rim"),
        ("tube", "tubeless", "hookless"), ([46, 33], [40]), ([10, 13, 17, 24, 36], [*range(11, 22), 25])
    ):  # fmt: skip
        train = {"rings": rings, "cogs": cogs, "shifting": shifting, "rear_mount": mount, "suspension": suspension}
        yield {"drivetrain": train | {"front_derailleur": front}, "brakes": brakes, "tyres": tyres}


def test_every_value_that_is_shown_carries_its_tag():
    for noun in set(NOUNS) - {"units", "quantities", "parts"}:
        for id, row in catalogue.items[noun].items():
            assert row["tag"] in TAGS, (noun, id)
    for id, quantity in quantities.items():
        assert quantity["u_tag"], id
        assert all(band["tag"] in TAGS for band in quantity["bands"]), id


def test_a_band_with_two_limits_is_at_least_six_and_a_half_u_wide():
    # Else even the best value would be borderline: two guard bands of 1.645 u leave no inside (trade.md, section 1).
    two_sided = [(id, q["u"], b) for id, q in quantities.items() for b in q["bands"] if {"lower", "upper"} <= set(b)]
    assert two_sided
    for id, u, band in two_sided:
        assert band["upper"] - band["lower"] >= 6.6 * u, id
    for id, pair in catalogue.items["pairs"].items():
        u = (quantities[pair["left"]]["u"] ** 2 + quantities[pair["right"]]["u"] ** 2) ** 0.5
        assert pair["upper"] - pair["lower"] >= 6.6 * u, id


def test_a_physical_zero_is_not_a_limit():
    assert not [id for id, q in quantities.items() for b in q["bands"] if q.get("zero") and b.get("lower") == 0]


def test_every_id_that_is_named_exists():
    items = catalogue.items
    for step in items["steps"].values():
        for noun, keys in {
            "steps": ("hard", "soft"), "parts": ("parts",), "checks": ("checks",), "cautions": ("cautions",),
            "quantities": ("quantities", "also_quantities"), "fasteners": ("fasteners", "also_fasteners"),
        }.items():  # fmt: skip
            for key in keys:
                assert set(step.get(key, [])) <= set(items[noun]), (step["id"], key)
    for adjuster in items["adjusters"].values():
        assert {a["quantity"] for a in adjuster["adds_to"]} | set(adjuster["makes_stale"]) <= set(quantities)
        assert all(quantities[a["quantity"]]["unit"] == adjuster["unit"] for a in adjuster["adds_to"])
    for cause in items["causes"].values():
        named = {s for key in ("likely", "either", "sometimes", "rarely") for s in cause.get(key, [])}
        assert named <= set(items["symptoms"]) and set(cause.get("events", [])) <= set(items["events"])
        assert {c["fastener"] for c in cause["changes"] if "fastener" in c} <= set(items["fasteners"])
        assert {c["check"] for c in cause["changes"] if "check" in c} <= set(items["checks"])
        derived = {"hanger_vertical", "hanger_residual"}
        assert {c["quantity"] for c in cause["changes"] if "quantity" in c} <= set(quantities) | derived
    for symptom in items["symptoms"].values():
        assert set(symptom["outcomes"]) <= set(items["outcomes"])


def test_conditions_ask_only_for_facts_a_bike_has():
    conditions = [row.get("applies", {}) for noun in NOUNS for row in catalogue.items[noun].values()]
    conditions += [band.get("when", {}) for q in quantities.values() for band in q["bands"]]
    assert set().union(*conditions) <= FACTS
    assert set(facts(next(every_bike()))) == FACTS | {"family"}


def test_bands_lie_within_what_is_plausible():
    for id, quantity in quantities.items():
        low, high = quantity["plausible"]
        for band in quantity["bands"]:
            assert all(low <= band[k] <= high for k in ("lower", "upper", "target") if k in band), id


def test_the_plan_of_every_bike_can_be_worked():
    for bike in every_bike():
        of = facts(bike)
        for kind in ("build", "service", "comeback"):
            steps = working_order(catalogue.steps_for(of, kind))
            assert steps[-1].id == "handover"
            places = {step.id: n for n, step in enumerate(steps)}
            assert places["stop_ride"] < places["test_ride"] < places["after_ride"]


def test_a_bike_is_only_asked_what_it_has():
    axle = facts(next(b for b in every_bike() if b["drivetrain"]["rear_mount"] == "axle"))
    assert "hanger_deviation" not in catalogue.for_bike("quantities", axle)
    assert not {"b_screw", "rear_low_limit"} & set(catalogue.for_bike("adjusters", axle))
    assert not any("hanger_deviation" in step.quantities for step in catalogue.steps_for(axle, "build"))


def test_unit_factors_against_the_pint_registry():
    # Reference: pint's unit registry (general-purpose), which follows NIST SP 811.
    ureg = pint.UnitRegistry()
    names = {
        "mm": "mm", "cm": "cm", "in": "inch", "turn": "turn", "quarter_turn": "turn / 4", "°": "degree", "kPa": "kPa",
        "bar": "bar", "psi": "psi", "N·m": "N*m", "lbf·in": "lbf*inch", "lbf·ft": "lbf*foot", "kgf·m": "kgf*m",
        "%": "percent", "min": "minute", "h": "hour",
    }  # fmt: skip
    base = {"length": "m", "angle": "turn", "pressure": "Pa", "torque": "N*m", "share": "", "time": "s"}
    for unit in catalogue.units.values():
        if unit.dimension in base:
            expected = (1 * ureg.parse_expression(names[unit.id])).to(base[unit.dimension] or "dimensionless")
            assert float(unit.factor) == pytest.approx(expected.magnitude, rel=1e-15), unit.id


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda c: c["id"])
def test_shared_vectors(case):
    """The phone's catalogue passes the same cases."""
    given, expected = case["inputs"], case["expected"]
    if "when" in given:
        assert applies(given["when"], given["facts"]) is expected
    elif "place" in given:
        assert usual_gear(given["place"], given["bike"]) == expected
    elif "quantity" in given:
        band = catalogue.band_for(given["quantity"], facts(given["bike"]))
        found = band and {"lower": band.lower, "upper": band.upper, "target": band.target}
        assert found == expected
    else:
        assert facts(given["bike"]) == expected
