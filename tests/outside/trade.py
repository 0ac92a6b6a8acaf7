"""The functions of the trade worked out again by others: `pressfit`, `scipy`, `sympy` and `pint`.

    python3 tests/outside/trade.py PATH_OF_GUDGEON

Every call is given to one run of `gudgeon reckon`, and each result is held against work that takes another way:

fits        every fit that pressfit knows, at every end of a range and inside every range
press fits  the two rings of a joint as a boundary-value problem for the displacement, by scipy's solve_bvp
kinematics  the piston as what a rod just reaches, by root finding; its top by minimizing; speeds by differences
run-out     a crank of two rigid halves in three dimensions under a dial: the faults that were put in are to come out
bolts       the formulas of ISO 724, ISO 898-1, ISO 16047 and VDI 2230 in sympy, and rows of published tables
amounts     mixtures, leaks, gas at one volume, swept volumes and heat as pint's quantities
refusals    what is no joint, no engine and no test is to be refused, and nothing may come to NaN or inf

Exit codes: 0 all agree, 1 some do not, 2 the program's answer cannot be read. A package that is missing ends the run with a failure.
"""

import json
import math
import random
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import numpy
import pint
import pressfit
import pressfit.tables
import sympy
from scipy.integrate import solve_bvp
from scipy.optimize import brentq, minimize_scalar
from scipy.spatial.transform import Rotation

SEED = 2286
JOINTS = 150
SLIDERS = 120
CRANKS = 200
BOLTS = 80
AMOUNTS = 60
# What two ways of working may differ by, in parts of the figure: formulas alone, and where one is found by steps.
CLOSE = 1e-10
SOLVED = 1e-8
# The same for a piston and its angle, mm and degrees.
PISTON = 1e-9
ANGLE = 1e-8

# How the program shows a unit, and what that is in pint.
SHOWN = {
    "": "dimensionless",
    "%": "percent",
    "mm": "mm",
    "mm²": "mm**2",
    "cm³": "cm**3",
    "°": "degree",
    "s": "s",
    "m/s": "m/s",
    "m/s²": "m/s**2",
    "kN": "kN",
    "N·m": "N*m",
    "MPa": "MPa",
    "kPa": "kPa",
    "mbar·L/s": "mbar*L/s",
    "cc/min": "cm**3/minute",
    "L/min": "L/minute",
    "°C": "degC",
}

UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def text(value):
    """A figure as it is written in a call: never with an exponent."""
    return format(Decimal(repr(value)), "f")


def factor(cache, shown, wanted):
    """How many of the wanted unit make one of the shown; pint says so where the two differ."""
    if (shown, wanted) not in cache:
        cache[shown, wanted] = 1.0 if SHOWN[shown] == wanted else UNITS.Quantity(1.0, SHOWN[shown]).to(wanted).magnitude
    return cache[shown, wanted]


class Asked:
    """All calls, with what each is to come to."""

    def __init__(self):
        self.rows = []

    def figure(self, group, call, expected, unit, *, relative=CLOSE, absolute=0.0):
        """A call and what it comes to, in a unit of pint's."""
        if not math.isfinite(expected):
            raise ValueError(f"{call}: nothing to hold it against")
        self.rows.append((group, call, (float(expected), unit, max(absolute, relative * abs(expected)))))

    def exactly(self, group, call, expected):
        """A call that comes to this many mm, to the last digit."""
        self.rows.append((group, call, expected))

    def refused(self, call):
        self.rows.append(("refusals", call, None))


# --- Fits ----------------------------------------------------------------------------------------------------------------------------


def fits(asked):
    """Every hole, every shaft: at each end of a range and in its middle; just above an end with one hole."""
    ends = {float(end) for end in pressfit.tables.IT_BANDS}
    for rows in pressfit.tables.DEV_SUBBAND.values():
        ends |= {float(end) for end, _ in rows}
    ends = [1.0, *sorted(ends)]
    inside = [round((low + high) / 2, 2) for low, high in zip(ends, ends[1:])]
    above = [round(end + 0.001, 3) for end in ends if end < 500.0]
    shafts = [f"{letter}{grade}" for letter in pressfit.tables.SHAFT_LETTERS for grade in pressfit.tables.GRADES]
    sizes = [(size, pressfit.tables.GRADES) for size in [*ends, *inside]] + [(size, [7]) for size in above]
    for size, holes in sizes:
        for number, shaft in enumerate(shafts):
            # The least clearance has nothing of the hole's grade in it: it is asked with one of them, each in its turn.
            asked_least = holes[number % len(holes)]
            for hole in holes:
                # pressfit works in µm, halves for js.
                least, greatest = (Decimal(str(um)) / 1000 for um in pressfit.fit(f"H{hole}/{shaft}", size).clearance_um)
                code = f"{size:g} H{hole}/{shaft}"
                asked.exactly("fits", f"greatest clearance({code})", greatest)
                if hole == asked_least:
                    asked.exactly("fits", f"least clearance({code})", least)


# --- Press fits ----------------------------------------------------------------------------------------------------------------------

# Modulus in N/mm² and Poisson's ratio, as in src/trade/materials.rs.
ELASTIC = {
    "steel": (207_000.0, 0.29),
    "cast iron": (110_000.0, 0.26),
    "aluminium": (71_000.0, 0.33),
    "bronze": (105_000.0, 0.34),
    "magnesium": (45_000.0, 0.35),
    "titanium": (110_000.0, 0.34),
}


