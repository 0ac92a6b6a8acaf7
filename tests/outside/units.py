#!/usr/bin/env python3
"""Holds every unit of gudgeon against the `pint` library, factor and zero, to a relative 1e-12.

    cargo run --example units > units.jsonl
    python3 tests/outside/units.py units.jsonl

The file has a unit a line: symbol, dimension in words, factor, per, offset. A value goes to gudgeon's base unit as
(value + offset) * factor / per; the base system is mm, kg, s, °C, degree. Each is compared by what several readings in
it come to in base units, so that a wrong zero shows as well as a wrong factor. Needs Python 3.11 and `pint`.

Exit codes: 0 all agree, 1 some do not (or a unit is new and nobody has said what it is), 2 the file cannot be read.
"""

import json
import sys
from fractions import Fraction

import pint  # A missing library fails the run: nothing would be checked.

TOLERANCE = 1e-12

# The base unit of each dimension, in pint's words. 1 kg·mm/s² is a thousandth of a newton, and so on.
BASE = {
    "a length": "mm",
    "an area": "mm**2",
    "a volume": "mm**3",
    "a mass": "kg",
    "a time": "s",
    "an angle": "degree",
    "a temperature": "degC",
    "a temperature difference": "delta_degC",
    "a force": "kg*mm/s**2",
    "a torque": "kg*mm**2/s**2",
    "a pressure": "kg/(mm*s**2)",
    "an absolute pressure": "kg/(mm*s**2)",
    "a speed": "mm/s",
    "an acceleration": "mm/s**2",
    "a flow": "mm**3/s",
    "a frequency": "1/s",
    "a density": "kg/mm**3",
    "a spring rate": "kg/s**2",
    "a power": "kg*mm**2/s**3",
    "an expansion per degree": "1/delta_degC",
    "a plain number": "dimensionless",
}

# What each symbol is in pint's words; by dimension where one symbol is two things.
PINT = {
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "km": "km",
    "µm": "micrometer",
    "in": "inch",
    "thou": "thou",
    "ft": "foot",
    "mile": "mile",
    "mm²": "mm**2",
    "cm²": "cm**2",
    "in²": "inch**2",
    "cm³": "cm**3",
    "mm³": "mm**3",
    "L": "liter",
    "in³": "cubic_inch",
    "US gal": "gallon",
    "imp gal": "imperial_gallon",
    "s": "s",
    "min": "minute",
    "h": "hour",
    "day": "day",
    "week": "week",
    "°": "degree",
    "arcmin": "arcminute",
    "rad": "radian",
    "turn": "turn",
    # pint's rpm is an angle by a time; gudgeon's is how many times a second.
    "rpm": "1/minute",
    "Hz": "1/s",
    "m/s": "m/s",
    "mm/s": "mm/s",
    "m/min": "m/minute",
    "mm/min": "mm/minute",
    "km/h": "km/hour",
    "mph": "mile/hour",
    "mm/h": "mm/hour",
    "µm/h": "micrometer/hour",
    "m/s²": "m/s**2",
    "mbar·L/s": "millibar*liter/second",
    "L/min": "liter/minute",
    "cc/min": "cm**3/minute",
    "L/h": "liter/hour",
    "g": "gram",
    "kg": "kg",
    "mg": "milligram",
    "lb": "pound",
    "oz": "ounce",
    "t": "metric_ton",
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "force_pound",
    "ozf": "force_ounce",
    "kgf": "force_kilogram",
    "tf": "force_metric_ton",
    "N/mm": "newton/mm",
    "kgf/mm": "force_kilogram/mm",
    "lbf/in": "force_pound/inch",
    "g/cm³": "gram/cm**3",
    "kg/m³": "kg/m**3",
    "W": "watt",
    "kW": "kilowatt",
    "N·m": "newton*m",
    "kN·m": "kilonewton*m",
    "N·mm": "newton*mm",
    "N·cm": "newton*cm",
    "lbf·ft": "force_pound*foot",
    "lbf·in": "force_pound*inch",
    "ozf·in": "force_ounce*inch",
    "kgf·m": "force_kilogram*m",
    "kgf·cm": "force_kilogram*cm",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "mPa": "millipascal",
    "bar": "bar",
    "mbar": "millibar",
    "psi": "psi",
    "N/mm²": "newton/mm**2",
    "kgf/cm²": "force_kilogram/cm**2",
    "atm": "standard_atmosphere",
    "torr": "torr",
    # Columns of conventional mercury (13595.1 kg/m³) and water (1000 kg/m³) in both.
    "mmHg": "millimeter_Hg",
    "inHg": "inch_Hg",
    "mmH₂O": "millimeter_H2O",
    "inH₂O": "inch_H2O",
    ("°C", "a temperature"): "degC",
    ("°F", "a temperature"): "degF",
    ("K", "a temperature"): "kelvin",
    ("°C", "a temperature difference"): "delta_degC",
    ("°F", "a temperature difference"): "delta_degF",
    ("K", "a temperature difference"): "delta_degC",
    "1/K": "1/kelvin",
    "ppm/K": "ppm/kelvin",
    "%": "percent",
    "‰": "permille",
}

