"""Uncertainty worked out again by others: GTC (GUM Tree Calculator) and `uncertainties`.

    python3 tests/outside/propagation.py PATH_OF_GUDGEON      200 jobs and more, each figure compared
    python3 tests/outside/propagation.py --selftest           the reference itself, on worked combinations

Each job is a folder with a manual and a log, made with a fixed seed. What the sources of a reading are is written down here a second time,
from the description of the language and not from the program; the propagation, the degrees of freedom and the coverage factor are GTC's, and
the standard uncertainty is worked out once more by `uncertainties`. A package that is missing ends the run with a failure.
"""

import json
import math
import random
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

import GTC
import uncertainties
import uncertainties.umath

SEED = 863
JOBS = 240
# What two double-precision ways of working may differ by, in parts of the figure.
CLOSE = 1e-9
# The share of the normal distribution within two standard deviations, per cent.
COVERED = 95.44997361036416
# From so many degrees of freedom on the factor is taken to be 2 (src/uncertainty/distribution.rs).
MANY = 1000

# What a kind of tool is good for where neither `good to` nor `repeats to` is declared, mm; and the same with a division finer than 0.005 mm
# (src/model/instruments.rs; common practice).
USUAL = {
    "mic": (0.005, 0.003),
    "calliper": (0.03, 0.03),
    "bore gauge": (0.004, 0.004),
    "dial": (0.0075, 0.005),
    "depth mic": (0.010, 0.010),
}
# Expansion and spread, 1/°C (src/model/materials.rs).
MATERIALS = {
    "steel": (11.5e-6, 0.8e-6),
    "cast iron": (10.8e-6, 0.6e-6),
    "aluminium": (23.0e-6, 2.0e-6),
    "bronze": (17.5e-6, 1.0e-6),
    "titanium": (8.8e-6, 0.6e-6),
}
STEEL = 11.5e-6
PART_TEMPERATURE = 1.0
TOOL_TEMPERATURE = 2.0
# Up to so far from 20 °C a tool is as warm as its part, unless it says otherwise (src/metrology/measured.rs).
SHOP = 10.0
# Beside a part hotter than that it is as much colder, and known to so much.
HOT = 5.0
# From so many repeats on their scatter stands by itself; fewer are pooled with the tool's, which counts for so many (src/metrology/sources.rs).
ENOUGH = 4
PRIOR = 5.0
IN_MM = {"mm": 1.0, "in": 25.4}


# --- What the program says: the one place that knows the names of its JSON ----------------------------------------------------------


@dataclass
class Told:
    """A figure as the program tells it."""

    name: str
    place: str | None
    derived: bool
    line: int
    base: float
    per_unit: float
    u: float
    dof: float
    k: float | None
    expanded: float
    method: str


def told(known):
    """The figures of `gudgeon why LOG --as json`. Uncertainties are in the shown unit; `per_unit` base units make one of it."""
    # Exact definitions; areas and volumes are in mm² and mm³ as base.
    scales = {"": 1.0, "mm": 1.0, "in": 25.4, "mm²": 1.0, "cm²": 100.0, "in²": 25.4**2, "mm³": 1.0, "cm³": 1e3, "in³": 25.4**3, "L": 1e6}
    figures = []
    for one in known["figures"]:
        per_unit = scales[one["unit"]]
        if not near(one["value"] * per_unit, one["base"]):
            raise ValueError(f"{one['name']}: {one['value']} {one['unit']} is not {one['base']} in base units")
        figures.append(
            Told(
                name=one["name"],
                place=one["place"],
                derived=one["kind"] == "derived",
                line=one["line"],
                base=one["base"],
                per_unit=per_unit,
                u=one["u"] * per_unit,
                dof=math.inf if one["dof"] is None else one["dof"],
                k=one["k"],
                expanded=one["expanded"] * per_unit,
                method=one["method"],
            )
        )
    return figures