def rings(outside, hole, hub, shaft):
    """Stresses of two rings forced together by a unit of radial interference, with a unit of contact radius: u'' + u'/r - u/r² = 0 in both.

    Gives radial and hoop stress at the bore of the outer ring, and hoop stress where the inner is stressed most. The unknowns of a ring with a hole are
    u and u'. Of a solid one they are u/r and u', with the centre a singular point of the first kind: there u is 0, and the two are equal.
    """
    solid = hole == 0.0

    def stresses(material, hoop_strain, radial_strain):
        modulus, poisson = material
        plane = modulus / (1.0 - poisson**2)
        return plane * (radial_strain + poisson * hoop_strain), plane * (hoop_strain + poisson * radial_strain)

    def right_side(x, y):
        r = 1.0 + (outside - 1.0) * x
        slopes = [(outside - 1.0) * y[1], (outside - 1.0) * (-y[1] / r + y[0] / r**2)]
        if solid:
            # All of it is in the singular term.
            return numpy.vstack([*slopes, 0.0 * x, 0.0 * x])
        r = hole + (1.0 - hole) * x
        return numpy.vstack([*slopes, (1.0 - hole) * y[3], (1.0 - hole) * (-y[3] / r + y[2] / r**2)])

    def ends(inner, outer):
        at_bore, _ = stresses(hub, inner[0], inner[1])
        at_outside, _ = stresses(hub, outer[0] / outside, outer[1])
        # At the contact the radius is 1: u and u/r are one.
        of_shaft, _ = stresses(shaft, outer[2], outer[3])
        in_hole = inner[2] - inner[3] if solid else stresses(shaft, inner[2] / hole, inner[3])[0] / shaft[0]
        return numpy.array([at_outside / hub[0], in_hole, (at_bore - of_shaft) / hub[0], inner[0] - outer[2] - 1.0])

    singular = None
    if solid:
        # (u/r)' = (u' - u/r)/r, and u'' = -(u' - u/r)/r.
        singular = numpy.zeros((4, 4))
        singular[2:, 2:] = [[-1.0, 1.0], [1.0, -1.0]]
    mesh = numpy.linspace(0.0, 1.0, 41)
    found = solve_bvp(right_side, ends, mesh, numpy.ones((4, mesh.size)), S=singular, tol=1e-10, max_nodes=20_000)
    if not found.success:
        raise ValueError(f"{outside}, {hole}: {found.message}")
    inner, outer = found.y[:, 0], found.y[:, -1]
    radial, hoop = stresses(hub, inner[0], inner[1])
    strains = (outer[2], outer[3]) if solid else (inner[2] / hole, inner[3])
    return radial, hoop, stresses(shaft, *strains)[1]


def press_fits(asked, rng):
    names = list(ELASTIC)
    for number in range(JOINTS):
        diameter = round(rng.uniform(6.0, 120.0), 2)
        outside = round(diameter * rng.uniform(1.15, 4.0), 2)
        hole = round(diameter * rng.uniform(0.1, 0.9), 2) if number % 2 else 0.0
        interference = round(diameter * rng.uniform(0.0003, 0.004), 4)
        length, friction = round(rng.uniform(5.0, 80.0), 1), round(rng.uniform(0.05, 0.3), 3)
        hub, shaft = rng.choice(names), rng.choice(names)
        radial, hoop, inner = rings(outside / (diameter / 2) / 2, hole / diameter, ELASTIC[hub], ELASTIC[shaft])
        # Interference of the radii by the radius at the contact is the same share as that of the diameters.
        radial, hoop, inner = (stress * interference / diameter for stress in (radial, hoop, inner))
        mises = math.sqrt(radial**2 - radial * hoop + hoop**2)
        force = -radial * math.pi * diameter * length * friction
        rest = (f", hole = {text(hole)} mm" if hole else "") + f", hub = {hub}, shaft = {shaft})"
        joint = f"({text(interference)} mm, diameter = {text(diameter)} mm, outside = {text(outside)} mm"
        moved = f"{joint}, length = {text(length)} mm, friction = {text(friction)}{rest}"
        for name, stress in (("contact pressure", -radial), ("hub hoop stress", hoop), ("hub stress", mises), ("shaft hoop stress", inner)):
            asked.figure("press fits", f"{name}{joint}{rest}", stress, "MPa", relative=SOLVED)
        asked.figure("press fits", f"press force{moved}", force / 1000, "kN", relative=SOLVED)
        asked.figure("press fits", f"grip torque{moved}", force * diameter / 2 / 1000, "N*m", relative=SOLVED)


# --- Kinematics ----------------------------------------------------------------------------------------------------------------------


class Piston:
    """A piston that stands where its rod just reaches from the crankpin to the line of the bore. mm and rad.

    The crank's angle is from the bore's direction, growing towards +x; the bore is the line x = offset.
    """

    def __init__(self, stroke, rod, offset=0.0):
        self.throw, self.rod, self.offset = stroke / 2, rod, offset
        self.top = self.turning_point(0.0, -1.0)
        self.bottom = self.turning_point(math.pi, 1.0)
        self.highest = self.height(self.top)
        self.stroke = self.highest - self.height(self.bottom)

    def height(self, angle):
        x, y = self.throw * math.sin(angle), self.throw * math.cos(angle)
        return brentq(lambda height: math.hypot(self.offset - x, height - y) - self.rod, y, y + 1.01 * self.rod, xtol=1e-13, rtol=1e-15)

    def slope(self, angle, step=2e-3):
        """How fast the height grows with the angle, from four heights beside it."""
        far = self.height(angle + 2 * step) - self.height(angle - 2 * step)
        near = self.height(angle + step) - self.height(angle - step)
        return (8 * near - far) / (12 * step)

    def curve(self, angle, step=1e-2):
        """How fast the slope grows with the angle."""
        far = self.height(angle + 2 * step) + self.height(angle - 2 * step)
        near = self.height(angle + step) + self.height(angle - step)
        return (16 * near - far - 30 * self.height(angle)) / (12 * step**2)

    def turning_point(self, about, sign):
        """Where the piston stands highest or lowest: by minimizing, which finds an angle to half its digits, and then to all of them by the slope."""
        bounds = (about - 0.7, about + 0.7)
        found = minimize_scalar(lambda angle: sign * self.height(angle), bounds=bounds, method="bounded", options={"xatol": 1e-9})
        return brentq(self.slope, found.x - 1e-3, found.x + 1e-3, xtol=1e-13)

    def drop(self, past):
        return self.highest - self.height(self.top + past)

    def past(self, drop):
        """How far past the top it stands so far down."""
        return brentq(lambda angle: self.drop(angle) - drop, 0.0, self.bottom - self.top, xtol=1e-13)

    def before(self, drop):
        return brentq(lambda angle: self.drop(-angle) - drop, 0.0, 2 * math.pi - (self.bottom - self.top), xtol=1e-13)

    def duration(self, height):
        return 2 * math.pi - self.past(height) - self.before(height)

    def port(self, duration):
        return brentq(lambda height: self.duration(height) - duration, 1e-4 * self.stroke, 0.9999 * self.stroke, xtol=1e-11)


