"""Numbers, dates and sentences of the customer's page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any

from service.record.open_points import HELD, MISSING
from service.record.outcome import shift_words

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


def lead(document: Mapping[str, Any], counts: Mapping[str, int]) -> str:
    """What was done, in a sentence or two."""
    ride = document["ride"]
    first = "Measured in the stand"
    if ride:
        first += f", ridden {number(ride['km'], 1)} km" if ride["km"] else ", ridden"
        turned = [_turned(one) for one in ride["corrections"]]
        if turned:
            first += f" and corrected on the road: {listed(turned)}"
        elif not ride.get("turned"):  # records of before this was told say nothing of it
            first += ", and nothing had to be corrected"
    return f"{first}. {_tally(counts)}".strip()


def _turned(one: Mapping[str, Any]) -> str:
    amount = number(abs(one["amount"]), None)
    unit = one["unit"] if one["unit"] == "mm" else one["unit"] + ("" if amount == "1" else "s")
    return f"{one['label'][0].lower()}{one['label'][1:]} {amount} {unit} {one['towards']}".strip()


def _tally(counts: Mapping[str, int]) -> str:
    """How many values go out, and how many of them stand how: the numbers that the shop saw."""
    n = counts["values"]
    if not n:
        return ""
    how = {
        "inside": "inside its tolerance band" if n == 1 else "inside their tolerance band",
        "borderline": "borderline",
        "outside": "outside",
        "none": "not judged",
    }
    told = [f"{counts[verdict]} {words}" for verdict, words in how.items() if counts[verdict]]
    return f"{n} value{'s' if n > 1 else ''} went out with it: {', '.join(told)}."


CANNOT_TELL = "so close to its limit that measuring cannot tell on which side it is"


def watch(document: Mapping[str, Any]) -> list[str]:
    """What the rider should keep an eye on, one sentence each: what is least safe comes first."""
    values = (*document["values"], *document["pairs"])
    return [
        *_not_right(document["torques"], values),
        *_stale(document["values"]),
        *_felt(document),
        *_borderline(document["torques"], values),
    ]


def _not_right(torques: Iterable[Mapping[str, Any]], values: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    for one in torques:
        if one["verdict"] == "outside":
            yield f"{_tightened(one)}, where {band(one['band'])} N·m is right. Ask the shop before you ride."
    for one in torques:
        if one["why_not"]:
            yield (
                f"{_tightened(one)} with a wrench that is not made for it: how tight it is, nobody can tell."
                " Ask the shop before you ride."
            )
    for one in values:
        if one["verdict"] == "outside":
            yield f"{_named(one)}: outside its tolerance band when the bike was handed over."


def _borderline(torques: Iterable[Mapping[str, Any]], values: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    yield from (f"{_tightened(one)}, {CANNOT_TELL}." for one in torques if one["verdict"] == "borderline")
    yield from (f"{_named(one)}: {CANNOT_TELL}." for one in values if one["verdict"] == "borderline")


def _tightened(one: Mapping[str, Any]) -> str:
    return f"{one['label']}: tightened to {number(one['value'], None)} N·m"


def _named(value: Mapping[str, Any]) -> str:
    return value["label"] + (f" ({_gear(value)})" if value["gear"] else "")


def _stale(values: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    gears: dict[str, list[str]] = {}
    for value in values:
        if value["stale"]:
            gears.setdefault(value["label"], []).extend([_gear(value)] if value["gear"] else [])
    for name, in_which in gears.items():
        where = f" ({', '.join(in_which)})" if in_which else ""
        yield f"{name}{where}: adjusted after it was measured, and not measured again."


def _felt(document: Mapping[str, Any]) -> Iterator[str]:
    for one in document["noises"]:
        if not one["gone"]:
            yield f"{_noise(one)}: still heard when the bike was handed over."
    for one in document["symptoms"]:
        if not one["better"]:
            yield f"{one['label']}: still so when the bike was handed over."
    # Records signed before shifts were told have none.
    for one in (document.get("shifts") or {}).get("not_clean", []):
        yield f"Shift {shift_words(one)} when the bike was handed over."


def _gear(value: Mapping[str, Any]) -> str:
    return f"{value['gear']['ring']} × {value['gear']['cog']}"


def _noise(one: Mapping[str, Any]) -> str:
    return ", ".join((one["label"], *one["when"]))


def band(limits: Mapping[str, Any]) -> str:
    """A band in words.

    >>> band({"lower": 4.5, "upper": 5.5}), band({"lower": None, "upper": 2})
    ('4.5 to 5.5', 'up to 2')
    """
    lower, upper = (None if end is None else number(end, None) for end in (limits["lower"], limits["upper"]))
    return f"{lower} to {upper}" if lower and upper else f"up to {upper}" if upper else f"{lower} or more"


def put_right(document: Mapping[str, Any]) -> list[str]:
    """What was heard or felt, and was better when the bike went out."""
    gone = [f"{_noise(one)}: gone." for one in document["noises"] if one["gone"]]
    return gone + [f"{one['label']}: better." for one in document["symptoms"] if one["better"]]


def not_done(document: Mapping[str, Any]) -> list[str]:
    """What was asked, not done and accepted so: one sentence for each reason. What to watch is said by itself."""
    found: dict[tuple[str, str | None], list[str]] = {}
    for one in document["not_done"]:
        # Records signed before points were told apart have no "about".
        if one.get("about", MISSING) in (MISSING, HELD):
            found.setdefault((one["why"], one["reason"]), []).append(one["label"])
    return [
        f"{why[0].upper()}{why[1:]}{f' ({reason})' if reason else ''}: {'; '.join(labels)}."
        for (why, reason), labels in found.items()
    ]
