#!/usr/bin/env python3
"""Writes a repository of invented rebuild logs, to measure speed by hand.

    python3 tests/generate_logs.py FOLDER [FILES] [LINES]

Every log is a pressed crank job with readings, blades, rings, tables, steps, parts and notes, judged by one manual; the same
arguments always give the same bytes.
"""

import pathlib
import random
import sys

MANUAL = """manual   bench 250
source   invented for measuring
extends  pressed crank
units    mm

feature web width
  build    51.90 to 52.05 mm
feature side play
  build    0.35 to 0.55 mm
feature run-out at drive side, flywheel side
  build    up to 0.03 mm
feature bore
  unit     mm
feature piston size
  unit     mm
calc piston clearance = smallest(bore) - largest(piston size)
  build    0.045 to 0.060 mm
"""


def log(rng: random.Random, lines: int) -> str:
    out = [
        "job      bottom end",
        f"machine  bench single, frame B-{rng.randrange(10000):04}",
        f"hours    {rng.randrange(900)}",
        "manual   bench-250",
        "",
        "tool mic 50-75:  micrometer, reads to 0.01 mm, good to 0.004 mm",
        "tool dial:       dial indicator, reads to 0.001 mm, good to 0.003 mm",
        "tool press:      press, rated 20 t",
        "",
    ]
    day = 1
    while len(out) < lines - 16:
        out.append(f"2026-{1 + day // 28 % 12:02}-{1 + day % 28:02} build")
        day += 1
        out.append(f"web width = {52 + rng.randrange(-9, 5) / 100:.2f} mm by mic 50-75   # after cooling")
        out.append(f"side play = go 0.{rng.randrange(36, 48)}, no-go 0.50 mm by feelers")
        out.append("held on centres")
        for place in ("drive", "flywheel"):
            out.append(f"run-out at {place} side = {rng.randrange(1, 28) / 1000:.3f} mm high at {rng.randrange(360)}° by dial")
        out.append("did press together, oiled, web supported, force 6.5 t on press")
        out.append("bore = mm by bore gauge at 20 C")
        out.append("         along    across")
        for row in ("top", "middle", "bottom"):
            out.append(f"  {row:7} 72.01{rng.randrange(10)}  72.01{rng.randrange(10)}")
        out.append(f"piston size = 71.95{rng.randrange(10)} mm by mic 50-75")
        out.append("found webs: good, no dents, reuse")
        out.append(f"got rod kit: number {rng.randrange(10000)}")
        out.append("note the sound changed when the pin came flush, and it was left to cool")
        out.append("")
    return "\n".join(out[:lines]) + "\n"


def main() -> None:
    folder = pathlib.Path(sys.argv[1])
    files = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    lines = int(sys.argv[3]) if len(sys.argv) > 3 else 500
    (folder / "manuals").mkdir(parents=True, exist_ok=True)
    (folder / "manuals" / "bench-250.manual").write_text(MANUAL, encoding="utf-8")
    for number in range(files):
        shelf = folder / f"{number // 100:03}"
        shelf.mkdir(exist_ok=True)
        (shelf / f"job-{number:05}.rebuild").write_text(log(random.Random(number), lines), encoding="utf-8")


if __name__ == "__main__":
    main()
