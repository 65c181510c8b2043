"""What newcomers get wrong in each kind of file, in full: the message alone must be enough to go on.

Read them aloud when one changes: does it say what is wrong in words of the shop, and what to write instead?
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.resources import data_folder

# File of the starter workshop, what stands there, what a newcomer writes instead; then line and code, message, and hint.
MISTAKES = [
    ('workshop.yaml', 'materials: [material.yaml]', 'material: [material.yaml]',
     '12 schema/unknown-key', 'there is no key `material` in a workshop file',
     'did you mean `materials`?'),
    ('workshop.yaml', 'jobs: [job.yaml, part.yaml]', 'jobs: [job.yml, part.yaml]',
     '14 link/missing', 'there is no file `job.yml`',
     'did you mean `job.yaml`?'),
    ('workshop.yaml', 'machines: [lathe.yaml, shaper.yaml]', 'machines: lathe.yaml',
     '10 schema/type', '`machines` takes a list, not `lathe.yaml`',
     'write `[lathe.yaml]`'),
    ('workshop.yaml', 'name: My workshop\n', 'name: My workshop\nname: Ours\n',
     '9 yaml/duplicate-key', 'the key `name` is given twice',
     'keep one of the two'),
    ('lathe.yaml', 'lead: 3 mm, hand', 'lead: 3, hand',
     '25 units/missing', 'a lead or pitch without its unit',
     'write `3 mm` (= 0.1181 in) or `3 in` (= 76.2 mm)'),
    ('lathe.yaml', 'gears: [gears.yaml]', 'gears: gears.yaml',
     '6 schema/type', '`gears` takes a list, not `gears.yaml`',
     'write `[gears.yaml]`'),
    ('lathe.yaml', 'reads: diameter', 'reads: diam',
     '63 schema/choice', '`reads` cannot be `diam`',
     'did you mean `diameter`?'),
    ('lathe.yaml', 'train: [20, 70, 60]', 'train: [20, 72, 60]',
     '59 mounted/not-owned', 'the gear sets of this lathe hold no wheel of 72 teeth',
     'wheels owned: `20`, `25`, `30`, `35`, `40`, `45`, `50`, `55`, `60`, `63`, `65`, `70` and 2 more'),
    ('lathe.yaml', '  reverse: true', '  reverse: yes please',
     '13 schema/type', '`reverse` takes `true` or `false`, not `yes please`',
     'write `true` or `false`, without quotes'),
    ('shaper.yaml', 'ratio: 3:2', 'ratio: 1.5:1:2',
     '15 units/number', 'a number that cannot be read',
     'write it like `3:2`'),
    ('shaper.yaml', 'notch: 0.125 mm', 'notch: 0.125',
     '31 units/missing', 'a length without its unit',
     'write `0.125 mm` (= 0.004921 in) or `0.125 in` (= 3.175 mm)'),
    ('shaper.yaml', 'rate: 25 strokes/min', 'rate: 25 rpm',
     '19 units/dimension', '`rpm` measures a spindle speed, but a rate of strokes is wanted',
     'write it like 28 strokes/min'),
    ('gears.yaml', '  - 45\n', '  - 45T\n',
     '15 schema/type', 'entry 6 of `wheels` takes a whole number or keys with their values, not `45T`',
     'write it like `40` or `{teeth: 40, copies: 2}`'),
    ('gears.yaml', 'tooth-size: module 1', 'tooth-size: 1',
     '6 units/missing', 'a tooth size without its unit',
     'write the unit: module 1.25 or 20 DP'),
    ('gears.yaml', '{teeth: 20, copies: 2}', '20 x 2',
     '10 schema/type', 'entry 1 of `wheels` takes a whole number or keys with their values, not `20 x 2`',
     'write it like `40` or `{teeth: 40, copies: 2}`'),
    ('gears.yaml', '  - 63 ', '  - 63 mm ',
     '19 schema/type', 'entry 10 of `wheels` takes a whole number or keys with their values, not `63 mm`',
     'write it like `40` or `{teeth: 40, copies: 2}`'),
    ('tooling.yaml', 'angle: 60 deg', 'angle: 60',
     '8 units/missing', 'an angle without its unit',
     'write the unit: 29.5 deg or 1°26\'16"'),
    ('tooling.yaml', 'cuts-with: HSS       #', 'cuts-with: hss       #',
     '10 schema/choice', '`cuts-with` cannot be `hss`',
     'did you mean `HSS`?'),
    ('tooling.yaml', 'smallest-bore: 14 mm # smallest', 'smalest-bore: 14 mm # smallest',
     '19 schema/unknown-key', 'there is no key `smalest-bore` in entry 2 of `threading-tools`',
     'did you mean `smallest-bore`?'),
    ('tooling.yaml', 'thread: M6}', 'thread: M6 x}',
     '37 thread/designation', 'the pitch is missing',
     'write the pitch after x: M10x1.5'),
    ('material.yaml', 'kind: material', 'kind: materials',
     '3 schema/kind', 'there is no kind of file called `materials`',
     'did you mean `material`?'),
    ('material.yaml', 'group: mild steel ', '#',
     '3 schema/missing', 'the file lacks `group`',
     'for example `group: free-cutting mild steel`'),
    ('material.yaml', 'group: mild steel ', 'group: mild stel ',
     '5 material/unknown-group', 'no group of materials is called `mild stel`',
     'did you mean `mild steel` or `black mild steel` or `leaded mild steel`?'),
    ('threads.yaml', '  - M6\n', '  - M6x\n',
     '8 thread/designation', 'the pitch is missing',
     'write the pitch after x: M10x1.5'),
    ('threads.yaml', '  - M8\n', '  - M8 fine\n',
     '9 thread/designation', "'fine' is not a tolerance class, an engagement group or a hand",
     'after the pitch: a class (6g, 4g6g, 6H), S, N or L, and LH for left hand, each after a hyphen'),
    ('threads.yaml', 'threads:\n', 'thread:\n',
     '7 schema/unknown-key', 'there is no key `thread` in a thread-list file',
     'did you mean `threads`?'),
    ('job.yaml', 'M20x1.5-6g', 'M20x1,5-6g',
     '12 thread/designation', 'a comma stands where a decimal point belongs',
     'write M20x1.5-6g'),
    ('job.yaml', 'tool: outside-60', 'tool: outside60',
     '17 tool/unknown', "no threading tool is called 'outside60'",
     'did you mean outside-60 or inside-60?'),
    ('job.yaml', 'where: outside', 'where: external',
     '13 schema/choice', '`where` cannot be `external`',
     'write `outside` or `inside`'),
    ('job.yaml', '  - screwcut:\n', '    screwcut:\n',
     '10 schema/type', '`steps` takes a list, not keys with their values',
     'begin each entry with `- `, on a line of its own'),
    ('job.yaml', 'length: 100 mm}', 'length:100 mm}',
     '8 schema/unknown-key', 'there is no key `length:100 mm` in `blank`',
     'put a space after the colon: `length: 100 mm`'),
    ('job.yaml', 'machine: lathe.yaml', 'machine: My lathe',
     '6 link/missing', 'there is no file `My lathe`',
     'did you mean `lathe.yaml`?'),
]  # fmt: skip


@pytest.mark.parametrize(("file", "before", "after", "place", "message", "hint"), MISTAKES, ids=[f"{row[0]}-{number}" for number, row in enumerate(MISTAKES)])
def test_a_mistake_is_told_so_that_one_can_go_on(tmp_path: Path, file: str, before: str, after: str, place: str, message: str, hint: str) -> None:
    shop = shutil.copytree(data_folder("profiles") / "starter", tmp_path / "shop")
    text = (shop / file).read_text(encoding="utf-8")
    assert text.count(before) >= 1
    (shop / file).write_text(text.replace(before, after, 1), encoding="utf-8")
    told = check_paths([shop], shop).diagnostics
    ours = [fault for fault in told if fault.span is not None and fault.span.file == file]
    assert [(f"{fault.span.line} {fault.code}", fault.message, " / ".join(fault.hints)) for fault in ours if fault.span] == [(place, message, hint)]
    assert len(told) <= 2, "one slip is not told many times"


def test_three_mistakes_and_more_for_each_kind_of_file() -> None:
    for file in (path.name for path in (data_folder("profiles") / "starter").glob("*.yaml")):
        assert file == "part.yaml" or sum(row[0] == file for row in MISTAKES) >= 3, file
