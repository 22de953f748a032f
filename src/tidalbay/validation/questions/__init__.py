"""Questions by name: what a row can ask the model.

A row names one of these functions and the words to ask it with; the answer is one number in the
row's unit.  Every public function of the modules beside this one is a question.
"""

import inspect
from collections.abc import Callable, Mapping
from functools import cache
from types import ModuleType

from tidalbay.validation.questions import (
    blood,
    control,
    devices,
    gas_exchange,
    mist_in_line,
    nebuliser,
    persons,
    readings,
    slow_things,
    supply,
    time_course,
)

__all__ = ["Question", "questions"]

Question = Callable[..., float]
MODULES: tuple[ModuleType, ...] = (
    blood,
    gas_exchange,
    devices,
    time_course,
    control,
    readings,
    supply,
    nebuliser,
    mist_in_line,
    slow_things,
    persons,
)


@cache
def questions() -> Mapping[str, Question]:
    """Every question by its name."""
    return {
        name: function
        for module in MODULES
        for name, function in vars(module).items()
        if inspect.isfunction(function)
        and function.__module__ == module.__name__
        and not name.startswith("_")
        and inspect.signature(function).return_annotation is float
    }
