"""Exact conversion of units: factors are fractions, and only the result is rounded.

Source of the factors that the catalogue holds: NIST Special Publication 811 (2008), Appendix B. Whether two units
measure the same dimension is the catalogue's matter.
"""

import math
import re
from fractions import Fraction

from service.domain.errors import CannotCompute

_NUMBER = re.compile(r"\d+(\.\d+)?([eE][+-]?\d{1,3})?")


def parse_factor(text: str) -> Fraction:
    """An exact factor from its text: decimals joined by * and /, worked from left to right.

    >>> float(parse_factor("4.4482216152605/0.00064516"))
    6894.757293168361

    Raises CannotCompute for anything else, and for a factor that is not above zero.
    """
    pieces = re.split(r"([*/])", text.replace(" ", ""))
    if not all(_NUMBER.fullmatch(number) for number in pieces[::2]):
        raise CannotCompute(f"Not a factor: {text!r}.")
    factor = Fraction(pieces[0])
    for sign, number in zip(pieces[1::2], pieces[2::2], strict=True):
        if sign == "/" and not Fraction(number):
            raise CannotCompute(f"Not a factor: {text!r}.")
        factor = factor * Fraction(number) if sign == "*" else factor / Fraction(number)
    if factor <= 0:
        raise CannotCompute(f"A factor must be above zero: {text!r}.")
    return factor


def convert(value: float, from_factor: Fraction, to_factor: Fraction) -> float:
    """A value in the unit of from_factor, given in the unit of to_factor; both factors lead to the same base unit.

    Worked in whole fractions with one rounding at the end, so that there and back differs by a last digit at most.
    Raises CannotCompute if the value is not finite or the result is too large for a float.
    """
    if not math.isfinite(value):
        raise CannotCompute("A value must be an ordinary number.")
    if from_factor <= 0 or to_factor <= 0:
        raise CannotCompute("A factor must be above zero.")
    try:
        return float(Fraction(value) * from_factor / to_factor)
    except OverflowError as error:
        raise CannotCompute("The value is too large to convert.") from error