def kinematics(asked, rng):
    for number in range(SLIDERS):
        stroke = round(rng.uniform(30.0, 95.0), 1)
        rod = round(stroke * rng.uniform(1.3, 2.5) if number % 4 else stroke * rng.uniform(1.15, 3.3), 1)
        offset = round(rng.choice([-1, 1]) * rng.uniform(0.2, 5.0), 2) if number % 2 else 0.0
        piston = Piston(stroke, rod, offset)
        of = f"stroke = {text(stroke)} mm, rod = {text(rod)} mm" + (f", offset = {text(offset)} mm" if offset else "")

        def length(call, expected):
            asked.figure("kinematics", call, expected, "mm", relative=0.0, absolute=PISTON)

        def angle(call, expected):
            asked.figure("kinematics", call, math.degrees(expected), "degree", relative=0.0, absolute=ANGLE)

        past = round(rng.uniform(-200.0, 200.0), 2)
        length(f"piston drop({text(past)} deg, {of})", piston.drop(math.radians(past)))
        drop = round(piston.stroke * rng.uniform(0.02, 0.98), 3)
        angle(f"crank angle({text(drop)} mm, {of})", piston.past(drop))
        # The dial's stylus lies on a flat crown: along its own line it goes as far as the crown cuts that line lower down.
        slant = round(rng.uniform(5.0, 35.0), 1) if number % 3 else 0.0
        dial = f", dial angle = {text(slant)} deg" if slant else ""
        reading = round(rng.uniform(0.5, 5.0), 3)
        angle(f"ignition angle({text(reading)} mm, {of}{dial})", piston.before(reading * math.cos(math.radians(slant))))
        before = round(rng.uniform(5.0, 40.0), 2)
        length(f"ignition drop({text(before)} deg, {of}{dial})", piston.drop(-math.radians(before)) / math.cos(math.radians(slant)))
        angle(f"port duration({text(drop)} mm, {of})", piston.duration(drop))
        duration = round(rng.uniform(90.0, 230.0), 1)
        length(f"port height({text(duration)} deg, {of})", piston.port(math.radians(duration)))
        exhaust = round(piston.stroke * rng.uniform(0.4, 0.6), 2)
        transfer = round(piston.stroke * rng.uniform(0.65, 0.9), 2)
        # The exhaust opens before the transfers by what the crank turns between the two on the piston's way down.
        angle(f"port blowdown({text(exhaust)} mm, {text(transfer)} mm, {of})", piston.past(transfer) - piston.past(exhaust))
        if offset:
            continue
        rpm = rng.randrange(1000, 14_000, 50)
        omega = 2 * math.pi * rpm / 60
        found = minimize_scalar(piston.slope, bounds=(0.2, math.pi - 0.2), method="bounded", options={"xatol": 1e-9})
        call = f"({text(stroke)} mm, rod = {text(rod)} mm, speed = {rpm} rpm)"
        asked.figure("kinematics", f"greatest piston speed{call}", -found.fun * omega / 1000, "m/s", relative=SOLVED)
        # Where it is turned round hardest, at whatever angle.
        hardest = max(abs(piston.curve(math.radians(degree))) for degree in range(0, 360, 10))
        asked.figure("kinematics", f"piston acceleration{call}", hardest * omega**2 / 1000, "m/s**2", relative=SOLVED)


# --- Run-out -------------------------------------------------------------------------------------------------------------------------


