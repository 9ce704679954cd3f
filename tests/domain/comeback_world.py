"""An invented world of bicycles that come back: what breaks, how far, what it moves, what riders say of it.

Frozen. It was written, with its seeds, before the catalogue's cause table was tuned, and is not changed to make a
score better: `test_comeback_model.py` holds the hash of this file and of `comeback_model.py`. Numbers are from memory,
meant to be plausible, and deliberately finer than the table's three words likely, sometimes, rarely: profiles depend
on how bad the fault is, everything else drifts a little, and now and then an unrelated quantity has moved as well.
"""

from dataclasses import dataclass, field

SYMPTOMS = ("hesitates_to_larger", "hesitates_to_smaller", "over_shifts", "drops_inward", "drops_outward", "no_shift",
            "front_slow", "skips", "rubs", "ticks", "clicks", "creaks", "grinds", "squeals", "rattles")
HL, HS, OV, DI, DO, NS, FS, SK, RB, TK, CL, CR, GR, SQ, RT = SYMPTOMS
OPPOSITE = {HL: HS, HS: HL, DI: DO, DO: DI}  # what the rider feels when the same fault lies the other way

# How riders' words go astray: the true symptom is called something else with these probabilities; besides, 4 % of all
# complaints are any other word.
MISTAKEN = {
    HL: {HS: .12, NS: .08, SK: .03}, HS: {HL: .12, NS: .04, TK: .03}, OV: {SK: .06, HS: .06, DI: .03},
    DI: {DO: .10, NS: .02}, DO: {DI: .08, SK: .03}, NS: {HL: .12, HS: .05}, FS: {NS: .10, RB: .06, HL: .05},
    SK: {CL: .06, TK: .04, OV: .05}, RB: {GR: .12, SQ: .05, RT: .03}, TK: {CL: .18, RT: .04, RB: .03},
    CL: {TK: .14, CR: .12}, CR: {CL: .14, SQ: .05}, GR: {RB: .14, RT: .04}, SQ: {CR: .09, RB: .07},
    RT: {CL: .08, TK: .05},
}
ANY_WORD = .04
HOW_MANY = {1: .55, 2: .33, 3: .12}  # complaints in one visit, drawn one by one; the same word twice is one word

EVENTS = {"fall": .07, "transport": .10, "wash": .20, "other_workshop": .05}  # base rates, as far as riders tell


@dataclass(frozen=True)
class Numeric:
    """A quantity measured twice: u of one reading; what an ordinary interval adds, mean and standard deviation."""

    u: float
    drift: float
    spread: float


NUMERIC = {
    "hanger_vertical": Numeric(.42, 0, .35), "hanger_residual": Numeric(.12, 0, .05),
    "needed:rear_trim": Numeric(.7, .2, .6), "needed:cable_tension_turns": Numeric(.10, .12, .10),
    "rear_low_limit_turns": Numeric(.05, 0, .04), "rear_high_limit_turns": Numeric(.05, 0, .04),
    "guide_pulley_gap": Numeric(.2, 0, .15), "chain_elongation": Numeric(.05, .08, .06),
    "cage_height_gap": Numeric(.15, 0, .08), "cage_alignment": Numeric(.15, 0, .12),
    "cage_outer_clearance": Numeric(.08, 0, .06), "cage_inner_clearance": Numeric(.08, 0, .06),
    "rim_lateral_runout": Numeric(.05, .05, .08), "rotor_runout": Numeric(.03, .01, .03),
    "battery_rear": Numeric(5, -20, 14),
}
UNRELATED = .03  # chance that a quantity has moved for a reason of its own, by eight times its ordinary spread
UNRELATED_TIMES = 8
SETTINGS = {"rear_trim": .05, "cable_tension_turns": .06, "chain_links": .01}  # read out; chance it was changed anyway
FASTENERS = ("rear_derailleur_mount", "pedal", "crank_pinch_bolts", "cassette_lockring", "thru_axle", "stem_faceplate",
             "seat_clamp")  # found turning below its torque
FASTENER_ANYWAY = .05
CHECKS = {"connectors_home": .04}  # failed anyway
PERIODS = ("none", "crank", "wheel", "chain", "pulley")
NO_NOISE = {"none": .80, "crank": .08, "wheel": .06, "chain": .03, "pulley": .03}
COASTING_ANYWAY = .06


@dataclass(frozen=True)
class Cause:
    """One physical fault. `severity`: median and sigma of a lognormal, in the unit of the effect with coefficient 1.

    `mild`, `severe`: the true symptoms' shares at the two ends of the severity. `effects`: what a unit of severity adds
    to a numeric quantity. `signed`: lies either way with equal chance, words and effects turn round with it.
    """

    prior: float
    mild: dict[str, float]
    severe: dict[str, float]
    severity: tuple[float, float] = (1.0, .4)
    effects: dict[str, float] = field(default_factory=dict)
    signed: bool = False
    moved: dict[str, float] = field(default_factory=dict)  # settings found changed
    loose: dict[str, float] = field(default_factory=dict)  # fasteners found turning
    failed: dict[str, float] = field(default_factory=dict)
    period: dict[str, float] = field(default_factory=lambda: NO_NOISE)
    coasting: float = COASTING_ANYWAY
    events: dict[str, float] = field(default_factory=dict)
    applies: dict[str, object] = field(default_factory=dict)


