"""Exact conversion against pint and NIST Special Publication 811 (2008), Appendix B."""

import math
import sys
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.errors import CannotCompute
from service.domain.units import convert, parse_factor
from tests.domain.shared_answers import shared

factors = st.fractions(Fraction(1, 10**6), 10**6)
values = st.just(0.0) | st.floats(1e-9, 1e9) | st.floats(-1e9, -1e-9)


@pytest.mark.parametrize("case", shared("units"))
def test_shared_answers(case):
    given_ = case.inputs
    old, new = parse_factor(given_["from_factor"]), parse_factor(given_["to_factor"])
    case.check({"value": convert(given_["value"], old, new)})


def test_published_torque_units(published):
    """NIST SP 811, Appendix B.8: pound-force inch and pound-force foot in newton metres."""
    case = published("tq-sp811")
    factors_ = [parse_factor("4.4482216152605*0.0254"), parse_factor("4.4482216152605*0.3048")]
    case.check("N_m", [convert(1, factor, Fraction(1)) for factor in factors_])


def test_published_pressure_unit():
    """NIST SP 811, Appendix B.8: psi to kPa is 6.894757 (seven digits)."""
    assert convert(1, parse_factor("4.4482216152605/0.00064516"), Fraction(1000)) == pytest.approx(6.894757, abs=5e-7)


def test_one_rounding_only():
    """0.1 in + 0.1 * 25.4 mm: the float nearest to the exact product, where two roundings can miss it."""
    assert convert(0.1, Fraction("25.4"), Fraction(1)) == float(Fraction(0.1) * Fraction("25.4"))
    assert convert(3, Fraction(1, 3), Fraction(1)) == 1


@given(value=values, old=factors, new=factors)
def test_there_and_back(value, old, new):
    there = convert(value, old, new)
    # Below the smallest normal float digits are lost by the number format itself.
    assume(there == 0 or abs(there) >= sys.float_info.min)
    back = convert(there, new, old)
    assert abs(back - value) <= 2 * math.ulp(value)


@given(value=values, factor=factors)
def test_same_unit_changes_nothing(value, factor):
    assert convert(value, factor, factor) == value


@pytest.mark.parametrize(
    "text", ["", "0", "-1", "1/0", "1//2", "one", "1e5000", "1_0", "nan", "inf", "1+1", ".5", "1."]
)
def test_refuses_what_is_no_factor(text):
    with pytest.raises(CannotCompute):
        parse_factor(text)


def test_reads_products_and_quotients_from_left_to_right():
    assert parse_factor("2*3/4 * 5") == Fraction(30, 4)
    assert parse_factor("1.5e-3") == Fraction(3, 2000)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_refuses_what_is_no_number(value):
    with pytest.raises(CannotCompute):
        convert(value, Fraction(1), Fraction(1))


def test_refuses_overflow_and_factors_below_zero():
    with pytest.raises(CannotCompute):
        convert(1e308, Fraction(1000), Fraction(1))
    with pytest.raises(CannotCompute):
        convert(1, Fraction(0), Fraction(1))
    with pytest.raises(CannotCompute):
        convert(1, Fraction(1), Fraction(-1))
