"""Colours as they are seen without one kind of cone, or printed in grey; and what in a drawing is told by colour alone.

The three simulations are colorspacious's of the model of Machado, Oliveira and Fernandes, "A physiologically-based
model for simulation of color vision deficiency" (IEEE TVCG 15(6), 2009), at its full severity, in linear RGB. Colour
differences are its CAM02-UCS (Luo, Cui and Li 2006): about 1 can just be seen. Contrast as WCAG 2.2 defines it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from colorspacious import cspace_convert, deltaE

Colour = tuple[float, float, float]  # sRGB, 0 to 1

CONES = {"protanopia": "protanomaly", "deuteranopia": "deuteranomaly", "tritanopia": "tritanomaly"}
SIGHTS = ("full", *CONES, "grey")


def colour(css: str) -> Colour:
    """From #rgb, #rrggbb or rgb(r, g, b)."""
    if css.startswith("#"):
        digits = css[1:] if len(css) == 7 else "".join(2 * digit for digit in css[1:])
        return tuple(int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4))
    return tuple(float(part) / 255 for part in re.findall(r"[\d.]+", css)[:3])


def seen(by: str, what: Colour) -> Colour:
    if by == "full":
        return what
    if by == "grey":
        light = luminance(what)
        level = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
        return (level, level, level)
    space = {"name": "sRGB1+CVD", "cvd_type": CONES[by], "severity": 100}
    return tuple(np.clip(cspace_convert(what, space, "sRGB1"), 0, 1))


def luminance(what: Colour) -> float:
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in what]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: Colour, b: Colour) -> float:
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


def least_contrast(a: Colour, b: Colour) -> float:
    """Over all sights."""
    return min(contrast(seen(by, a), seen(by, b)) for by in SIGHTS)


def least_difference(a: Colour, b: Colour) -> float:
    """Over all sights, CAM02-UCS."""
    return min(float(deltaE(seen(by, a), seen(by, b), input_space="sRGB1")) for by in SIGHTS)


@dataclass(frozen=True)
class Mark:
    """One shape of a drawing: what it means (its class), its form, and its colour."""

    means: str
    form: str
    dash: str
    filling: str
    width: float
    size: float
    colour: str


# Every shape of every drawing in the page. Grounds carry no meaning of their own: their edges are drawn.
DRAWINGS = """() => {
  const drawings = [];
  for (const svg of document.querySelectorAll('svg')) {
    if (svg.parentElement.closest('svg') || svg.matches('.qr, .mk') || svg.closest('.po')) continue;
    if (!svg.checkVisibility()) continue;
    const marks = [];
    for (const el of svg.querySelectorAll('path, line, rect, circle, ellipse, polygon, polyline')) {
      if (el.matches('.body, .band, .grd, .gap')) continue;
      const style = getComputedStyle(el), box = el.getBBox(), size = Math.max(box.width, box.height);
      let form = el.tagName;
      if (form === 'line') form += box.width < 0.5 ? ' upright' : box.height < 0.5 ? ' level' : ' aslant';
      else if (form === 'path') form += size > 40 ? ' long' : ' ' + el.getAttribute('d').replace(/[^a-z]/gi, '');
      const drawn = style.stroke !== 'none';
      const filled = style.fill !== 'none' && style.fill !== style.stroke;
      marks.push({
        means: el.getAttribute('class') ?? '', form, size, dash: style.strokeDasharray,
        filling: style.fill === 'none' ? 'none' : drawn && filled ? 'hollow' : 'solid',
        width: drawn ? parseFloat(style.strokeWidth) : 0, colour: drawn ? style.stroke : style.fill,
      });
    }
    const bands = svg.querySelectorAll('.band').length;
    drawings.push({ bands, name: svg.getAttribute('aria-label') ?? svg.getAttribute('class') ?? '', marks });
  }
  return drawings;
}"""

APART = 1.5  # ratio of widths or sizes that is seen without measuring
DIFFERENT = 20.0  # CAM02-UCS; black and the darkest caption grey of the look are 17 apart


def told_by_colour_alone(marks: list[Mark]) -> list[str]:
    """Pairs that mean different things and differ by colour only, where that difference does not hold for everyone."""
    found = set()
    for a, b in combinations(dict.fromkeys(marks), 2):
        if a.means == b.means or a.colour == b.colour or _form_differs(a, b):
            continue
        if least_difference(colour(a.colour), colour(b.colour)) < DIFFERENT:
            found.add(f"{a.means} and {b.means}: {a.colour} and {b.colour}")
    return sorted(found)


def _form_differs(a: Mark, b: Mark) -> bool:
    if (a.form, a.dash, a.filling) != (b.form, b.dash, b.filling):
        return True
    return any(max(pair) >= APART * min(pair) for pair in ((a.width, b.width), (a.size, b.size)))