# --- Two ways of working, with one face ----------------------------------------------------------------------------------------------


class ByGtc:
    """Errors as uncertain numbers of GTC. An error that is asked for twice by the same name is the same error."""

    def __init__(self):
        self.errors = {}
        self.halves = {}

    def rectangular(self, name, half):
        if name not in self.errors:
            self.errors[name] = GTC.ureal(0.0, GTC.type_b.uniform(half))
            self.halves[name] = half
        return self.errors[name]

    def normal(self, name, u, dof=math.inf):
        if name not in self.errors:
            self.errors[name] = GTC.ureal(0.0, u, dof)
            self.halves[name] = math.inf
        return self.errors[name]

    @staticmethod
    def sqrt(x):
        return GTC.sqrt(x)

    def bound(self, result):
        """The most a result can be off: its errors' half-widths, each times its sensitivity."""
        total = 0.0
        for name, error in self.errors.items():
            u = GTC.uncertainty(error)
            part = abs(GTC.component(result, error)) if u > 0.0 else 0.0
            if part > 0.0:
                total += part / u * self.halves[name]
        return total


class ByUncertainties:
    """The same as variables of the package `uncertainties`, which knows no degrees of freedom."""

    def __init__(self):
        self.errors = {}

    def rectangular(self, name, half):
        return self.normal(name, half / math.sqrt(3.0))

    def normal(self, name, u, dof=math.inf):
        if name not in self.errors:
            self.errors[name] = uncertainties.ufloat(0.0, u)
        return self.errors[name]

    @staticmethod
    def sqrt(x):
        return uncertainties.umath.sqrt(x)


def coverage(dof):
    """The factor for 95.45 % by Student's distribution with a whole number of degrees."""
    if not dof < MANY:
        return 2.0
    # What is whole but for the noise of floating point is whole.
    whole = max(1, math.floor(dof * (1.0 + 1e-12)))
    return GTC.reporting.k_factor(whole, COVERED)


# --- What a job consists of ----------------------------------------------------------------------------------------------------------


@dataclass
class Tool:
    """A tool: declared with some facts, or only named by its kind."""

    name: str
    kind: str
    declared: bool = True
    reads_to: str | None = None
    good_to: str | None = None
    repeats_to: str | None = None
    zero: str | None = None
    at: str | None = None

    def is_known(self):
        """Whether its error is declared; a division says nothing of how good it is."""
        return bool(self.good_to or self.repeats_to)

    def usual(self, division):
        """What such a tool is good for either way, mm, by its division or, where that is not known, by the last digit."""
        usual, finer = USUAL[self.kind]
        return finer if 0.0 < division < 0.005 else usual

    def line(self, unit):
        facts = [self.kind]
        for words, fact in (("reads to", self.reads_to), ("good to", self.good_to), ("repeats to", self.repeats_to), ("zero", self.zero)):
            if fact:
                facts.append(f"{words} {fact} {unit}")
        if self.at:
            facts.append(f"at {self.at} C")
        return f"tool {self.name}: {', '.join(facts)}"