class Crank:
    """Two rigid halves on one pin. mm and rad.

    The left half lies with its main axis on z, its end at z below 0, and its pin on x at the throw. The right half is first the left's mirror image,
    with its own throw, and is then turned about the pin and tilted about the pin's middle. Both are looked at as they lie; turning comes later.
    """

    def __init__(self, throw, supports, dials, radius, twist, spread, kink, longer):
        self.supports, self.dials, self.radius = supports, dials, radius
        self.pin = numpy.array([throw, 0.0, 0.0])
        self.right_throw = throw + longer
        # Twist above nothing moves the right main axis, which lies on -x of the pin, towards +y.
        self.twisted = Rotation.from_euler("z", -twist)
        # The end of the right axis, on +z, goes towards +x by the spread and towards +y by the kink.
        self.tilted = Rotation.from_rotvec([-kink, spread, 0.0])
        self.ends = [self.axis(side, at) for side, at in zip((-1, 1), supports)]
        along = self.ends[1] - self.ends[0]
        self.line = along / numpy.linalg.norm(along)
        towards_pin = self.pin - self.ends[0]
        towards_pin -= self.line * (self.line @ towards_pin)
        self.at_pin = towards_pin / numpy.linalg.norm(towards_pin)

    def axis(self, side, at):
        """The middle of a journal, so far from the middle of the pin along its shaft."""
        if side < 0:
            return numpy.array([0.0, 0.0, -at])
        return self.pin + self.tilted.apply(self.twisted.apply([-self.right_throw, 0.0, at]))

    def run_out(self, side):
        """Swing of a dial over a turn, and the angle of the crank under it where it reads highest, in degrees from the pin."""
        at = self.dials[0 if side < 0 else 1]
        middle = self.axis(side, at)
        tangent = self.axis(side, at + 1.0) - middle
        # Where the dial stands along the line the crank turns about; its ray goes out from there, at right angles to that line.
        stand = self.ends[0] + self.line * (self.line @ (middle - self.ends[0]))

        def reading(angle):
            """How far out the ray leaves the journal when the crank has been turned back by an angle, which then lies under the dial."""
            turn = Rotation.from_rotvec(-self.line * angle)
            foot = turn.apply(middle - stand)
            way = turn.apply(tangent)
            # The ray t·e meets the cylinder round `foot` along `way`: what of t·e - foot is across `way` is as long as the radius.
            across = self.at_pin - way * (way @ self.at_pin)
            off = foot - way * (way @ foot)
            a, b, c = across @ across, across @ off, off @ off - self.radius**2
            return (b + math.sqrt(b * b - a * c)) / a

        step = 2 * math.pi / 36
        angles = [number * step for number in range(36)]
        coarse = [reading(angle) for angle in angles]

        def extreme(sign):
            about = angles[coarse.index(max(coarse, key=lambda value: sign * value))]
            bounds = (about - step, about + step)
            found = minimize_scalar(lambda angle: -sign * reading(angle), bounds=bounds, method="bounded", options={"xatol": 1e-9})
            return found.x, reading(found.x)

        (high, most), (_, least) = extreme(1), extreme(-1)
        return most - least, (math.degrees(high) + 180.0) % 360.0 - 180.0


# Worked before, by another such model: throw, supports, dials, radius, twist, spread, kink, how far the right main axis is moved towards +x (which is
# to the pin: its throw is so much shorter), and the swing in mm at an angle in degrees, left and right.
WORKED = [
    (27.0, (75, 75), (35, 35), 12.5, 0.001, 0.0, 0.0, 0.0, (0.014400, -90.000), (0.014400, 90.000)),
    (27.0, (75, 75), (35, 35), 12.5, 0.0, 0.001, 0.0, 0.0, (0.040000, 180.000), (0.040000, 180.000)),
    (27.0, (75, 75), (35, 35), 12.5, 0.001, -0.0008, 0.0, 0.0, (0.035085, -24.207), (0.035098, 24.255)),
    (27.0, (35, 38), (85, 70), 10.0, -0.0012, 0.0006, 0.0, 0.0, (0.054279, -54.870), (0.033836, 57.036)),
    (27.0, (35, 35), (85, 85), 10.0, 0.0, -0.0006, 0.0, 0.0, (0.030000, 180.000), (0.030000, 180.000)),
    (21.5, (70, 60), (30, 28), 10.0, 0.0009, 0.0005, -0.0003, 0.010, (0.024634, -178.081), (0.023362, 121.782)),
]


def crank(asked, throw, supports, dials, radius, twist, spread, kink, longer):
    """Asks for the four faults of a crank, from what the dials on it say."""
    model = Crank(throw, supports, dials, radius, twist, spread, kink, longer)
    left, right = model.run_out(-1), model.run_out(1)
    read = ", ".join(f"{swing:.9f} mm, {high:.7f} deg" for swing, high in (left, right))
    stands = zip(("left support", "right support", "left dial", "right dial"), (*supports, *dials))
    places = ", ".join(f"{name} = {text(at)} mm" for name, at in stands)
    call = f"({read}, throw = {text(throw)} mm, {places})"
    # The halves are taken apart by formulas of the first order. They leave out what is a fault, as an angle, times how far a fault moves the supports.
    worst = max(abs(twist), math.hypot(spread, kink), abs(longer) / throw)
    second = worst * (math.hypot(throw * twist, longer) + max(supports) * math.hypot(spread, kink))
    bends, turns = 2 * second / sum(supports), second / throw
    for name, put, left_out in (("web twist", twist, turns), ("web spread", spread, bends), ("crank kink", kink, bends)):
        asked.figure("run-out", name + call, put, "radian", relative=0.0, absolute=max(0.01 * abs(put), 1e-6) + left_out)
    # The program tells how much shorter the right throw is.
    asked.figure("run-out", "unequal throw" + call, -longer, "mm", relative=0.0, absolute=max(0.01 * abs(longer), 0.05e-3) + second)
    return left, right


