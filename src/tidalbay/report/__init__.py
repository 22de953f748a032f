"""The debrief: one attempt laid out over one line of time, for a page, a file and print alike.

A log and its trace come in.  Out come strips, acts, verdicts with their moments, questions and the course in
words, as plain values; a page and a tagged PDF of two sheets; and another way beside the one it went.
Public names: `Debrief`, `debrief_of`, `skin_each_minute`, `other_way`, `is_changeable`, `why_folded`.
"""

from tidalbay.report.debriefing import Debrief, debrief_of
from tidalbay.report.folding import why_folded
from tidalbay.report.other_way import is_changeable, other_way
from tidalbay.report.strips.slow import skin_each_minute

__all__ = ["Debrief", "debrief_of", "is_changeable", "other_way", "skin_each_minute", "why_folded"]