@dataclass
class Reading:
    """A reading: what is written of it, and what it may be off by."""

    feature: str
    figures: list[str]
    unit: str
    stage: str
    place: str | None = None
    tool: Tool | None = None
    doubt: str | None = None
    is_expanded: bool = False
    part_at: str | None = None
    material: str | None = None
    line: int = field(default=0, compare=False)

    def text(self):
        words = self.feature + (f" at {self.place}" if self.place else "") + " = " + " ".join(self.figures)
        if self.doubt:
            words += f" ± {self.doubt}"
        words += f" {self.unit}"
        if self.tool:
            words += f" by {self.tool.name}"
        if self.part_at:
            words += f" at {self.part_at} C, {self.material}"
        if self.is_expanded:
            words += ", k 2"
        return words

    def measured(self, way):
        """Value and errors, in mm, in one of the two ways of working."""
        mm = IN_MM[self.unit]
        values = [float(figure) * mm for figure in self.figures]
        length = math.fsum(values) / len(values)
        own = ("line", self.line)
        tool = self.tool
        last_digit = 10.0 ** -len(self.figures[0].partition(".")[2]) * mm
        division = float(tool.reads_to) * mm if tool and tool.reads_to else 0.0
        half_step = max(division, last_digit) / 2.0
        if self.doubt:
            half = float(self.doubt) * mm
            errors = way.normal((own, "stated"), half / 2.0) if self.is_expanded else way.rectangular((own, "stated"), half)
            return self.corrected(way, length, errors)
        if tool and not tool.is_known():
            errors = way.rectangular((own, "usual"), max(tool.usual(division or last_digit), half_step))
        else:
            errors = way.rectangular((own, "last digit"), half_step)
        if tool and tool.good_to:
            errors = errors + way.rectangular((tool.name, self.feature, "good to"), float(tool.good_to) * mm)
        many = len(values)
        declared = float(tool.repeats_to) * mm if tool and tool.repeats_to else None
        scatter, dof = 0.0, math.inf
        if many >= ENOUGH:
            # From the first of them on, so that nothing is lost in the digits they share.
            first = Decimal(self.figures[0])
            estimate = GTC.type_a.estimate([float(Decimal(figure) - first) * mm for figure in self.figures])
            scatter, dof = GTC.uncertainty(estimate), GTC.dof(estimate)
            if declared and declared / math.sqrt(many) >= scatter:
                scatter = 0.0
        elif many > 1:
            # Few repeats: pooled with what the tool scatters by itself, and only where they show more.
            exact = [Decimal(figure) for figure in self.figures]
            mean = sum(exact) / many
            deviation = math.sqrt(sum(float((figure - mean) * (figure - mean)) for figure in exact) / (many - 1)) * mm
            half = 0.0
            if tool:
                half = float(tool.good_to) * mm if tool.good_to else tool.usual(division or last_digit)
            tools_own = declared if declared is not None else max(half, half_step) / math.sqrt(3.0)
            if deviation > tools_own:
                dof = PRIOR + many - 1
                pooled = math.sqrt((PRIOR * tools_own**2 + (many - 1) * deviation**2) / dof)
                scatter = pooled / math.sqrt(many)
        if scatter > 0.0:
            errors = errors + way.normal((own, "scatter"), scatter, dof)
        elif declared:
            errors = errors + way.normal((own, "repeats to"), declared / math.sqrt(many))
        return self.corrected(way, length, errors)

    def corrected(self, way, length, errors):
        """With the tool's zero taken off, and brought to 20 °C where temperature and material are known."""
        mm, tool, own = IN_MM[self.unit], self.tool, ("line", self.line)
        if tool and tool.zero:
            length -= float(tool.zero) * mm
            if tool.reads_to:
                errors = errors - way.rectangular((tool.name, "zero"), float(tool.reads_to) * mm / 2.0)
        if not self.part_at:
            return length + errors
        expansion, spread = MATERIALS[self.material]
        warm = float(self.part_at) - 20.0 + way.rectangular((own, "part temperature"), PART_TEMPERATURE)
        grows = expansion + way.rectangular((self.material, self.feature, "expansion"), spread)
        part = float(self.part_at) - 20.0
        doubt = TOOL_TEMPERATURE
        if tool and tool.at:
            tool_warm = float(tool.at) - 20.0
        elif abs(part) <= SHOP:
            tool_warm = part
        else:
            tool_warm = math.copysign(max(2.0 * SHOP - abs(part), 0.0), part)
            doubt = HOT
        tool_warm = tool_warm + way.rectangular((own, "tool temperature"), doubt)
        return length / (1.0 + grows * warm) + STEEL * tool_warm * length + errors


