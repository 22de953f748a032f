"""A patient who answers: oxygen and nebuliser teaching on mannequins that do not breathe.

For teaching and assessment with simulated patients only; not for the care of any person.  The
order, local policy, the device's own instructions and licensed practice come first.

Public names: `load_case`, `demonstrations`, `simulate`, `play`, `replay`, `course`, `breath`,
`breath_warnings`, `cylinder`; see docs/python.md.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tidalbay.ask import (
        breath,
        breath_warnings,
        course,
        cylinder,
        demonstrations,
        load_case,
        play,
        replay,
        simulate,
    )

__version__ = "0.1.0"
__all__ = [
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


def __getattr__(name: str) -> Any:
    """Fetch a public name when it is first asked for, so that importing the package costs nothing."""
    if name in __all__:
        return getattr(import_module("tidalbay.ask"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
