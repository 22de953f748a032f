"""What `--acts` names: a path of the case, nobody, a file of acts, or the log of an earlier attempt."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tidalbay.catalogue.acts import LOGGERS
from tidalbay.catalogue.fault import did_you_mean
from tidalbay.cli.log_file import ENDING, log_of
from tidalbay.cli.paper import joined, talk
from tidalbay.cli.refusals import CalledWrongly

if TYPE_CHECKING:
    from tidalbay.case import Case, ScriptedAct
    from tidalbay.trace import Entry

NOBODY = "none"


@dataclass(frozen=True, slots=True)
class Script:
    """Acts to play, where they come from in words, and the case's path if they are one."""

    acts: "Sequence[ScriptedAct]"
    words: str
    path: str | None


def script_named(name: str | None, case: "Case") -> Script:
    """Return what is to be played; without a name the case's first path.

    Raises
    ------
    CalledWrongly
        If there is neither such a path nor such a file.
    CaseErrors
        With every error of the file, each with its line.
    WrongInFile
        For a log that cannot be read.
    """
    if name is None:
        name = next(iter(case.paths), NOBODY)
    if name in case.paths:
        return Script(case.paths[name], f"the path {name}", name)
    if name == NOBODY:
        return Script((), "nobody does anything", NOBODY)
    return Script(_acts_of_file(name, case), f"the acts in {name}", None)


def _acts_of_file(name: str, case: "Case") -> "Sequence[ScriptedAct]":
    from tidalbay.case import load_acts

    try:
        is_there = Path(name).exists()
    except (OSError, ValueError):
        is_there = False
    if not is_there:
        paths = joined(list(case.paths)) or "none"
        hint = did_you_mean(name, case.paths)
        raise CalledWrongly(
            f"--acts is {name}, and there is neither a path nor a file of that name. "
            f"The paths of {case.id}: {paths}; or {NOBODY}, for nobody doing anything. "
            f"{hint[:1].upper()}{hint[1:]}".strip()
        )
    if Path(name).suffix.lower() == ENDING:
        return _acts_of_log(name, case)
    return load_acts(name, case)


def _acts_of_log(name: str, case: "Case") -> "Sequence[ScriptedAct]":
    from tidalbay.case import scripted_act
    from tidalbay.trace import Entry

    entries = [entry for entry in log_of(name) if isinstance(entry, Entry)]
    _say_what_differs(entries[0], case)
    return [
        scripted_act(_as_said(entry), f"{name}, entry {entry.n}")
        for entry in entries[1:]
        if entry.kind != "attempt_ended"
    ]


def _as_said(entry: "Entry") -> dict[str, object]:
    from tidalbay.case.moments import text_from_ms
    from tidalbay.trace import plain

    return {
        "at": text_from_ms(entry.t_ms),
        "act": entry.kind,
        **({"on": entry.on} if entry.on else {}),
        "manner": entry.manner,
        "by": entry.hands if entry.hands in LOGGERS else "learner",
        **plain(entry.values),
    }


def _say_what_differs(first: "Entry", case: "Case") -> None:
    from tidalbay.trace import plain

    told = plain(first.values)
    if told["case"].get("id") != case.id:
        talk(f"The log is of the case {told['case'].get('id')}; its acts are played on {case.id}.")
    form = str(told["case"].get("form", case.form))
    if form != case.form:
        talk(f"The log is of form {form.upper()}; add --form {form} for the same patient.")
    if told["seed"] != 0:
        talk(f"The log was made with the seed {told['seed']}; add --seed {told['seed']} for the same digits.")
