"""The sentences of the customer's page."""

from __future__ import annotations

import doctest

import pytest

from service.record import words
from service.record.outcome import counts_of


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
    empty = {"values": [], "pairs": [], "torques": [], "noises": [], "symptoms": [], "not_done": []}
    return {"ride": None} | empty | more


def lead(**more) -> str:
    found = document(**more)
    return words.lead(found, counts_of(found))


def value(verdict: str = "none", **more) -> dict:
    return {"label": "Rims, out of round", "gear": None, "value": 0.4, "verdict": verdict, "stale": False} | more


def torque(verdict: str, nm: float = 5, **more) -> dict:
    band = {"lower": 4.5, "upper": 5.5}
    return {"label": "Stem, front plate", "value": nm, "verdict": verdict, "band": band, "why_not": None} | more


def test_the_lead_says_what_was_done_and_how_it_stands():
    values = [value("inside")] * 7 + [value("borderline"), value(), value(value=None, stale=True)]
    turned = {"label": "Rear fine position", "amount": -1.0, "unit": "step", "towards": "outboard"}
    ride = {"km": 9.6, "corrections": [turned]}
    assert lead(values=values, torques=[torque("outside")], ride=ride) == (
        "Measured in the stand, ridden 9.6 km and corrected on the road: rear fine position 1 step outboard."
        " 10 values went out with it: 7 inside their tolerance band, 1 borderline, 1 outside, 1 not judged."
    )
    barrel = {"label": "Barrel adjuster", "amount": 0.75, "unit": "turn", "towards": "outboard"}
    assert "barrel adjuster 0.75 turns outboard" in lead(values=[], ride={"km": None, "corrections": [barrel]})
    nothing = {"km": None, "corrections": []}
    assert lead(values=values[:1], ride=nothing) == (
        "Measured in the stand, ridden, and nothing had to be corrected."
        " 1 value went out with it: 1 inside its tolerance band."
    )
    again = {"km": None, "corrections": [], "turned": True}
    assert lead(ride=again) == "Measured in the stand, ridden.", "set anew in the stand after the ride"
    assert lead() == "Measured in the stand."


def test_what_to_watch_says_a_torque_in_plain_words_and_first():
    said = words.watch(
        document(
            values=[value("outside"), value("borderline", gear={"ring": 33, "cog": 36}), value("inside")],
            torques=[
                torque("inside"), torque("outside", 50), torque("none", 7, why_not="…"), torque("borderline", 5.4),
            ],
        )
    )
    assert said == [
        "Stem, front plate: tightened to 50 N·m, where 4.5 to 5.5 N·m is right. Ask the shop before you ride.",
        "Stem, front plate: tightened to 7 N·m with a wrench that is not made for it: how tight it is, nobody can tell."
        " Ask the shop before you ride.",
        "Rims, out of round: outside its tolerance band when the bike was handed over.",
        f"Stem, front plate: tightened to 5.4 N·m, {words.CANNOT_TELL}.",
        f"Rims, out of round (33 × 36): {words.CANNOT_TELL}.",
    ]


def test_what_is_still_heard_or_felt_is_to_be_watched_and_what_is_not_was_put_right():
    def creak(gone: bool) -> dict:
        return {"label": "Creak", "when": ["seated", "under load"], "gone": gone}

    def slow(better: bool) -> dict:
        return {"label": "Front shift is slow", "better": better}

    still = document(noises=[creak(False)], symptoms=[slow(False)])
    assert words.watch(still) == [
        "Creak, seated, under load: still heard when the bike was handed over.",
        "Front shift is slow: still so when the bike was handed over.",
    ]
    gone = document(noises=[creak(True)], symptoms=[slow(True)])
    assert (words.watch(gone), words.put_right(still)) == ([], [])
    assert words.put_right(gone) == ["Creak, seated, under load: gone.", "Front shift is slow: better."]


def test_a_shift_that_was_not_clean_the_last_time_is_to_be_watched():
    hesitates = {"from": {"ring": 46, "cog": 15}, "to": {"ring": 46, "cog": 17}, "label": "hesitates"}
    found = document(shifts={"tried": 3, "not_clean": [hesitates]})
    assert words.watch(found) == ["Shift 46 × 15 to 46 × 17: hesitates when the bike was handed over."]
    assert words.watch(document(shifts=None)) == []


def test_what_was_not_done_is_said_once_a_reason():
    points = [
        {"label": "Pedals", "why": "no torque written down", "reason": None},
        {"label": "Seat clamp", "why": "no torque written down", "reason": None},
        {"label": "Chain, links", "why": "not measured", "reason": "no gauge"},
        {"label": "Bar tape", "why": "a part is missing (bar tape)", "reason": None, "about": "held"},
        {"label": "Creak", "why": "still heard", "reason": None, "about": "noise"},
    ]
    assert words.not_done(document(not_done=points)) == [
        "No torque written down: Pedals; Seat clamp.",
        "Not measured (no gauge): Chain, links.",
        "A part is missing (bar tape): Bar tape.",
    ]
