"""One patient, one log, one clock: the loop that runs until the next act, change or event.

In come a resolved case and a log of acts, or equipment and a breathing pattern.  Out come a trace
that is the same digits wherever the run was cut, branches for "what if", and one settled breath.

Public names: `Attempt`, `Plan`, `plan_from`, `replay`, `Stage`, `course`,
`Breath`, `Pattern`, `settled_breath`, `ComingBreath`, `Change`, `Fork`, `forks_of`,
`played_with_forks`, `WhatIf`, `what_if`.
"""

from tidalbay.attempt.ahead import ComingBreath
from tidalbay.attempt.attempt import Attempt, replay
from tidalbay.attempt.breath import Breath, Pattern, settled_breath
from tidalbay.attempt.breath_words import NO_DEVICE, ORIGINS, whole_ml, why
from tidalbay.attempt.course import BREATHING, Stage, course
from tidalbay.attempt.plan import Plan, plan_from
from tidalbay.attempt.what_if import Change, Fork, WhatIf, forks_of, played_with_forks, what_if

__all__ = [
    "BREATHING",
    "NO_DEVICE",
    "ORIGINS",
    "Attempt",
    "Breath",
    "Change",
    "ComingBreath",
    "Fork",
    "Pattern",
    "Plan",
    "Stage",
    "WhatIf",
    "course",
    "forks_of",
    "plan_from",
    "played_with_forks",
    "replay",
    "settled_breath",
    "what_if",
    "whole_ml",
    "why",
]