def run_out(asked, rng):
    """Gives what is wrong with the model itself, held against the worked cases."""
    wrong = []
    for *case, to_pin, left, right in WORKED:
        told = crank(asked, *case, -to_pin)
        for (swing, high), (own, at) in zip((left, right), told):
            if abs(own - swing) > 1e-6 or abs((at - high + 180.0) % 360.0 - 180.0) > 1e-3:
                wrong.append(f"run-out of the worked case {case}: {own:.7f} mm at {at:.4f}° here, {swing} at {high}° there")
    for number in range(CRANKS):
        throw = round(rng.uniform(18.0, 45.0), 2)
        supports = tuple(round(rng.uniform(35.0, 90.0), 1) for _ in range(2))
        away = [round(rng.uniform(18.0, 45.0), 1) for _ in range(2)]
        # Dials between the supports and the webs, or beyond the supports; on some cranks one of each.
        inboard = [(True, True), (False, False), (True, False), (False, True)][number % 4]
        dials = tuple(round(max(s - by, 12.0) if inner else s + by, 1) for s, by, inner in zip(supports, away, inboard))
        twist, spread, kink = (round(rng.uniform(-0.0012, 0.0012), 7) for _ in range(3))
        longer = round(rng.uniform(-0.03, 0.03), 5)
        if number % 5 == 0:
            # One fault alone.
            alone = rng.randrange(4)
            twist, spread, kink, longer = (fault if place == alone else 0.0 for place, fault in enumerate((twist, spread, kink, longer)))
        crank(asked, throw, supports, dials, round(rng.uniform(8.0, 20.0), 1), twist, spread, kink, longer)
    return wrong


# --- Bolts ---------------------------------------------------------------------------------------------------------------------------

# Coarse pitches of ISO 261, and some fine ones.
COARSE = {3: 0.5, 4: 0.7, 5: 0.8, 6: 1, 7: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3}
FINE = [(8, 1), (10, 1.25), (10, 1), (12, 1.25), (12, 1.5), (14, 1.5), (16, 1.5), (18, 1.5), (20, 2), (26, 1.5), (30, 2)]
# Proof stress, tensile strength and yield point in N/mm², up to M16 and above: ISO 898-1:2013.
CLASSES = {
    "4.8": ((310, 420, 340), (310, 420, 340)),
    "5.8": ((380, 520, 420), (380, 520, 420)),
    "8.8": ((580, 800, 640), (600, 830, 660)),
    "10.9": ((830, 1040, 940), (830, 1040, 940)),
    "12.9": ((970, 1220, 1100), (970, 1220, 1100)),
}
# Least bearing diameter and hole under a plain hexagon head.
HEADS = {6: (8.88, 6.6), 8: (11.63, 9.0), 10: (14.63, 11.0), 12: (16.63, 13.5)}
# Published: stress area in mm² (ISO 898-1), and preload in kN and torque in N·m at 90 % of the yield point (VDI 2230, edition of 2001).
AREAS = {"M5": 14.2, "M6": 20.1, "M7": 28.9, "M8": 36.6, "M10": 58.0, "M12": 84.3}
PRELOADS = [
    ("M8x1", "0.10", ((20.7, 22.8), (30.4, 33.5), (35.6, 39.2))),
    ("M8x1", "0.12", ((20.2, 26.1), (29.7, 38.3), (34.7, 44.9))),
    ("M8x1", "0.14", ((19.7, 29.2), (28.9, 42.8), (33.9, 50.1))),
    ("M10x1.25", "0.10", ((32.4, 44), (47.5, 65), (55.6, 76))),
    ("M10x1.25", "0.12", ((31.6, 51), (46.4, 75), (54.3, 87))),
    ("M10x1.25", "0.14", ((30.8, 57), (45.2, 83), (52.9, 98))),
    ("M12x1.25", "0.12", ((48.0, 90), (70.5, 133), (82.5, 155))),
]


def exact(value):
    """The written decimal as a fraction."""
    return sympy.Rational(text(value))


class Bolt:
    """A metric thread in exact numbers, mm."""

    def __init__(self, diameter, pitch):
        self.diameter, self.pitch = exact(diameter), exact(pitch)
        height = sympy.sqrt(3) / 2 * self.pitch
        self.flank = self.diameter - 2 * sympy.Rational(3, 8) * height
        # The basic minor diameter less a sixth of the height.
        self.root = self.diameter - 2 * sympy.Rational(5, 8) * height - height / 6
        self.stressed = (self.flank + self.root) / 2
        self.area = sympy.pi / 4 * self.stressed**2

    def arm(self, thread, under_head, head):
        """Torque for one newton: the thread as a wedge, half its angle 30°, and a ring under the head."""
        return self.pitch / (2 * sympy.pi) + thread * self.flank / (2 * sympy.cos(sympy.pi / 6)) + under_head * head / 2

    def preload(self, stress, thread, share):
        """Preload at which tension and torsion of a bar of the stressed diameter, yielding whole, make a share of the yield point by von Mises."""
        force = sympy.Symbol("force", positive=True)
        tension = force / self.area
        torque = force * self.flank / 2 * (self.pitch / (sympy.pi * self.flank) + thread / sympy.cos(sympy.pi / 6))
        shear = torque / (sympy.pi * self.stressed**3 / 12)
        # Both go with the force.
        together = sympy.sqrt(tension**2 + 3 * shear**2).subs(force, 1)
        return share * stress / together


def worked(expression):
    return float(sympy.N(expression, 20))