# What pint has not, and why it is passed over.
LACKING = {
    "hundredths": "a word of the bench for 0.01 mm",
    "pcs": "a count of things",
    "off": "a count of things",
    "plain": "a number without a unit",
}


def name_of(symbol: str, dimension: str) -> str | None:
    """What a unit is called in pint; an absolute pressure has the size of the one above the air's."""
    if dimension == "an absolute pressure":
        symbol = symbol.removesuffix(" abs")
    return PINT.get((symbol, dimension)) or PINT.get(symbol)


def ours(row: dict, value: Fraction) -> Fraction:
    """A reading in gudgeon's base unit, worked from the printed table without rounding."""
    offset, factor, per = (Fraction(row[key]) for key in ("offset", "factor", "per"))
    return (value + offset) * factor / per


def theirs(registry: pint.UnitRegistry, name: str, base: str, value: Fraction) -> float:
    """The same reading by pint."""
    return registry.Quantity(float(value), name).to(base).magnitude


def main(path: str) -> int:
    try:
        with open(path, encoding="utf-8") as lines:
            rows = [json.loads(line) for line in lines if line.strip()]
    except (OSError, ValueError) as error:
        print(f"{path}: {error}", file=sys.stderr)
        return 2
    registry = pint.UnitRegistry()
    checked, skipped, wrong = 0, [], []
    for row in rows:
        symbol, dimension = row["symbol"], row["dimension"]
        if dimension.startswith("money in "):
            skipped.append((symbol, "money; pint has no currencies"))
            continue
        if symbol in LACKING:
            skipped.append((symbol, LACKING[symbol]))
            continue
        name, base = name_of(symbol, dimension), BASE.get(dimension)
        if name is None or base is None:
            wrong.append(f"{symbol} ({dimension}): nobody has said what this is in pint")
            continue
        for value in map(Fraction, ("1", "-2.5", "0.017", "451")):
            mine, other = float(ours(row, value)), theirs(registry, name, base, value)
            # What is counted from a zero is compared as a share of the absolute temperature, in which pint works.
            scale = max(abs(other), 300.0) if dimension == "a temperature" else abs(other)
            if abs(mine - other) > TOLERANCE * scale:
                wrong.append(f"{value} {symbol} ({dimension}): {mine!r} here, {other!r} by pint")
        checked += 1
    for symbol, why in skipped:
        print(f"skipped {symbol}: {why}")
    for line in wrong:
        print(f"WRONG {line}")
    print(f"{checked} units held against pint {pint.__version__}, {len(skipped)} skipped, {len(wrong)} wrong")
    # An empty table would agree with everything.
    return 1 if wrong or checked < 80 else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    sys.exit(main(sys.argv[1]))
