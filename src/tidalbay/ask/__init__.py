"""The questions a script or a command asks of the whole: one call each, no private imports.

>>> import tidalbay
>>> 0.3 < tidalbay.breath(device="nasal_cannula", flow_lpm=4).fio2_frac < 0.45
True
>>> round(tidalbay.cylinder("E", 700, "psi", flow_lpm=4).minutes_by_factor)
35

A case is loaded by its name and played, or a log is replayed; a settled breath, a course of stages and a
cylinder are asked about without a case. What cannot be meant is refused in a sentence before anything runs.
"""

from tidalbay.ask.breathing import breath, breath_warnings, course
from tidalbay.ask.cases import demonstrations, load_case
from tidalbay.ask.cylinders import cylinder
from tidalbay.ask.playing import Playing, play, replay, simulate

__all__ = [
    "Playing",
    "breath",
    "breath_warnings",
    "course",
    "cylinder",
    "demonstrations",
    "load_case",
    "play",
    "replay",
    "simulate",
]
