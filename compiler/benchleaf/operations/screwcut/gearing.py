"""The gear train of one thread: found or checked, with what its error costs and what it means for the half-nuts."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.kinematics.half_nuts import HalfNutRule, half_nut_rule
from benchleaf.kinematics.model import Outcome, PlacedWheel, Problem, Refused, SearchResult, Setting, Train
from benchleaf.kinematics.search import search
from benchleaf.kinematics.strain import MOST_UP_GEARING
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, OWNER, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.screwcut import stated
from benchleaf.operations.screwcut.half_nuts import check_wish, half_nut_figure
from benchleaf.operations.screwcut.machine import dial_wheels, problem_of
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.operations.screwcut.words import lever_words, train_words
from benchleaf.record import record
from benchleaf.sheet.numbers import fixed, signed
from benchleaf.standards.lead_error import engagement_limit, lead_error_cost
from benchleaf.workshop.gearbox import GearboxRow
from benchleaf.workshop.plate import DerivedRow

__all__ = ["SHARE", "Gearing", "find_gearing"]

SHARE = Fraction(1, 4)  # common practice: a lead error may use up a quarter of the pitch-diameter tolerance


@record
class Gearing:
    """The train chosen for a thread, the rule for the half-nuts, and what the search passed over."""

    train: Train
    half_nuts: HalfNutRule
    problem: Problem
    refused: tuple[Refused, ...] = ()
    alternatives: tuple[Train, ...] = ()


def find_gearing(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> Gearing | None:
    """Find the train (or check the one the job states), and write down lead, error, its cost, wheels, levers and the half-nut rule.

    Returns None after an error, all of which point into the job.
    """
    problem = problem_of(context.on_lathe, step.without)
    levers: Setting = tuple((name, word.value) for name, word in step.levers.items())
    if step.train:
        train = stated.check(problem, step, wanted, levers, context)
        if train is None:
            return None
        gearing = Gearing(train, half_nut_rule(train.lead, problem.leadscrew_lead, dial_wheels(context.lathe)), problem)
    else:
        result = search(problem, wanted.thread.lead, hand=wanted.thread.hand, limit=step.lead_limit.value, all_within=True, levers=levers)
        if result.best is None:
            _none(result, wanted, step, problem, context)
            return None
        rule = half_nut_rule(result.best.lead, problem.leadscrew_lead, dial_wheels(context.lathe))
        gearing = Gearing(result.best, rule, problem, result.refused, result.alternatives)
    _lead_figures(desk, gearing, wanted, context)
    _setting_figures(desk, gearing, step, context)
    half_nut_figure(desk, gearing.half_nuts, context)
    check_wish(gearing.half_nuts, step, context)
    return gearing


def _lead_figures(desk: Desk, gearing: Gearing, wanted: Wanted, context: Context) -> None:
    train, thread, lathe = gearing.train, wanted.thread, context.lathe
    product = f"{_stack(train.wheels, 'first', 'stud_driver')} / {_stack(train.wheels, 'last', 'stud_driven')}"
    ratios: list[Value] = [row.ratio for row in lathe.headstock.ratios if row.position.value == train.headstock]
    ratios += _lever_ratios(train, context)
    taken = _taken(train, context)
    wheels = tuple(gears.name for gears in context.on_lathe.gear_sets)
    formula = f"leadscrew lead x headstock {train.headstock_ratio} x wheels {product} x gearbox {train.gearbox_ratio}{taken}"
    also = f"{fixed(Fraction(127, 5) / train.lead, 4)} TPI" if thread.system == "inch" else length_text(train.lead, "inch")
    desk.number(
        "lead_actual",
        "Lead cut",
        train.lead,
        "mm",
        fixed(train.lead, 5),
        basis(formula, (lathe.leadscrew.lead, *ratios, *wheels), source("gear trains: the lead equation", "derived")),
        also=also,
    )
    desk.number(
        "lead_error",
        "Lead error",
        train.error * 1_000_000,
        "ppm",
        signed(train.error * 1_000_000, 0 if train.error == 0 else 1),
        basis("(lead cut / lead wanted - 1) x 1 000 000", ("lead_actual", "lead_wanted"), GEOMETRY),
        rational=thread.lead_rational,
    )
    tolerance = wanted.limits.pitch_tolerance
    half = thread.form.half_angle
    if train.error == 0 or not half:
        _no_cost(desk, train, wanted)
        return
    cost = lead_error_cost(train.error, wanted.engagement.value, half, tolerance)
    desk.length(
        "lead_error_over_engagement",
        "Lead error over the engagement",
        cost.cumulative,
        basis("lead error x length of engagement", ("lead_error", wanted.engagement), GEOMETRY),
        read_by="reckoned",
    )
    desk.length(
        "pitch_diameter_cost",
        "What it costs on pitch diameter",
        cost.virtual,
        basis(cost.rule.formula, ("lead_error_over_engagement",), source(cost.rule.source, cost.rule.status)),
        read_by="reckoned",
        rational=False,
    )
    if tolerance is None:
        per_100 = train.error * 100
        desk.length("error_per_100", "Error in 100 mm of travel", per_100, basis("lead error x 100 mm", ("lead_error",), GEOMETRY))
        desk.words(
            "engagement_limit",
            "Good for an engagement up to",
            "not stated",
            basis("no tolerance class is known to hold the error against", (wanted.at,), PRACTICE),
        )
        return
    desk.number(
        "tolerance_share",
        "Share of the pitch-diameter tolerance",
        (cost.share or Fraction(0)) * 100,
        "%",
        fixed((cost.share or Fraction(0)) * 100, 1),
        basis("cost on pitch diameter / tolerance", ("pitch_diameter_cost", "pitch_diameter"), GEOMETRY),
        rational=False,
    )
    limit = engagement_limit(train.error, half, tolerance, SHARE)
    if limit is not None:
        desk.length(
            "engagement_limit",
            "Good for an engagement up to",
            limit,
            basis(
                f"the engagement at which the error uses up {SHARE} of the tolerance: share x tolerance x tan half angle / error",
                ("lead_error", "pitch_diameter"),
                PRACTICE,
            ),
            read_by="rule",
            rational=False,
        )
        if wanted.engagement.value > limit:
            context.faults.warning(
                "train/error-costly",
                f"the lead error uses up {fixed((cost.share or Fraction(0)) * 100, 0)} % of the pitch-diameter tolerance "
                "over the engagement",
                wanted.engagement,
                f"good for {length_text(limit, context.system, 'rule')}",
                hint="shorten the engagement, cut to the slack side of the limits, or find a nearer train",
            )


def _no_cost(desk: Desk, train: Train, wanted: Wanted) -> None:
    words = "any length" if train.error == 0 else "not stated"
    desk.words(
        "engagement_limit",
        "Good for an engagement up to",
        words,
        basis(
            "an exact lead costs nothing" if train.error == 0 else "the form has no flank angle to reckon with", ("lead_error",), GEOMETRY
        ),
    )


def _stack(wheels: tuple[PlacedWheel, ...], *places: str) -> str:
    return " x ".join(str(item.wheel.teeth) for item in wheels if item.place.value in places)


def _lever_ratios(train: Train, context: Context) -> list[Value]:
    box = context.lathe.gearbox
    if box is None:
        return []
    chosen = dict(train.levers)
    found: list[Value] = [lever.positions[chosen[lever.name.value]] for lever in box.levers if lever.name.value in chosen]
    for row in _rows(train, context):
        found += row.stated if isinstance(row, DerivedRow) else (row.ratio,)
    return found


def _rows(train: Train, context: Context) -> list[GearboxRow]:
    """The row of the gearbox for these levers, if it is told by rows."""
    box, chosen = context.lathe.gearbox, dict(train.levers)
    rows = () if box is None else box.rows
    return [row for row in rows if all(chosen.get(name) == word.value for name, word in row.levers.items())]


def _taken(train: Train, context: Context) -> str:
    """What to say of a gearbox ratio that was worked out from the plate, or measured."""
    derived = [row for row in _rows(train, context) if isinstance(row, DerivedRow)]
    reasons = "".join(f"; {row.taken}" for row in derived if row.taken)
    return f", which is worked out from the gearbox's plate or by measuring{reasons}" if derived else ""


def _setting_figures(desk: Desk, gearing: Gearing, step: Screwcut, context: Context) -> None:
    train, problem = gearing.train, gearing.problem
    wheels = tuple(gears.name for gears in context.on_lathe.gear_sets)
    if step.train:
        first = step.train[0]
        words = first[0] if isinstance(first, tuple) else first
        desk.words("train", "Wheels", train_words(train), basis("as the job states them", (words,), OWNER))
    else:
        banjo = " that fits the banjo" if train.placement is not None else ""
        desk.words(
            "train",
            "Wheels",
            train_words(train),
            basis(
                f"the train with the smallest lead error{banjo}, then fewest changes, then fewest wheels",
                ("lead_wanted", *wheels, context.lathe.leadscrew.lead),
                source("exhaustive search in exact fractions", "derived"),
            ),
        )
    positions = lever_words(train, problem)
    if positions:
        taken = _taken(train, context)
        ratio = f"; they make a gearbox of {train.gearbox_ratio}{taken}" if taken else ""
        inputs = tuple(_lever_ratios(train, context)) or (context.lathe.leadscrew.lead,)
        desk.words(
            "levers",
            "Levers",
            " \u00b7 ".join(f"{name} {position}" for name, position in positions),
            basis(f"the allowed lever positions that go with the wheels{ratio}", inputs, source("the lathe's profile", "owner")),
        )
    else:
        desk.words(
            "levers",
            "Levers",
            "none",
            basis("this lathe has no lever that changes the lead", (context.lathe.name,), source("the lathe's profile", "owner")),
        )
    turns = train.lead / problem.leadscrew_lead
    desk.number(
        "leadscrew_turns",
        "Leadscrew turns for one of the spindle",
        turns,
        "",
        fixed(turns, 3),
        basis("lead cut / leadscrew lead", ("lead_actual", context.lathe.leadscrew.lead), GEOMETRY),
    )
    if turns > MOST_UP_GEARING:
        context.faults.warning(
            "train/up-geared",
            f"the leadscrew turns {fixed(turns, 1)} times for one turn of the spindle",
            context.lathe.leadscrew.lead,
            "the wheels carry more than they like",
            hint="slowest speed, light cuts; turn the spindle by hand if you can",
            note=f"caution beyond {MOST_UP_GEARING} to 1 (common practice)",
        )


def _none(result: SearchResult, wanted: Wanted, step: Screwcut, problem: Problem, context: Context) -> None:
    """Say why no train will do, and what would mend it."""
    designation = wanted.thread.designation
    nearest = result.nearest
    if result.outcome is Outcome.LEVERS_BLOCKED:
        stated.levers_blocked(problem, step, context)
    elif result.outcome is Outcome.WRONG_HAND:
        context.faults.error(
            "train/wrong-hand",
            f"every train that this lathe's arrangements allow cuts the other hand than {designation}, a {wanted.thread.hand}-hand thread",
            wanted.at,
            hint="allow `simple with two idlers` or `compound with idler` under `arrangements`, or fit a tumbler",
            related=((context.lathe.headstock.even_meshes_cut, "the hand an even number of meshes cuts"),),
        )
    elif result.outcome is Outcome.BEYOND_LIMIT and nearest is not None:
        off = signed(nearest.error * 1_000_000, 1)
        context.faults.error(
            "train/none-in-limit",
            f"no train comes within {step.lead_limit.text} of the lead of {designation}; the best is out by {off} ppm",
            wanted.at,
            f"best: {train_words(nearest)}",
            hint=_mend(problem, wanted, step),
            note=f"it cuts {fixed(nearest.lead, 5)} mm for {fixed(wanted.thread.lead, 5)} mm",
            related=((step.lead_limit, "the limit"),),
        )
    elif result.outcome is Outcome.NO_TRAIN_FITS and result.refused:
        refused = result.refused[0]
        context.faults.error(
            "train/none-fits",
            f"no train for {designation} fits the banjo",
            wanted.at,
            f"{train_words(refused.train)}: {refused.obstacles[0].words}",
            hint="check the banjo's measurements in the profile, or add wheels",
        )
    elif result.outcome is Outcome.TOO_MUCH_WORK:
        context.faults.error(
            "train/too-much-work",
            "this box of wheels and levers makes more trains than can be gone through",
            wanted.at,
            hint="fix some levers in the job, or leave arrangements out of the profile",
        )
    else:
        context.faults.error(
            "train/none",
            f"the wheels do not make up any train for {designation}",
            wanted.at,
            hint="check the gear sets and arrangements of the lathe",
        )


def _mend(problem: Problem, wanted: Wanted, step: Screwcut) -> str:
    from benchleaf.kinematics.extra_wheel import best_with_extra_wheel  # a slow search, only after a failure

    found = best_with_extra_wheel(problem, wanted.thread.lead, limit=step.lead_limit.value, hand=wanted.thread.hand, keep=1)
    if not found.wheels or not found.wheels[0].within_limit:
        return "no single wheel more would mend it"
    best = found.wheels[0]
    left = "an exact lead" if best.train.error == 0 else f"{signed(best.train.error * 1_000_000, 1)} ppm"
    return f"one more wheel, of {best.wheel.teeth} teeth, would give {left}: {train_words(best.train)}"
