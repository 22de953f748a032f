"""Strips: what an attempt showed over its time, each a line, steps or spans, thinned and with its range.

A record comes in, and the skin of each minute where it is known.  Out come strips as plain values that every
reader draws alike: `Strip`, `Line`, `Span`, `strips_of`, `thinned`, `step_of`.
"""

from tidalbay.report.strips.all import strips_of
from tidalbay.report.strips.strip import Line, Span, Strip
from tidalbay.report.strips.thinning import step_of, thinned

__all__ = ["Line", "Span", "Strip", "step_of", "strips_of", "thinned"]