# Each sum: as the manual writes it, how many features it takes, and how it is worked out of them.
SUMS = [
    ("a - b", 2, lambda way, a, b: a - b),
    ("a + b + c", 3, lambda way, a, b, c: a + b + c),
    ("a - 2 * b - c", 3, lambda way, a, b, c: a - 2.0 * b - c),
    ("3 * a - b / 4", 2, lambda way, a, b: 3.0 * a - b / 4.0),
    ("(a + b) / 2 - c", 3, lambda way, a, b, c: (a + b) / 2.0 - c),
    ("a * b", 2, lambda way, a, b: a * b),
    ("a / b", 2, lambda way, a, b: a / b),
    ("a * b / c", 3, lambda way, a, b, c: a * b / c),
    ("(a - b) / (a + b)", 2, lambda way, a, b: (a - b) / (a + b)),
    ("a ^ 2", 1, lambda way, a: a * a),
    ("a ^ 3 - b ^ 3", 2, lambda way, a, b: a * a * a - b * b * b),
    ("pi / 4 * a ^ 2 * b", 2, lambda way, a, b: math.pi / 4.0 * a * a * b),
    ("sqrt(a * b)", 2, lambda way, a, b: way.sqrt(a * b)),
    ("sqrt(a ^ 2 + b ^ 2)", 2, lambda way, a, b: way.sqrt(a * a + b * b)),
]
# Those over the places of one feature, the readings clearly apart and the largest first.
PLACES = ("top", "middle", "bottom")
OVER_PLACES = [
    ("mean(a)", 0, lambda way, top, middle, bottom: (top + middle + bottom) / 3.0),
    ("total(a)", 0, lambda way, top, middle, bottom: top + middle + bottom),
    ("spread(a)", 0, lambda way, top, middle, bottom: top - bottom),
    ("largest(a) - mean(a)", 0, lambda way, top, middle, bottom: top - (top + middle + bottom) / 3.0),
    ("mean(a) - b", 1, lambda way, top, middle, bottom, b: (top + middle + bottom) / 3.0 - b),
    ("smallest(a) * 2 + b", 1, lambda way, top, middle, bottom, b: bottom * 2.0 + b),
]
# One feature before and after.
WORN = ("a as found - a", lambda way, before, after: before - after)

NAMES = ("bore", "pin length", "shim", "journal", "housing width")


@dataclass
class Job:
    """A manual, a log, and what must come out."""

    unit: str
    tools: list[Tool]
    readings: list[Reading]
    sum: str
    takes: list[Reading]
    work: object

    def manual(self):
        lines = ["manual job", "source made for a comparison", f"units {self.unit}", ""]
        for name in dict.fromkeys(r.feature for r in self.readings):
            places = [r.place for r in self.readings if r.feature == name and r.place]
            lines.append(f"feature {name}" + (f" at {', '.join(dict.fromkeys(places))}" if places else ""))
            lines.append(f"  unit {self.unit}")
        return "\n".join([*lines, f"calc outcome = {self.sum}", ""])

    def log(self):
        """The text; every reading learns its line."""
        lines = ["job a comparison", "manual job", f"units {self.unit}"]
        lines += [tool.line(self.unit) for tool in self.tools if tool.declared]
        for date, stage in (("2026-03-14", "as found"), ("2026-03-20", "build")):
            of_stage = [r for r in self.readings if r.stage == stage]
            if of_stage:
                lines.append(f"{date} {stage}")
            for reading in of_stage:
                lines.append(reading.text())
                reading.line = len(lines)
        return "\n".join([*lines, ""])


def step_down(rng, decimals, most):
    """A small figure as it is written: a whole number of the last digit, never 0."""
    return f"{rng.randint(1, most) / 10**decimals:.{decimals}f}"