def noise(part: str, share: float) -> dict[str, float]:
    """Readings of the period when a noise of `part` is counted right with chance `share`."""
    rest = {p: q for p, q in NO_NOISE.items() if p != part}
    return {part: share} | {p: (1 - share) * q / sum(rest.values()) for p, q in rest.items()}


HANGER, CABLE, ELECTRONIC, FRONT = {"rear_mount": "hanger"}, {"shifting": "cable"}, {"shifting": "electronic"}, {
    "front_derailleur": True}
TRIM, TURNS = "needed:rear_trim", "needed:cable_tension_turns"

CAUSES = {
    "hanger_bent_inward": Cause(
        .075, {TK: .45, HS: .35, OV: .12, CR: .03, DI: .05}, {HS: .42, OV: .20, TK: .18, DI: .18, CR: .02}, (4.5, .45),
        {"hanger_vertical": 1, TRIM: -.85, TURNS: -.12, "guide_pulley_gap": -.05},
        events={"fall": .40, "transport": .30}, applies=HANGER),
    "hanger_bent_outward": Cause(
        .03, {TK: .42, HL: .45, NS: .08, DO: .05}, {HL: .50, TK: .18, NS: .22, DO: .10}, (3.5, .45),
        {"hanger_vertical": -1, TRIM: .85, TURNS: .12}, events={"fall": .20, "transport": .25}, applies=HANGER),
    "rear_mount_loose": Cause(
        .035, {HL: .38, HS: .34, CR: .20, OV: .08}, {HL: .30, HS: .28, OV: .18, CR: .14, DI: .10}, (.6, .4),
        {"hanger_residual": 1, "guide_pulley_gap": .4}, loose={"rear_derailleur_mount": .85}),
    "cable_settled": Cause(
        .13, {HL: .70, TK: .20, NS: .08, SK: .02}, {HL: .58, NS: .26, TK: .10, SK: .06}, (.6, .4), {TURNS: 1},
        applies=CABLE),
    "cable_drag": Cause(
        .06, {HS: .72, HL: .20, NS: .08}, {HS: .55, HL: .28, NS: .17}, events={"wash": .35}, applies=CABLE),
    "fine_position_off": Cause(
        .08, {HL: .50, TK: .38, HS: .08, OV: .04}, {HL: .66, OV: .14, TK: .12, HS: .08}, (2.6, .4),
        {TRIM: 1, TURNS: .13}, signed=True, moved={"rear_trim": .60, "cable_tension_turns": .60},
        events={"other_workshop": .22}),
    "low_limit_loose": Cause(
        .015, {DI: .55, OV: .40, TK: .05}, {DI: .80, OV: .18, TK: .02}, (.5, .4), {"rear_low_limit_turns": 1},
        events={"other_workshop": .30}, applies=HANGER),
    "low_limit_tight": Cause(
        .02, {HL: .50, NS: .42, TK: .08}, {NS: .78, HL: .20, TK: .02}, (.45, .4), {"rear_low_limit_turns": -1},
        events={"other_workshop": .30}, applies=HANGER),
    "high_limit_loose": Cause(
        .015, {DO: .55, TK: .35, HS: .10}, {DO: .78, TK: .18, HS: .04}, (.5, .4), {"rear_high_limit_turns": 1},
        events={"other_workshop": .30}, applies=HANGER),
    "high_limit_tight": Cause(
        .02, {NS: .50, TK: .35, HS: .15}, {NS: .72, TK: .18, HS: .10}, (.45, .4), {"rear_high_limit_turns": -1},
        events={"other_workshop": .30}, applies=HANGER),
    "pulley_gap_small": Cause(
        .025, {RB: .60, GR: .28, HL: .12}, {RB: .48, GR: .40, HL: .12}, (1.4, .35), {"guide_pulley_gap": -1},
        period=noise("pulley", .35), events={"other_workshop": .20}, applies=HANGER),
    "pulley_gap_large": Cause(
        .025, {HS: .62, HL: .22, TK: .16}, {HS: .55, HL: .28, TK: .10, SK: .07}, (1.9, .35), {"guide_pulley_gap": 1},
        events={"other_workshop": .20}, applies=HANGER),
    "chain_worn": Cause(
        .06, {SK: .42, FS: .26, GR: .30, DO: .02}, {SK: .68, GR: .16, FS: .12, DO: .04}, (.42, .35),
        {"chain_elongation": 1}),
    "cassette_worn": Cause(.03, {SK: .68, TK: .28, HL: .04}, {SK: .86, TK: .10, HL: .04}),
    "stiff_link": Cause(.025, {CL: .74, SK: .22, HL: .04}, {CL: .52, SK: .44, HL: .04}, period=noise("chain", .72)),
    "chain_length_or_clutch": Cause(
        .025, {RT: .80, DO: .14, NS: .06}, {RT: .58, DO: .26, NS: .12, SK: .04}, moved={"chain_links": .35}),
    "ring_worn_or_loose": Cause(
        .02, {CL: .62, CR: .22, FS: .12, DO: .04}, {CL: .48, FS: .20, DO: .18, CR: .08, SK: .06},
        loose={"crank_pinch_bolts": .45}, period=noise("crank", .60)),
    "front_cage_moved": Cause(
        .045, {RB: .60, FS: .36, DO: .04}, {FS: .48, RB: .28, DO: .18, DI: .06}, (.85, .35),
        {"cage_height_gap": .7, "cage_alignment": 1, "cage_outer_clearance": .25}, signed=True,
        events={"fall": .22, "transport": .28}, applies=FRONT),
    "front_limit_or_position": Cause(
        .045, {RB: .42, FS: .30, DI: .20, DO: .08}, {DI: .62, FS: .16, RB: .14, DO: .08}, (.5, .4),
        {"cage_outer_clearance": .8, "cage_inner_clearance": 1}, signed=True, events={"other_workshop": .20},
        applies=FRONT),
    "pulley_worn": Cause(
        .025, {SQ: .50, GR: .42, HL: .05, RT: .03}, {GR: .48, SQ: .28, HL: .16, RT: .08}, period=noise("pulley", .70),
        events={"wash": .30}),
    "cross_chaining": Cause(.045, {RB: .62, TK: .38}, {RB: .54, TK: .46}, applies={"ring_count": 2}),
    "bottom_bracket_or_pedal": Cause(
        .07, {CR: .58, CL: .34, TK: .08}, {CR: .48, CL: .36, GR: .10, TK: .06}, loose={"pedal": .50},
        period=noise("crank", .78), events={"wash": .32}),
    "lockring_or_axle_loose": Cause(
        .02, {CR: .55, CL: .33, RB: .06, HL: .06}, {CL: .34, CR: .28, RB: .16, HL: .16, SK: .06}, (2.0, .4),
        {"hanger_vertical": 1}, signed=True, loose={"cassette_lockring": .55, "thru_axle": .45},
        period=noise("wheel", .55), coasting=.35),
    "disc_or_caliper": Cause(
        .075, {RB: .66, SQ: .32, TK: .02}, {RB: .52, SQ: .42, TK: .06}, (.16, .4), {"rotor_runout": 1},
        period=noise("wheel", .70), coasting=.75, events={"fall": .12, "transport": .30}, applies={"brakes": "disc"}),
    "rim_or_spokes": Cause(
        .04, {TK: .62, CR: .20, RB: .14, CL: .04}, {TK: .48, RB: .34, CR: .14, CL: .04}, (.6, .45),
        {"rim_lateral_runout": 1}, period=noise("wheel", .70), coasting=.60, events={"fall": .18}),
    "charge_or_connector": Cause(
        .075, {NS: .66, HL: .26, HS: .08}, {NS: .88, HL: .08, HS: .04}, (30, .6), {"battery_rear": -1},
        failed={"connectors_home": .55}, events={"wash": .38}, applies=ELECTRONIC),
    "cockpit_or_seat": Cause(
        .06, {CR: .78, CL: .18, RT: .04}, {CR: .64, CL: .26, RT: .10}, loose={"stem_faceplate": .40, "seat_clamp": .45},
        coasting=.60, events={"wash": .25}),
}

# Faults that no table of causes names; together they are "none of these".
OUTSIDE = {
    "freehub": Cause(.02, {SK: .40, GR: .30, RT: .15, CL: .15}, {SK: .50, GR: .30, DO: .10, CL: .10},
                     period=noise("wheel", .30), coasting=.45),
    "frame_crack": Cause(.01, {CR: .80, CL: .20}, {CR: .60, CL: .25, RB: .15}, period=noise("crank", .35), coasting=.30,
                         events={"fall": .30}),
    "loose_cargo": Cause(.015, {RT: .75, CL: .15, SQ: .10}, {RT: .80, CL: .15, TK: .05}, coasting=.85),
    "shifter_internals": Cause(.015, {NS: .45, OV: .35, HL: .20}, {NS: .70, OV: .20, HL: .10}),
    "headset_or_fork": Cause(.015, {CL: .45, CR: .35, RT: .20}, {CL: .45, RT: .30, CR: .25}, coasting=.80),
}