def bolts(asked, rng):
    for count in range(BOLTS):
        diameter, pitch = rng.choice(list(COARSE.items()) if count % 2 else FINE)
        thread = f"M{diameter}" if count % 2 else f"M{diameter}x{pitch:g}"
        bolt = Bolt(diameter, float(pitch))
        grade = rng.choice(list(CLASSES))
        proof, tensile, yields = CLASSES[grade][0 if diameter <= 16 else 1]
        friction, under = round(rng.uniform(0.06, 0.25), 3), round(rng.uniform(0.06, 0.25), 3)
        share = round(rng.uniform(0.5, 1.0), 2)
        if diameter in HEADS and count % 4 < 2:
            head = sum(map(exact, HEADS[diameter])) / 2
            ring = ""
        else:
            own = round(diameter * rng.uniform(1.2, 1.6), 1)
            head = exact(own)
            ring = f", head diameter = {text(own)} mm"
        both = f"friction = {text(friction)}, head friction = {text(under)}{ring}"
        arm = bolt.arm(exact(friction), exact(under), head)

        def ask(call, expected, unit):
            asked.figure("bolts", call, worked(expected), unit)

        ask(f"stress area({thread})", bolt.area, "mm**2")
        ask(f"flank diameter({thread})", bolt.flank, "mm")
        ask(f"root diameter({thread})", bolt.root, "mm")
        ask(f"proof load({thread}, {grade})", proof * bolt.area / 1000, "kN")
        ask(f"breaking load({thread}, {grade})", tensile * bolt.area / 1000, "kN")
        torque, force = round(rng.uniform(2.0, 300.0), 1), round(rng.uniform(1.0, 90.0), 2)
        ask(f"bolt preload({text(torque)} N·m, {thread}, {both})", exact(torque) / arm, "kN")
        ask(f"bolt torque({text(force)} kN, {thread}, {both})", exact(force) * arm, "N*m")
        preload = bolt.preload(yields, exact(friction), exact(share)) / 1000
        ask(f"class preload({thread}, {grade}, friction = {text(friction)}, share = {text(share)})", preload, "kN")
        same = bolt.arm(exact(friction), exact(friction), head)
        ask(f"class torque({thread}, {grade}, friction = {text(friction)}, share = {text(share)}{ring})", preload * same, "N*m")
    for thread, area in AREAS.items():
        asked.figure("bolts", f"stress area({thread})", area, "mm**2", relative=0.0, absolute=0.05)
    for thread, friction, rows in PRELOADS:
        for grade, (preload, torque) in zip(("8.8", "10.9", "12.9"), rows):
            asked.figure("bolts", f"class preload({thread}, {grade}, friction = {friction})", preload, "kN", relative=0.003)
            asked.figure("bolts", f"class torque({thread}, {grade}, friction = {friction})", torque, "N*m", relative=0.01, absolute=0.5)


# --- Amounts -------------------------------------------------------------------------------------------------------------------------

VOLUMES = {"cc": "cm**3", "L": "L", "in³": "inch**3", "usgal": "gallon", "impgal": "imperial_gallon"}
PRESSURES = {"kPa": "kPa", "bar": "bar", "psi": "psi", "mbar": "mbar", "inHg": "inch_Hg", "mmHg": "mm_Hg"}
TIMES = {"s": "s", "min": "minute", "h": "hour"}
WARMTH = {"°C": "degC", "°F": "degF"}
EXPANSION = {"steel": 11.5e-6, "cast iron": 10.8e-6, "aluminium": 23.0e-6, "bronze": 17.5e-6, "magnesium": 26.0e-6, "titanium": 8.8e-6}
# Oil for fuel: volume, ratio and cm³ as tables on the can have it.
CANS = [("1 usgal", 50, 75.708236), ("1 impgal", 25, 181.8436), ("5 L", 32, 156.25), ("5 L", 40, 125.0), ("1 L", 16, 62.5)]