def make_tools(rng, unit):
    fine = 4 if unit == "in" else 3
    tools = []
    for number in range(3):
        tool = Tool(name=f"tool {'xyz'[number]}", kind=rng.choice(list(USUAL)))
        if rng.random() < 0.8:
            tool.reads_to = rng.choice(["0.01", "0.005", "0.001"] if unit == "mm" else ["0.001", "0.0005", "0.0001"])
        if rng.random() < 0.6:
            tool.good_to = step_down(rng, fine, 9)
        if rng.random() < 0.5:
            tool.repeats_to = step_down(rng, fine + 1, 30)
        if rng.random() < 0.4:
            tool.zero = rng.choice("+-") + step_down(rng, fine, 9)
        if rng.random() < 0.4:
            tool.at = str(rng.randint(12, 34))
        tools.append(tool)
    usual = rng.choice(list(USUAL))
    tools.append(Tool(name=usual, kind=usual, declared=False))
    return tools


def make_reading(rng, feature, size, unit, tools, stage="build", place=None, tool=None):
    """A reading of about `size` mm, in one of the ways to write it."""
    decimals = rng.choice((2, 3)) if unit == "mm" else rng.choice((3, 4))
    value = size / IN_MM[unit]
    reading = Reading(feature, [f"{value:.{decimals}f}"], unit, stage, place)
    way = rng.random()
    if tool is None and way < 0.10:
        return reading
    if tool is None and way < 0.25:
        reading.doubt = step_down(rng, decimals, 9)
        reading.is_expanded = rng.random() < 0.5
        return reading
    reading.tool = tool or rng.choice(tools)
    if rng.random() < 0.4:
        last = 10**-decimals
        reading.figures = [f"{value + rng.randint(-3, 3) * last:.{decimals}f}" for _ in range(rng.randint(2, 7))]
    if rng.random() < 0.35:
        reading.part_at = str(rng.randint(2, 60))
        reading.material = rng.choice(list(MATERIALS))
    return reading


