"""A small case that is well written, its lines by name, and what is said of it with one thing changed."""

import pytest

from tidalbay.case import CaseErrors, read_case
from tidalbay.catalogue import causes, condition_readings, cylinder_sizes, device_kinds, presets

CASE = """\
schema: 1
id: small
title: A small case
teaches: One thing.
patient: {name: Mr N. Alder, preset: healthy_adult}
order: {text: Air., target_spo2_pct: [94, 98]}
setup:
  supplies:
    - {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 15}}
    - {id: bottle, kind: cylinder, size: D, gauge_bar: 100, regulator: true}
  devices:
    - {id: cannula, kind: nasal_cannula, connected_to: meter}
    - {id: mask, kind: simple_mask, worn: false}
minutes: 10
paths:
  good:
    - {at: 1 min, act: flow_set, on: meter, flow_lpm: 2}
events:
  - {id: worse, at: 5 min, sets: {shunt_frac: 0.2}}
  - {id: later, after: {event: worse}, sets: {pain: 3}}
"""

PATIENT = "patient: {name: Mr N. Alder, preset: healthy_adult}"
ORDER = "order: {text: Air., target_spo2_pct: [94, 98]}"
WALL = "- {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 15}}"
BOTTLE = "- {id: bottle, kind: cylinder, size: D, gauge_bar: 100, regulator: true}"
CANNULA = "- {id: cannula, kind: nasal_cannula, connected_to: meter}"
MASK = "- {id: mask, kind: simple_mask, worn: false}"
ACT = "- {at: 1 min, act: flow_set, on: meter, flow_lpm: 2}"
WORSE = "- {id: worse, at: 5 min, sets: {shunt_frac: 0.2}}"
LATER = "- {id: later, after: {event: worse}, sets: {pain: 3}}"

DEVICES = ", ".join(device_kinds())
CAUSES = ", ".join(causes())
READINGS = ", ".join(condition_readings())
PRESETS = ", ".join(presets())
SIZES = ", ".join(name for size in cylinder_sizes() for name in (size.id, *size.also))
TIMES = "minutes and seconds such as 2:30, or 90 s, or 2 min"
PARTS = "wall, bottle, meter, bottle_flowmeter, cannula, mask, cannula_tubing, mask_tubing"


def problems_of(text):
    with pytest.raises(CaseErrors) as refused:
        read_case(text, "case.yaml")
    return refused.value


def said_of(old, new):
    """What is said of the small case with one thing changed: place, what, allowed, hint."""
    assert CASE.count(old) == 1
    problems = problems_of(CASE.replace(old, new)).problems
    return [(f"{one.line}:{one.col}", one.what, one.allowed, one.hint) for one in problems]
