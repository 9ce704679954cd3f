"""What a noise's timing says, in words for the mechanic (common practice)."""

from collections.abc import Sequence

NAMES = {
    "crank": "once per crank turn (bottom bracket, crank, one pedal)",
    "pedal_strokes": "once per pedal stroke (both pedals, both crank arms, saddle, bar)",
    "wheel": "once per turn of the rear wheel (wheel, tyre, disc, cassette)",
    "chain_loop": "once per round of the chain (one link)",
    "pulley": "once per turn of a pulley",
    "other": "none of these",
}


def advice(best: str, told: bool, still_open: Sequence[str], fast: Sequence[str], coasting: bool | None) -> str:
    """One or more sentences on what the ranking means and what to do next."""
    sentences = []
    if told:
        sentences.append(f"It comes {NAMES[best]}.")
    elif not still_open or best == "other":
        sentences.append("It keeps time with none of these parts: count or tap again, and check gear and counts.")
    else:
        names = "; ".join(NAMES[part] for part in still_open)
        sentences.append(f"These cannot be told apart: {names}. Shift to another gear and repeat.")
    if fast:
        names = "; ".join(NAMES[part] for part in fast)
        sentences.append(f"Too fast to tap along with: {names}. Count ten turns to rule it out.")
    if coasting:
        sentences.append("It goes on while coasting, so crank, chain and pulleys are out.")
    elif coasting is False:
        sentences.append("That it stops while coasting does not rule out the wheel: the load went too.")
    return " ".join(sentences)
