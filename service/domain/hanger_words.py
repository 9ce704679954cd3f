"""What to do with a hanger measurement, in words for the mechanic (common practice)."""

NO_DIRECTION = "The bend is too small for this measurement to tell its direction."
DISAGREE = (
    "The readings do not agree with one another: measure again. A loose axle, play in the gauge or another spot of "
    "the rim does this."
)
NOTHING_SPARE = "Three readings leave nothing to check them by: a fourth is worth taking."


def clock_words(clock: float) -> str:
    """A clock position to the nearest half hour: 12, 1:30, 4."""
    halves = round(clock * 2) % 24
    hour = halves // 2 or 12
    return f"{hour}:30" if halves % 2 else f"{hour}"


def advice(steepest_clock: float | None, amplitude_mm: float, agrees: bool | None) -> str:
    """Where to bring the arm in or out, by how much (mm), or why not to."""
    if agrees is False:
        return DISAGREE
    if steepest_clock is None:
        words = f"{NO_DIRECTION} Nothing to bend back by it."
    else:
        words = (
            f"At {clock_words(steepest_clock)} bring the arm in by {amplitude_mm:.1f} mm, or at "
            f"{clock_words(steepest_clock + 6)} out by as much. A little at a time, then measure again: a hanger can "
            "break when it is bent back."
        )
    return words if agrees else f"{words} {NOTHING_SPARE}"


def one_direction(clock: float) -> str:
    """Why two opposite positions do not give the deviation; clock is the first of them, 0 to below 6."""
    line = f"{clock_words(clock)} to {clock_words(clock + 6)}"
    across = f"{clock_words(clock + 3)} and {clock_words(clock + 9)}"
    return f"Two opposite positions tell the bend from {line} only: read {across} as well."


def axis_advice(clock: float, axis_mm: float, u_axis_mm: float, agrees: bool | None) -> str:
    """Advice from two opposite positions: what they tell, and what is still missing."""
    if agrees is False:
        return DISAGREE
    if abs(axis_mm) <= 1.96 * u_axis_mm or axis_mm == 0:
        told = "In this direction no bend can be told."
    else:
        out, inward = (clock, clock + 6) if axis_mm > 0 else (clock + 6, clock)
        told = f"The tip stands {abs(axis_mm):.1f} mm farther out at {clock_words(out)} than at {clock_words(inward)}."
    return f"{told} {one_direction(clock)}"
