"""The machinist's rule as SVG: an edge, graduations in the quantity's own unit, a bracket for the band, a tick for the
value, a whisker for what measuring leaves open. The limits stand at 30 and 70 % of every rule."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from service.record.words import number

LOWER_AT, UPPER_AT = 30.0, 70.0
EDGE = 26  # pixels from the top
MOST_GRADUATIONS = 120


@dataclass(frozen=True)
class Scale:
    """Two values with their places in percent of the rule; places in between and beyond follow."""

    v0: float
    p0: float
    v1: float
    p1: float

    def place(self, value: float) -> float:
        return self.p0 + (value - self.v0) * (self.p1 - self.p0) / (self.v1 - self.v0)

    def value_at(self, place: float) -> float:
        return self.v0 + (place - self.p0) * (self.v1 - self.v0) / (self.p1 - self.p0)


def scale_of(value: Mapping[str, Any]) -> Scale | None:
    """The scale of a handed-over value; None where it has no band, and so no place of its own."""
    band = value["band"] or {}
    lower, upper = band.get("lower"), band.get("upper")
    if lower is not None and upper is not None and lower < upper:
        return Scale(lower, LOWER_AT, upper, UPPER_AT)
    if lower is not None and lower == upper:  # one right value: a graduation stands at each limit's place
        return Scale(lower - value["rule"]["major"], LOWER_AT, lower + value["rule"]["major"], UPPER_AT)
    if upper is not None and upper > 0:
        return Scale(0.0, 0.0, upper, UPPER_AT)
    if lower is not None and value["unit"] == "%":
        return Scale(lower, LOWER_AT, 100.0, UPPER_AT)
    if lower is not None and lower > 0:
        return Scale(0.0, 0.0, lower, LOWER_AT)
    return None


def rule(value: Mapping[str, Any]) -> Markup:
    """The rule of one handed-over value that has a band."""
    scale = scale_of(value)
    if scale is None:
        return Markup("")
    parts = [
        f'<rect class="body" width="100%" y="{EDGE}" height="20"/>'
        f'<line class="edge" x1="0" x2="100%" y1="{EDGE}" y2="{EDGE}"/>',
        _graduations(scale, value["rule"]),
        *_brackets(scale, value),
        *_reading(scale, value),
    ]
    words = f"{value['label']} {shown(value)} {value['unit']}: {value['verdict']}"
    return Markup(f'<svg class="rule" height="46" role="img" aria-label="{escape(words)}">{"".join(parts)}</svg>')


def shown(value: Mapping[str, Any]) -> str:
    """The value as it is written beside its rule."""
    if value["value"] is None:
        return "–"
    if value["form"] == "interval":
        return "–".join(number(value[end], None) for end in ("low", "high"))
    return number(value["value"], value["rule"]["digits"], _shows_plus(value))


def _shows_plus(value: Mapping[str, Any]) -> bool:
    """A plus is written where either sign is ordinary: settings, and bands that reach below zero."""
    lower = (value["band"] or {}).get("lower")
    return value["rule"]["signed"] and (value["band"] is None or (lower is not None and lower < 0))


def _at(place: float, inner: str) -> str:
    return f'<svg x="{place:.2f}%" overflow="visible">{inner}</svg>'


def _graduations(scale: Scale, drawn: Mapping[str, Any]) -> str:
    minor, major = drawn["minor"], drawn["major"]
    first, last = scale.value_at(0), scale.value_at(100)
    if (last - first) / minor > MOST_GRADUATIONS:
        minor = major
    ratio = major / minor
    path = []
    for k in range(math.ceil(first / minor - 1e-6), math.floor(last / minor + 1e-6) + 1):
        long = abs(k / ratio - round(k / ratio)) < 1e-6
        path.append(f"M{scale.place(k * minor) * 10:.1f} {EDGE}v{7 if long else 4}")
    return (
        f'<svg width="100%" height="{EDGE + 8}" viewBox="0 0 1000 {EDGE + 8}" preserveAspectRatio="none">'
        f'<path class="grad" d="{"".join(path)}" vector-effect="non-scaling-stroke"/></svg>'
    )


def _brackets(scale: Scale, value: Mapping[str, Any]) -> list[str]:
    """The limits, and the stop where zero is one."""
    parts = []
    signed = _shows_plus(value)
    band = value["band"]
    single = band["lower"] is not None and band["lower"] == band["upper"]
    for limit, inward in ((band["lower"], 1), (band["upper"], -1)):
        if limit is not None and not (single and inward < 0):
            arm = "" if single else f"M{8 * inward} 4H0"
            parts.append(_at(scale.place(limit), f'<path class="brk" d="{arm or "M0 4"}V{EDGE + 7}"/>'))
            text = number(limit, None, signed)
            parts.append(f'<text class="num" x="{scale.place(limit):.2f}%" y="43" text-anchor="middle">{text}</text>')
    if (scale.v0, scale.p0) == (0.0, 0.0):
        parts.append(_at(0, f'<path class="brk" d="M0 {EDGE - 9}V{EDGE + 8}"/>'))
        parts.append('<text class="num" x="0" y="43" dx="4">0</text>')
    return parts


def _reading(scale: Scale, value: Mapping[str, Any]) -> list[str]:
    """A leaf between two feelers, or a tick with its whisker; beyond the rule the tick stands broken at the end."""
    if value["value"] is None:
        return []
    if value["form"] == "interval":
        return _leaf(scale, value["low"], value["high"])
    parts = []
    if value["whisker"]:
        free = [scale.place(end) for end in value["whisker"]]
        low, high = (min(100.0, max(0.0, place)) for place in free)
        parts.append(f'<line class="wsk" x1="{low:.2f}%" x2="{high:.2f}%" y1="15" y2="15"/>')
        ends = [end for end, place in zip((low, high), free, strict=True) if abs(end - place) < 1e-6]
        parts += [_at(end, '<path class="wsk" d="M0 10V20"/>') for end in ends]
    place = scale.place(value["value"])
    if 0 <= place <= 100:
        return [*parts, _at(place, f'<path class="tick" d="M0 2V{EDGE}"/>')]
    side = 1 if place > 100 else -1
    broken = (
        f'<path class="tick" d="M0 2V{EDGE}"/><path class="gap" d="M{-10 * side} {EDGE + 3}l5 -8"/>'
        f'<path class="edge" d="M{-14 * side} {EDGE + 5}l6 -10M{-8 * side} {EDGE + 5}l6 -10"/>'
    )
    return [*parts, _at(100 if side > 0 else 0, broken)]


def _leaf(scale: Scale, low: float, high: float) -> list[str]:
    a, b = (min(100.0, max(0.0, scale.place(end))) for end in (low, high))
    body = f'<rect class="leaf" x="{a:.2f}%" width="{b - a:.2f}%" y="9" height="12" rx="2"/>'
    return [body, *(_at(place, f'<path class="lw" d="M0 4V{EDGE}"/>') for place in (a, b))]


MARKS = {
    "inside": '<path d="M10 2H5V18H10M22 2H27V18H22"/><path class="t" d="M16 2V18"/>',
    "borderline": '<path d="M10 2H5V18H10M16 10H32M22 2H27M27 18H22"/><path class="t" d="M27 0V20"/>',
    "outside": '<path d="M8 2H3V18H8M15 2H20V18H15"/><path class="t" d="M29 2V18"/>',
}
CLASSES = {"inside": "in", "borderline": "bo", "outside": "out"}


def verdict(value: Mapping[str, Any]) -> Markup:
    """The verdict as a word and a shape; the mark faces the side that the value is on."""
    word = value["verdict"]
    if word not in MARKS:
        return Markup(f'<span class="v no">{"cannot be judged" if value.get("why_not") else "no band"}</span>')
    turned = ' transform="translate(32 0) scale(-1 1)"' if _is_low(value) else ""
    drawn = f"<g{turned}>{MARKS[word]}</g>"
    mark = f'<svg class="mk" width="32" height="20" viewBox="0 0 32 20" aria-hidden="true">{drawn}</svg>'
    return Markup(f'<span class="v {CLASSES[word]}">{mark}{word}</span>')


def _is_low(value: Mapping[str, Any]) -> bool:
    """Whether the value is nearer to its lower limit."""
    lower, upper = value["band"]["lower"], value["band"]["upper"]
    if lower is None or value["value"] is None:
        return False
    return upper is None or value["value"] - lower < upper - value["value"]