def amounts(asked, rng):
    quantity = UNITS.Quantity

    def some(units, low, high, digits=4, base=None):
        """A random quantity, and how it is written; `low` and `high` are in `base`."""
        shown, name = rng.choice(list(units.items()))
        value = rng.uniform(low, high)
        value = round(quantity(value, base).to(name).magnitude if base else value, digits)
        return quantity(value, name), f"{text(value)} {shown}"

    def ask(call, expected, unit):
        asked.figure("amounts", call, expected.to(unit).magnitude, unit)

    for _ in range(AMOUNTS):
        volume, volume_text = some(VOLUMES, 100.0, 20_000.0, base="cm**3")
        lean, rich = rng.randint(33, 100), rng.randint(12, 32)
        ask(f"premix oil({volume_text}, {lean}:1)", volume / lean, "cm**3")
        # Of so many parts and one more, one is oil.
        ask(f"oil in mixture({volume_text}, {lean}:1)", volume * (1 - lean / (lean + 1)), "cm**3")
        # The oil that is there and what is added are together the fuel's share.
        oil = volume / (lean + 1)
        ask(f"oil to add({volume_text}, from = {lean}:1, to = {rich}:1)", (volume - oil) / rich - oil, "cm**3")

        sign = rng.choice([1, -1])
        before, before_text = some(PRESSURES, 20.0, 80.0, base="kPa")
        after, after_text = some(PRESSURES, 0.5 * before.to("kPa").magnitude, 0.98 * before.to("kPa").magnitude, base="kPa")
        if sign < 0:
            before_text, after_text = f"-{before_text}", f"-{after_text}"
        time, time_text = some(TIMES, 20.0, 4000.0, base="s")
        air, air_text = some(PRESSURES, 85.0, 105.0, base="kPa")
        lost = f"{volume_text}, {before_text}, {after_text}, {time_text}"
        ask(f"leak throughput({lost})", volume * (before - after) / time, "mbar*L/s")
        ask(f"leak flow({lost}, air = {air_text} abs)", volume * (before - after) / time / air, "cm**3/minute")
        ask(f"leak flow({lost})", volume * (before - after) / time / quantity(1, "standard_atmosphere"), "cm**3/minute")
        ask(f"share lost({before_text}, {after_text})", ((before - after) / before).to_base_units(), "percent")
        ratio = (before / after).to_base_units().magnitude
        ask(f"decay time({before_text}, {after_text}, {time_text})", time / math.log(ratio), "s")
        if sign > 0:
            ask(f"leak-down({before_text}, {after_text})", ((before - after) / before).to_base_units(), "percent")

        absolute, absolute_text = some(PRESSURES, 60.0, 250.0, base="kPa")
        later, later_text = some(PRESSURES, 50.0, absolute.to("kPa").magnitude, base="kPa")
        (warm, warm_text), (cold, cold_text) = some(WARMTH, 15.0, 60.0, 1, "degC"), some(WARMTH, -10.0, 14.0, 1, "degC")
        # So much gas stays so much: n = p·V / (R·T) before and after.
        amount = absolute * volume / (quantity(1, "molar_gas_constant") * warm.to("kelvin"))
        cooled = amount * quantity(1, "molar_gas_constant") * cold.to("kelvin") / volume
        ask(f"drop by cooling({absolute_text} abs, {warm_text}, {cold_text})", absolute - cooled, "kPa")
        leaked = cooled - later
        asked.figure(
            "amounts",
            f"drop by leaking({absolute_text} abs, {later_text} abs, {warm_text}, {cold_text})",
            leaked.to("kPa").magnitude,
            "kPa",
            # A difference of two like figures.
            absolute=CLOSE * absolute.to("kPa").magnitude,
        )

        lengths = {"mm": "mm", "in": "inch"}
        (bore, bore_text), (stroke, stroke_text) = (some(lengths, 35.0, 100.0, base="mm") for _ in range(2))
        cylinders = rng.randint(1, 8)
        swept = math.pi * (bore / 2) ** 2 * stroke
        ask(f"displacement({bore_text}, {stroke_text}, cylinders = {cylinders})", swept * cylinders, "cm**3")
        chamber, chamber_text = some({"cc": "cm**3", "in³": "inch**3"}, 3.0, 25.0, base="cm**3")
        of = f"{text(round(swept.to('cm**3').magnitude, 3))} cc"
        whole = quantity(round(swept.to("cm**3").magnitude, 3), "cm**3")
        ask(f"ratio of compression({of}, {chamber_text})", ((whole + chamber) / chamber).to_base_units(), "dimensionless")
        squeeze = round(rng.uniform(6.0, 14.0), 2)
        ask(f"chamber for ratio({of}, {text(squeeze)})", whole / (squeeze - 1), "cm**3")
        rpm = rng.randrange(500, 12_000, 50)
        ask(f"mean piston speed({stroke_text}, {rpm} rpm)", 2 * stroke * quantity(rpm, "1/minute"), "m/s")
        moved, moved_text = some({"cc": "cm**3", "in³": "inch**3"}, 1.0, 60.0, base="cm**3")
        ask(f"pump flow({moved_text}, {rpm} rpm)", moved * quantity(rpm, "1/minute"), "L/minute")

        material, by = rng.choice(list(EXPANSION.items()))
        kelvin = round(rng.uniform(-60.0, 130.0), 1)
        grows = quantity(by, "1/kelvin")
        ask(f"growth({bore_text}, {material}, {text(kelvin)} K)", bore * grows * quantity(kelvin, "kelvin"), "mm")
        hotter = (warm.to("kelvin") - quantity(20.0, "degC").to("kelvin")) * grows
        ask(f"cold size({bore_text}, {material}, {warm_text})", bore / (1 + hotter.to_base_units().magnitude), "mm")
    for fuel, ratio, oil in CANS:
        asked.figure("amounts", f"premix oil({fuel}, {ratio}:1)", oil, "cm**3", relative=1e-7)


# --- Refusals ------------------------------------------------------------------------------------------------------------------------


def refusals(asked):
    engines = [(54, 105), (54, 110), (43, 85), (39.2, 75), (57, 100.9)]
    calls = [
        "piston drop(20 deg, {})",
        "crank angle(5 mm, {})",
        "ignition angle(1.8 mm, {})",
        "ignition drop(18 deg, {})",
        "port duration(9 mm, {})",
        "port height(190 deg, {})",
        "port blowdown(9 mm, 14 mm, {})",
        "greatest piston speed({}, speed = 6000 rpm)",
        "piston acceleration({}, speed = 6000 rpm)",
    ]
    for stroke, rod in engines:
        for call in calls:
            # A rod shorter than half the stroke, or just as long; the throw for the stroke.
            asked.refused(call.format(f"stroke = {stroke} mm, rod = {text(stroke / 2 - 1)} mm"))
            asked.refused(call.format(f"stroke = {stroke} mm, rod = {text(stroke / 2)} mm"))
            asked.refused(call.format(f"stroke = {text(stroke / 2)} mm, rod = {rod} mm"))
    for call in calls[:7]:
        asked.refused(call.format("stroke = 54 mm, rod = 105 mm, offset = 60 mm"))
    for name in ("crank angle", "ignition angle", "port duration"):
        asked.refused(f"{name}(54.5 mm, stroke = 54 mm, rod = 105 mm)")
    asked.refused("port blowdown(40 mm, 27 mm, stroke = 54 mm, rod = 105 mm)")

    stresses = ["contact pressure", "hub stress", "hub hoop stress", "shaft hoop stress"]
    for name in [*stresses, "press force", "grip torque"]:
        rest = "" if name in stresses else ", length = 18 mm"
        asked.refused(f"{name}(0.06 mm, diameter = 22 mm, outside = 20 mm{rest})")
        asked.refused(f"{name}(0.06 mm, diameter = 22 mm, outside = 22 mm{rest})")
        asked.refused(f"{name}(0.06 mm, diameter = 22 mm, outside = 60 mm{rest}, hole = 22 mm)")
        asked.refused(f"{name}(0.06 mm, diameter = 22 mm, outside = 60 mm{rest}, hole = 24 mm)")
        asked.refused(f"{name}(0.06 mm, diameter = 0 mm, outside = 60 mm{rest})")
        asked.refused(f"{name}(22.06 mm, diameter = 22 mm, outside = 60 mm{rest})")

    for name in ("web twist", "web spread", "unequal throw", "crank kink"):
        read = f"{name}(0.02 mm, 30 deg, 0.02 mm, 200 deg, throw = 27 mm"
        asked.refused(f"{read}, left support = 75 mm, right support = 75 mm, left dial = 75 mm, right dial = 35 mm)")
        asked.refused(f"{read}, left support = 75 mm, right support = 60 mm, left dial = 35 mm, right dial = 60 mm)")
        asked.refused(f"{read}, left support = 75 mm, right support = 60 mm, left dial = 75 mm, right dial = 60 mm)")

    asked.refused("ratio of compression(11 cc, 123.67 cc)")
    asked.refused("ratio of compression(11 cc, 11 cc)")
    asked.refused("ratio of compression(123.67 cc, 0 cc)")
    asked.refused("leak-down(62 psi, 80 psi)")
    asked.refused("leak-down(5 bar, 80 psi)")
    asked.refused("leak-down(0 psi, 0 psi)")
    for name in ("share lost({})", "decay time({}, 360 s)", "leak throughput(350 cc, {}, 360 s)", "leak flow(350 cc, {}, 360 s)"):
        asked.refused(name.format("44 kPa, 50 kPa"))
        asked.refused(name.format("50 kPa, -44 kPa"))
        asked.refused(name.format("0 kPa, 0 kPa"))
    asked.refused("decay time(50 kPa, 50 kPa, 360 s)")
    asked.refused("decay time(50 kPa, 0 kPa, 360 s)")
    asked.refused("oil to add(3 L, from = 32:1, to = 50:1)")

    for letter in ("a", "b", "q", "v", "x", "z", "zc"):
        asked.refused(f"least clearance(25 H7/{letter}6)")
    for code in ("0.9 H7/h6", "500.1 H7/h6", "0 H7/h6", "25 H7/H6", "25 h7/h6", "25 H0/h6", "25 H7/h99"):
        asked.refused(f"least clearance({code})")


