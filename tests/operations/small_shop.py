"""A small invented workshop as text, to be spoilt one line at a time."""

from __future__ import annotations

from pathlib import Path

FILES = {
    "workshop.yaml": """\
schema: 1
kind: workshop
name: Small shop
machines: [lathe.yaml]
tooling: [tooling.yaml]
materials: [steel.yaml]
jobs: [job.yaml]
""",
    "gears.yaml": """\
schema: 1
kind: gear-set
name: Wheels
tooth-size: module 1.25
wheels: [20, 25, 30, 35, {teeth: 40, copies: 2}, 45, 50, 55, 60, 63, 65, 70, 75, 80]
""",
    "lathe.yaml": """\
schema: 1
kind: lathe
name: Small lathe
system: metric
gears: [gears.yaml]
tooling: [tooling.yaml]
spindle:
  bore: 30 mm
  length: 400 mm
  nose: {fixing: bolts}
  speeds:
    - {speed: 30 rpm, set: {belt: 1}}
    - {speed: 60 rpm, set: {belt: 2}}
    - {speed: 120 rpm, set: {belt: 3}}
    - {speed: 400 rpm, set: {belt: 4}}
swing: {over-bed: 330 mm, over-cross-slide: 205 mm}
centres: 600 mm
leadscrew: {lead: 3 mm, hand: right}
half-nuts: {thread-dials: [{teeth: 16, marks: 8}]}
headstock: {tumbler: true}
slides:
  cross-slide: {travel: 160 mm, dial: {division: 0.02 mm, turn: 2 mm, reads: depth}, backlash: 0.1 mm}
  top-slide: {travel: 80 mm, dial: {division: 0.02 mm, turn: 2 mm, reads: travel}, scale-zero: along the bed}
workholding:
  - {name: chuck, kind: chuck, largest-speed: 1200 rpm}
stop-time: 1.5 s
""",
    "tooling.yaml": """\
schema: 1
kind: tooling
name: Drawer
threading-tools:
  - {name: out-60, where: outside, angle: 60 deg, tip: {flat: 0.1 mm}, cuts-with: HSS, side-clearance: 6 deg, beyond-tip: 1 mm}
  - {name: out-55, where: outside, angle: 55 deg, tip: {radius: 0.1 mm}, cuts-with: HSS, side-clearance: 6 deg, beyond-tip: 1 mm}
  - {name: in-60, where: inside, angle: 60 deg, tip: {radius: 0.08 mm}, cuts-with: HSS, smallest-bore: 7 mm, reach: 40 mm, side-clearance: 6 deg, beyond-tip: 1 mm}
  - {name: full-15, where: outside, angle: 60 deg, tip: {radius: 0.2 mm}, cuts-with: carbide, full-profile: {pitch: 1.5 mm}, side-clearance: 6 deg, beyond-tip: 1 mm}
  - {name: part-15, where: outside, angle: 60 deg, tip: {radius: 0.06 mm}, cuts-with: carbide, pitches: {finest: 0.5 mm, coarsest: 1.5 mm}, side-clearance: 6 deg, beyond-tip: 1 mm}
wires:
  - {name: wires, diameters: [0.29 mm, 0.455 mm, 0.62 mm, 0.725 mm, 0.895 mm, 1.1 mm, 1.35 mm, 1.65 mm]}
""",
    "steel.yaml": """\
schema: 1
kind: material
name: Mild steel
group: mild steel
""",
    "job.yaml": """\
schema: 1
kind: job
name: Test stud
machine: lathe.yaml
material: steel.yaml
blank: {outside: 15.9 mm, length: 100 mm}
held: {by: chuck, stands-out: 60 mm}
steps:
  - screwcut:
      thread: M16x2-6g
      where: outside
      length: 20 mm
      ends-in: {relief: {width: 6 mm, diameter: 13.0 mm}}
      tool: out-60
""",
}

BANJO = """\
banjo:
  centre-distance: 118 mm
  direction: 60 deg
  arms: [{swing-from: -60 deg, swing-to: 75 deg, slots: [{nearest: 30 mm, farthest: 145 mm}]}]
  bush-radius: {first: 8 mm, last: 8 mm, stud: 8 mm}
  largest-wheel: 165 mm
"""

Edit = tuple[str, str, str]  # file, words, words to put in their place ('' as words appends)


def write(folder: Path, *edits: Edit) -> Path:
    """Write the shop with some words replaced (each must occur exactly once) and return the folder."""
    files = dict(FILES)
    for name, old, new in edits:
        if not old:
            files[name] += new
            continue
        assert files[name].count(old) == 1, f"{name}: {old!r} occurs {files[name].count(old)} times"
        files[name] = files[name].replace(old, new)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def line_of(folder: Path, name: str, words: str) -> int:
    """The line number, from 1, of the first line that has these words."""
    lines = (folder / name).read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if words in line)