def make_job(rng, number):
    unit = "in" if number % 5 == 4 else "mm"
    tools = make_tools(rng, unit)
    names = rng.sample(NAMES, 4)
    sizes = sorted((rng.uniform(12.0, 95.0) for _ in names), reverse=True)
    # Far enough apart that no difference is near 0.
    sizes = [size + 4.0 * (len(sizes) - place) for place, size in enumerate(sizes)]
    by_letter = dict(zip("abc", names))

    def spelled(text):
        words = text.replace("as found", "\0")
        words = "".join(by_letter[c] if c in by_letter and is_alone(words, at) else c for at, c in enumerate(words))
        return words.replace("\0", "as found")

    kind = number % 10
    if kind < 6:
        text, count, work = SUMS[number % len(SUMS)]
        readings = [make_reading(rng, name, size, unit, tools) for name, size in zip(names, sizes)]
        takes = readings[:count]
    elif kind < 8:
        text, count, work = OVER_PLACES[number // 10 % len(OVER_PLACES)]
        tool = rng.choice([t for t in tools if t.is_known()] or [None])
        readings = [
            make_reading(rng, names[0], sizes[0] + away, unit, tools, place=place, tool=tool)
            for place, away in zip(PLACES, (2.0, 1.2, 0.0))
        ]
        readings += [make_reading(rng, name, size, unit, tools) for name, size in list(zip(names, sizes))[1:3]]
        takes = readings[: 3 + count]
    else:
        text, work = WORN
        tool = rng.choice([t for t in tools if t.is_known()] or [None])
        readings = [
            make_reading(rng, names[0], sizes[0] + away, unit, tools, stage, tool=tool)
            for stage, away in (("as found", 0.6), ("build", 0.0))
        ]
        readings.append(make_reading(rng, names[1], sizes[1], unit, tools))
        takes = readings[:2]
    return Job(unit, tools, readings, spelled(text), takes, work)


def is_alone(text, at):
    """Whether the letter at this place is a word of its own."""
    around = text[at - 1 : at] + text[at + 1 : at + 2]
    return not any(c.isalnum() for c in around)


# --- The comparison ------------------------------------------------------------------------------------------------------------------


def near(a, b, scale=None):
    """Whether two figures agree to `CLOSE`, in parts of the larger, or of what they come from."""
    return a == b or abs(a - b) <= CLOSE * max(abs(a), abs(b), scale or 0.0)


def faults_of(one, by_gtc, by_uncertainties, way):
    """What the program says of a figure and GTC, or `uncertainties`, does not."""
    value, u = GTC.value(by_gtc), GTC.uncertainty(by_gtc)
    dof = GTC.dof(by_gtc) if u > 0.0 else math.inf
    k = coverage(dof)
    wanted = {
        "value": (one.base, value),
        "u": (one.u, u),
        "u by uncertainties": (one.u, by_uncertainties.std_dev),
        "degrees of freedom": (one.dof, dof),
        "k": (one.k if u > 0.0 else 0.0, k if u > 0.0 else 0.0),
        "U": (one.expanded, min(k * u, way.bound(by_gtc))),
    }
    faults = [f"{what}: {got!r}, not {want!r}" for what, (got, want) in wanted.items() if got is None or not near(got, want)]
    if one.method != "first-order":
        faults.append(f"worked out by {one.method}")
    return faults


def compare(job, known):
    """The faults in what the program says of a job, and how many figures were compared."""
    figures, faults, count = told(known), [], 0
    gtc, other = ByGtc(), ByUncertainties()
    expected = [
        (lambda f, r=r: not f.derived and f.line == r.line and f.name == r.feature, r.text(), r.measured(gtc), r.measured(other))
        for r in job.readings
    ]
    outcome = [job.work(way, *[r.measured(way) for r in job.takes]) for way in (gtc, other)]
    expected.append((lambda f: f.derived and f.name == "outcome", job.sum, *outcome))
    for is_it, words, by_gtc, by_uncertainties in expected:
        found = [f for f in figures if is_it(f)]
        if len(found) != 1:
            faults.append(f"{words}: told {len(found)} times")
            continue
        count += 1
        faults += [f"{words}: {fault}" for fault in faults_of(found[0], by_gtc, by_uncertainties, gtc)]
    if len(figures) != len(expected):
        faults.append(f"{len(figures)} figures told, {len(expected)} expected")
    return faults, count


def run(binary):
    rng = random.Random(SEED)
    bad, count = 0, 0
    for number in range(JOBS):
        job = make_job(rng, number)
        with tempfile.TemporaryDirectory() as folder:
            log = Path(folder, "job.rebuild")
            Path(folder, "job.manual").write_text(job.manual(), encoding="utf-8")
            log.write_text(job.log(), encoding="utf-8")
            done = subprocess.run([binary, "why", str(log), "--as", "json"], capture_output=True, text=True, encoding="utf-8", check=False)
        try:
            faults, compared = compare(job, json.loads(done.stdout))
        except (ValueError, KeyError) as error:
            faults, compared = [f"not to be read: {error!r}\n{done.stdout[:500]}{done.stderr[:500]}"], 0
        count += compared
        if faults:
            bad += 1
            print(f"--- job {number}", job.manual(), job.log(), *faults, sep="\n")
    print(f"{JOBS - bad} passed, {bad} failed ({count} figures compared with GTC {GTC.version} and uncertainties {uncertainties.__version__})")
    return bad == 0 and count >= 4 * JOBS


# --- The reference itself --------------------------------------------------------------------------------------------------------------


def selftest():
    """The reference on combinations whose results are known: the GUM's end gauge and worked budgets."""

    def same(what, got, wanted, allowed):
        if not abs(got - wanted) <= allowed:
            raise AssertionError(f"{what}: {got!r}, not {wanted!r} ± {allowed}")

    way = ByGtc()
    # JCGM 100:2008, 4.3.7: a/√3; 5 µm gives 2.886751 µm.
    same("rectangle", GTC.uncertainty(way.rectangular("r", 0.005)), 0.002886751, 5e-10)
    # Two independent readings, and two that share all of their error.
    clearance = 25.0210 + way.normal("bore", 0.0021) - (24.9850 + way.normal("pin", 0.0017))
    same("clearance", GTC.value(clearance), 0.0360, 1e-12)
    same("u of the clearance", GTC.uncertainty(clearance), 0.002701851, 1e-9)
    same("U of the clearance", coverage(GTC.dof(clearance)) * GTC.uncertainty(clearance), 0.005403702, 1e-9)
    shared = way.normal("shared", 1.0)
    same("one micrometer for both", GTC.uncertainty(0.0021 * shared - 0.0017 * shared), 0.0004, 1e-15)
    # A micrometer: permissible error, step, repeatability.
    budget = way.rectangular("good", 0.004) + way.rectangular("step", 0.0005) + way.normal("repeats", 0.0012)
    same("u of the micrometer", GTC.uncertainty(budget), 0.002618524, 1e-9)
    # The bound of two rectangles is the sum of their half-widths.
    same("bound", way.bound(2.0 * way.rectangular("good", 0.004) - way.rectangular("step", 0.0005)), 0.0085, 1e-15)
    # JCGM 100:2008, table G.2 (2.65 and 2.28 in print), by scipy.
    for dof, wanted in ((5, 2.648649430702703), (10.9, 2.28367820247793), (1000, 2.0), (math.inf, 2.0)):
        same(f"k for {dof}", coverage(dof), wanted, 1e-9)
    # JCGM 100:2008, H.1: 31.664 nm with 16.75 degrees of freedom.
    gauge = ByGtc()
    length = 50_000_623.0
    gauge_error = (
        gauge.normal("standard", 25.0, 18)
        + gauge.normal("mean", 5.8, 24)
        + gauge.normal("random", 3.9, 5)
        + gauge.normal("systematic", 6.7, 8)
        - length * (GTC.ureal(0.0, 1e-6 / math.sqrt(3.0), 50) * -0.1 + 11.5e-6 * GTC.ureal(0.0, 0.05 / math.sqrt(3.0), 2))
    )
    same("u of the end gauge", GTC.uncertainty(gauge_error), 31.664, 0.01)
    same("degrees of freedom of the end gauge", GTC.dof(gauge_error), 16.75, 0.01)
    # The two ways of working agree on every job, and no job comes out as nothing.
    rng = random.Random(SEED)
    seen = set()
    for number in range(JOBS):
        job = make_job(rng, number)
        job.log()
        results = [job.work(w, *[r.measured(w) for r in job.takes]) for w in (ByGtc(), ByUncertainties())]
        u, other = GTC.uncertainty(results[0]), results[1].std_dev
        if not (u > 0.0 and near(u, other) and near(GTC.value(results[0]), results[1].nominal_value)):
            raise AssertionError(f"job {number}: {u!r} and {other!r}\n{job.manual()}{job.log()}")
        seen.add(job.work)
        # A comparison must notice what is wrong: a thousandth more is a fault.
        value, dof = GTC.value(results[0]), GTC.dof(results[0])
        figure = Told("outcome", None, True, 1, value, 1.0, u * 1.001, dof, coverage(dof), 0.0, "first-order")
        if len(faults_of(figure, results[0], results[1], ByGtc())) < 2:
            raise AssertionError("a wrong figure was not noticed")
    missing = [text for text, *_, work in [*SUMS, *OVER_PLACES, WORN] if work not in seen]
    if missing:
        raise AssertionError(f"never made: {missing}")
    print(f"1 passed, 0 failed ({JOBS} jobs, {len(seen)} sums)")


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    if sys.argv[1] == "--selftest":
        selftest()
    elif not run(sys.argv[1]):
        sys.exit(1)
