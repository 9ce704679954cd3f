"""Noises of the scenario, each with the part that makes it, and slips of the finger."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ops.demo.sheet import Sheet

Hook = Callable[[Sheet], None]


@dataclass(frozen=True)
class NoiseTruth:
    """`part` is what turns once for each noise: crank, wheel, chain loop or pulley."""

    entry_id: str
    job_id: str
    part: str


def times_in_ten_turns(sheet: Sheet, part: str, ring: int, cog: int) -> float:
    """How often a part comes round in ten turns of the crank."""
    links = sheet.state.true["chain_links"]
    return {"crank": 10.0, "wheel": 10 * ring / cog, "chain": 10 * ring / links}[part]


def heard(sound: str, part: str, when: tuple[str, ...], place: int, note: str, cadence: int = 80) -> Hook:
    """Counted over ten turns on a cog in the middle of the cassette; a count is whole and can miss by one."""

    def write(sheet: Sheet) -> None:
        ring, cog = sheet.bike.rings[0], sheet.bike.cogs[place]
        exact = times_in_ten_turns(sheet, part, ring, cog)
        count = max(1, round(exact + sheet.rng.choice((-0.3, 0, 0, 0.3))))
        gear = {"ring": ring, "cog": cog}
        entry = sheet.noise(sound, list(when), gear, note, cadence_rpm=cadence, count_in_ten_turns=count)
        sheet.noises_true.append(NoiseTruth(entry, sheet.job_id, part))

    return write


def tapped(sound: str, part: str, place: int, note: str, cadence: int = 45, taps: int = 14) -> Hook:
    """Tapped along in the stand, the crank turned slowly by hand and tapped too; a hand jitters by some 25 ms."""

    def write(sheet: Sheet) -> None:
        ring, cog = sheet.bike.rings[0], sheet.bike.cogs[place]
        turn = 60_000 / cadence
        period = turn * 10 / times_in_ten_turns(sheet, part, ring, cog)

        def series(step: float, n: int) -> list[int]:
            start = sheet.rng.uniform(0, step)
            return [round(start + i * step + sheet.rng.gauss(0, 25)) for i in range(n)]

        crank = series(turn, max(4, round(taps * period / turn)))
        shift = -min(0, min(crank))
        data = {"taps_ms": [max(0, t) for t in series(period, taps)], "crank_taps_ms": [t + shift for t in crank]}
        entry = sheet.noise(sound, ["seated"], {"ring": ring, "cog": cog}, note, **data)
        sheet.noises_true.append(NoiseTruth(entry, sheet.job_id, part))

    return write


def ticking(note: str) -> Hook:
    """A chain that feels for the next cog: no part's own beat."""

    def write(sheet: Sheet) -> None:
        gear = {"ring": sheet.bike.rings[0], "cog": sheet.bike.cogs[4]}
        sheet.noise("tick", ["seated", "under_load"], gear, note, cadence_rpm=85)

    return write


def tapped_twice(sheet: Sheet) -> None:
    """The last adjustment went in twice under a glove, and was taken back."""
    last = next((e for e in reversed(sheet.entries) if e["kind"] == "adjustment"), None)
    if last is None:
        return
    again = sheet.write("adjustment", dict(last["data"]), (1, 3), gear=last.get("gear"))
    sheet.void(again)


def point_slipped(quantity: str) -> Hook:
    return lambda sheet: sheet.slip(quantity, lambda value: round(10 * value, 1))


def digits_swapped(quantity: str) -> Hook:
    """The last two digits of a whole number the wrong way round."""
    return lambda sheet: sheet.slip(quantity, lambda value: value // 100 * 100 + value % 10 * 10 + value % 100 // 10)
