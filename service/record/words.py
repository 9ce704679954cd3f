"""Numbers, dates and sentences of the customer's page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def number(value: float, digits: int | None, signed: bool = False) -> str:
    """A number with a real minus sign; as many digits as the quantity has, one more where they would hide it.

    >>> number(-0.5, 1, True), number(0.45, 1), number(3, 0, True), number(6.0, None)
    ('−0.5', '0.45', '+3', '6')
    """
    if digits is None:
        text = f"{abs(value):.3f}".rstrip("0").rstrip(".")
    else:
        more = abs(round(value, digits) - value) > 10**-digits / 5
        text = f"{abs(value):.{digits + more}f}"
    if value < 0 and float(text):
        return f"−{text}"
    return f"+{text}" if signed and float(text) else text


def count(n: int) -> str:
    return COUNTS[n] if n < len(COUNTS) else str(n)


def day(at: date | datetime) -> str:
    return f"{at.day} {MONTHS[at.month - 1]} {at.year}"


def listed(words: Iterable[str]) -> str:
    """One, two and three."""
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def photo(one: Mapping[str, Any]) -> str:
    """What a photo shows; records signed before photos were told apart say nothing of it.

    >>> photo({"of": "Gap at the pulley", "stage": "found"}), photo({"sha256": "…"})
    ('Gap at the pulley, as found', 'Taken during the job')
    """
    about = one.get("of") or "Taken during the job"
    return f"{about}, as found" if one.get("stage") == "found" else about


def lead(document: Mapping[str, Any]) -> str:
    """What was done, in a sentence or two."""
    ride, values = document["ride"], [*document["values"], *document["pairs"]]
    first = "Measured in the stand"
    if ride:
        first += f", ridden {number(ride['km'], 1)} km" if ride["km"] else ", ridden"
        turned = [_turned(one) for one in ride["corrections"]]
        if turned:
            first += f" and corrected on the road: {listed(turned)}"
        elif not ride.get("turned"):  # records of before this was told say nothing of it
            first += ", and nothing had to be corrected"
    tally = [(word, sum(one["verdict"] == word for one in values)) for word in ("inside", "borderline", "outside")]
    return f"{first}. {_tally(tally)}".strip()


def _turned(one: Mapping[str, Any]) -> str:
    amount = number(abs(one["amount"]), 0)
    unit = one["unit"] if one["unit"] == "mm" else one["unit"] + ("" if amount == "1" else "s")
    return f"{one['label'][0].lower()}{one['label'][1:]} {amount} {unit} {one['towards']}".strip()


def _tally(tally: list[tuple[str, int]]) -> str:
    found = [(word, n) for word, n in tally if n]
    if not found:
        return ""
    (word, n), *rest = found
    place = "their tolerance band" if n > 1 else "its tolerance band"
    words = {"inside": f"inside {place}", "borderline": "borderline", "outside": f"outside {place}"}
    first = f"{count(n).capitalize()} value{'s are' if n > 1 else ' is'} {words[word]}"
    others = [f"{count(m)} {'are' if m > 1 else 'is'} {other}" for other, m in rest]
    return f"{first}, {listed(others)}." if others else f"{first}."


def watch(document: Mapping[str, Any]) -> list[str]:
    """What the rider should keep an eye on, one sentence each."""
    said = []
    for value in (*document["values"], *document["pairs"]):
        name = value["label"]
        if value["verdict"] == "borderline":
            said.append(f"{name}: so close to its limit that measuring cannot tell on which side it is.")
        elif value["verdict"] == "outside":
            said.append(f"{name}: outside its tolerance band when the bike was handed over.")
    stale: dict[str, list[str]] = {}
    for value in document["values"]:
        if value["stale"]:
            gear = value["gear"]
            stale.setdefault(value["label"], []).extend([f"{gear['ring']} × {gear['cog']}"] if gear else [])
    for name, gears in stale.items():
        where = f" ({', '.join(gears)})" if gears else ""
        said.append(f"{name}{where}: adjusted after it was measured, and not measured again.")
    said += [
        f"{one['label']}: tightened outside its range." for one in document["torques"] if one["verdict"] == "outside"
    ]
    return said


def not_done(document: Mapping[str, Any]) -> list[str]:
    """What was asked, not done and accepted so: one sentence for each reason."""
    found: dict[tuple[str, str | None], list[str]] = {}
    for one in document["not_done"]:
        found.setdefault((one["why"], one["reason"]), []).append(one["label"])
    return [
        f"{why[0].upper()}{why[1:]}{f' ({reason})' if reason else ''}: {'; '.join(labels)}."
        for (why, reason), labels in found.items()
    ]