# --- Holding the two together --------------------------------------------------------------------------------------------------------


def answers(gudgeon, calls):
    """What the program says to each call."""

    def no_number(word):
        raise ValueError(f"{word} in the JSON")

    run = subprocess.run([gudgeon, "reckon", "--as", "json"], input="\n".join(calls) + "\n", capture_output=True, encoding="utf-8", check=False)
    try:
        told = json.loads(run.stdout, parse_constant=no_number)["sums"]
        if [one["call"] for one in told] != calls:
            raise ValueError(f"{len(calls)} calls are not answered one by one: {len(told)} answers")
    except (ValueError, KeyError, TypeError) as error:
        print(f"{gudgeon} reckon: {error}\n{run.stderr[:2000]}", file=sys.stderr)
        sys.exit(2)
    return told


def disagreement(cache, expected, told):
    """What is wrong with an answer; `None` if nothing is."""
    value, problem, unit = told.get("value"), told.get("problem"), told.get("unit")
    for words in (value, problem, unit, told.get("low"), told.get("high")):
        if words and re.search(r"\b(nan|inf|infinity)\b", words, re.IGNORECASE):
            return f"says `{words}`"
    if expected is None:
        return None if value is None and problem else f"is to be refused, and comes to {value} {unit}"
    if value is None:
        return f"is refused: {problem}"
    if problem:
        return f"has a value and a problem: {problem}"
    if isinstance(expected, Decimal):
        return None if unit == "mm" and Decimal(value) == expected else f"comes to {value} {unit}, not to {expected} mm"
    wanted, name, may_differ = expected
    if unit not in SHOWN:
        return f"comes out in `{unit}`, and nobody has said what that is in pint"
    got = float(value) * factor(cache, unit, name)
    # The program writes twelve digits.
    may_differ += 1e-11 * abs(wanted)
    return None if abs(got - wanted) <= may_differ else f"comes to {got:.12g} {name}, not to {wanted:.12g} within {may_differ:.2g}"


def main():
    if len(sys.argv) != 2:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    rng = random.Random(SEED)
    asked = Asked()
    fits(asked)
    press_fits(asked, rng)
    kinematics(asked, rng)
    wrong = run_out(asked, rng)
    bolts(asked, rng)
    amounts(asked, rng)
    refusals(asked)

    told = answers(Path(sys.argv[1]).resolve(), [call for _, call, _ in asked.rows])
    cache, counts, by_function = {}, {}, {}
    for (group, call, expected), one in zip(asked.rows, told):
        counts[group] = counts.get(group, 0) + 1
        found = disagreement(cache, expected, one)
        if found:
            name = (group, call.partition("(")[0])
            by_function.setdefault(name, []).append(f"{call}: {found}")
    for (group, name), lines in by_function.items():
        for line in lines[:4]:
            print(f"WRONG {group}: {line}")
        if len(lines) > 4:
            print(f"WRONG {group}: {name}: {len(lines) - 4} more")
    for line in wrong:
        print(f"WRONG {line}")

    count = sum(map(len, by_function.values())) + len(wrong)
    print("trade: " + ", ".join(f"{made} {group}" for group, made in counts.items()) + f"; {len(WORKED)} worked cranks")
    # Nothing is proved by calls that were not made.
    least = {"fits": 35_000, "press fits": 900, "kinematics": 900, "run-out": 800, "bolts": 700, "amounts": 1000, "refusals": 200}
    few = [group for group, wanted in least.items() if counts.get(group, 0) < wanted]
    if few:
        sys.exit(f"too little was asked of {', '.join(few)}")
    if count:
        sys.exit(f"{count} of {len(told)} figures and refusals differ")
    print(f"{len(told)} figures and refusals agree")


main()
