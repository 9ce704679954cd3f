"""Torque with adapters and the wrench's range against US Army TM 9-254 and ISO 6789:2003, units by pint."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import norm

from service.domain import torque
from service.domain.conformity import NO_JUDGEMENT
from service.domain.errors import CannotCompute
from service.domain.torque import Adapter, Wrench
from service.domain.units import convert, parse_factor
from tests.domain.shared_answers import shared


@pytest.mark.parametrize("case", shared("torque"))
def test_shared_answers(case):
    if "error" in case.expected:
        with pytest.raises(CannotCompute):
            answer(**case.inputs)
        return
    case.check(answer(**case.inputs))


def answer(target, unit, factor_nm, applied=None, lower=None, upper=None, **more):
    """The calculator's fields from the functions of the room."""
    factor = parse_factor(factor_nm)

    def nm(value):
        return None if value is None else convert(value, factor, parse_factor("1"))

    of_gauge = "wrench_max_nm", "tolerance_percent", "wrench_min_nm", "wrench_u_nm"
    wrench = Wrench(more.get("wrench_mm"), *(more.get(name) for name in of_gauge))
    adapter = Adapter(more["adapter_mm"], more.get("angle_deg", 0)) if "adapter_mm" in more else None
    fields = {"set_to": torque.set_to(target, wrench, adapter), "target_nm": nm(target)}
    fields |= {"applied_nm": None, "verdict": None, "p_inside": None}
    if applied is not None:
        fields["applied_nm"] = torque.at_fastener(nm(applied), wrench, adapter)
        limits = (nm(target), nm(target)) if lower is None else (nm(lower), nm(upper))
        judged = torque.judge_torque(fields["applied_nm"], *limits, wrench, nm(applied))
        if judged.verdict == "none":
            assert "good from" in torque.refusal(wrench, nm(applied))
        else:
            fields |= vars(judged)
    return fields


def test_published_extension(published):
    case = published("tq-ext-army")
    wrench, adapter = Wrench(length_mm=case.inputs["L"] * 25.4), Adapter(case.inputs["E"] * 25.4)
    case.check("applied", torque.at_fastener(case.inputs["setting"], wrench, adapter))
    assert torque.set_to(case.expected["applied"], wrench, adapter) == pytest.approx(case.inputs["setting"])


def test_published_tolerances(published):
    """ISO 6789:2003, type II class A: 4 % above 10 N m, 6 % at or below."""
    case = published("tq-iso6789")
    case.check("pct", [torque.tolerance_percent(Wrench(max_nm=most), 5) for most in (10.001, 10)])
    assert torque.tolerance_percent(Wrench(max_nm=50, tolerance_percent=3), 20) == 3
    assert torque.tolerance_percent(Wrench(), 12) == 4
    assert torque.tolerance_percent(Wrench(), 5) == 6


@given(st.floats(0, 200), st.floats(100, 600), st.floats(1, 90), st.floats(-180, 180))
def test_setting_and_fastener_belong_together(target, length, extension, angle):
    wrench, adapter = Wrench(length), Adapter(extension, angle)
    assert torque.at_fastener(torque.set_to(target, wrench, adapter), wrench, adapter) == pytest.approx(target)


@given(st.floats(0.1, 200), st.floats(0, 50))
def test_a_rectangle_shares_itself_out(applied, tolerance):
    """The parts below, inside and above two limits add up to one."""
    wrench = Wrench(tolerance_percent=tolerance)
    lower, upper = applied * 0.97, applied * 1.01
    parts = [(None, lower), (lower, upper), (upper, None)]
    if tolerance == 0:
        return
    assert sum(torque.judge_torque(applied, *limits, wrench).p_inside for limits in parts) == pytest.approx(1)


def test_refuses_to_judge_outside_the_range_of_the_wrench():
    wrench = Wrench(max_nm=50)
    assert torque.judge_torque(10, 10, 10, wrench).verdict == "inside"
    for applied in (9.99, 50.01):
        assert torque.judge_torque(applied, 5, 60, wrench) == NO_JUDGEMENT
        assert "good from 10 to 50 N·m" in torque.refusal(wrench, applied)
    # What counts is what the wrench showed, not what the adapter made of it.
    assert torque.judge_torque(55, 50, 60, wrench, shown_nm=48).verdict == "inside"


@pytest.mark.parametrize(
    ("wrench", "good", "refused", "words"),
    [
        (Wrench(max_nm=50), (10, 50), (9.9, 50.1), "good from 10 to 50 N·m"),
        (Wrench(min_nm=4, max_nm=50), (4, 50), (3.9, 50.1), "good from 4 to 50 N·m"),
        (Wrench(min_nm=4), (4, 5000), (3.9, 0), "good from 4 N·m only"),
        (Wrench(), (0, 5000), (), ""),
    ],
)
def test_each_limit_of_the_range_refuses_by_itself(wrench, good, refused, words):
    assert [torque.refusal(wrench, shown) for shown in good] == [None] * len(good)
    assert all(words in torque.refusal(wrench, shown) for shown in refused)


@given(st.floats(0.1, 200), st.floats(1, 3))
def test_out_of_range_only_what_no_wrench_could_excuse_is_outside(applied, off):
    """A torque off by less than half of itself is not judged, one off by more is outside."""
    assume(abs(off - 2) > 1e-6)
    out_of_range = Wrench(max_nm=applied / 2)
    verdict = torque.judge_torque(applied, None, applied / off, out_of_range).verdict
    assert verdict == ("outside" if off > 2 else "none")


def test_the_spread_is_what_the_verdict_is_made_from():
    """6 % of 5 by ISO 6789:2003; scipy's 95 % point of the normal distribution times u, through an adapter times 1.25;
    a limit at the end of a certificate's spread is a verdict at 0.95."""
    assert torque.spread(5, Wrench(), 5) == pytest.approx((4.7, 5.3))
    low, high = torque.spread(5, Wrench(u_nm=0.1), 4)
    assert (low, high) == pytest.approx((5 - 0.125 * norm.ppf(0.95), 5 + 0.125 * norm.ppf(0.95)), abs=1e-4)
    assert torque.judge_torque(5, None, high, Wrench(u_nm=0.1), 4).p_inside == pytest.approx(0.95, abs=1e-4)
    assert torque.spread(5, Wrench(max_nm=60), 5) is None


def test_no_limits_no_verdict():
    assert torque.judge_torque(10, None, None).verdict == "none"


@pytest.mark.parametrize(
    "call",
    [
        lambda: torque.set_to(40, Wrench(), Adapter(60)),
        lambda: torque.set_to(40, Wrench(100), Adapter(100, 180)),
        lambda: torque.set_to(40, Wrench(300), Adapter(math.nan)),
        lambda: torque.set_to(40, Wrench(math.inf), Adapter(60)),
        lambda: torque.set_to(math.nan, Wrench()),
        lambda: torque.at_fastener(-1, Wrench()),
        lambda: torque.judge_torque(math.inf, 5, 6),
        lambda: torque.judge_torque(5, 7, 6),
        lambda: torque.judge_torque(5, 5, 6, Wrench(tolerance_percent=-1)),
    ],
)
def test_refuses_what_cannot_be(call):
    with pytest.raises(CannotCompute):
        call()
