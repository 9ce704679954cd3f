"""The sentences of the customer's page."""

from __future__ import annotations

import doctest

import pytest

from service.record import words


def test_the_examples_in_the_docstrings():
    assert doctest.testmod(words).failed == 0


@pytest.mark.parametrize(
    ("value", "digits", "signed", "text"),
    [
        (5.3, 1, False, "5.3"),
        (0.45, 1, False, "0.45"),
        (0.449999999, 2, False, "0.45"),
        (5.0, 1, False, "5.0"),
        (-0.04, 1, True, "−0.04"),
        (-0.004, 1, True, "0.0"),
        (0.0, 1, True, "0.0"),
        (-3, 0, True, "−3"),
        (735.0, 0, False, "735"),
        (6.0, None, False, "6"),
        (0.125, None, False, "0.125"),
    ],
)
def test_numbers(value, digits, signed, text):
    assert words.number(value, digits, signed) == text


def test_lists():
    assert [words.listed(x) for x in ([], ["one"], ["one", "two"], ["one", "two", "three"])] == [
        "", "one", "one and two", "one, two and three",
    ]  # fmt: skip


def document(**more) -> dict:
    return {"ride": None, "values": [], "pairs": [], "torques": [], "not_done": []} | more


def test_the_lead_says_what_was_done_and_how_it_stands():
    values = [{"verdict": "inside"}] * 7 + [{"verdict": "borderline"}, {"verdict": "none"}]
    turned = {"label": "Rear fine position", "amount": -1.0, "unit": "step", "towards": "outboard"}
    ride = {"km": 9.6, "corrections": [turned]}
    assert words.lead(document(values=values, ride=ride)) == (
        "Measured in the stand, ridden 9.6 km and corrected on the road: rear fine position 1 step outboard."
        " Seven values are inside their tolerance band, one is borderline."
    )
    nothing = {"km": None, "corrections": []}
    assert words.lead(document(values=values[:1], ride=nothing)) == (
        "Measured in the stand, ridden, and nothing had to be corrected. One value is inside its tolerance band."
    )
    again = {"km": None, "corrections": [], "turned": True}
    assert words.lead(document(ride=again)) == "Measured in the stand, ridden.", "set anew in the stand after the ride"
    assert words.lead(document()) == "Measured in the stand."


def test_what_was_not_done_is_said_once_a_reason():
    points = [
        {"label": "Pedals", "why": "no torque written down", "reason": None},
        {"label": "Seat clamp", "why": "no torque written down", "reason": None},
        {"label": "Chain, links", "why": "not measured", "reason": "no gauge"},
    ]
    assert words.not_done(document(not_done=points)) == [
        "No torque written down: Pedals; Seat clamp.",
        "Not measured (no gauge): Chain, links.",
    ]
