"""A case played: let time go, read the trace, replay a log."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tidalbay.ask.said import expect, one_of
from tidalbay.attempt import Attempt, plan_from
from tidalbay.attempt import replay as replay_attempt
from tidalbay.case import Case, ScriptedAct, case_sha256, resolve, scripted_act
from tidalbay.catalogue.acts import act_versions
from tidalbay.catalogue.breath_ranges import asked_number
from tidalbay.engine import source_digest
from tidalbay.trace import MODES, Entry, Log, Trace, attempt_started, read_log


@dataclass
class Playing:
    """An attempt that plays a script: acts happen by themselves as time passes."""

    attempt: Attempt
    minutes: float
    script: tuple[ScriptedAct, ...]
    _next: int = field(default=0)

    @property
    def t_s(self) -> float:
        """The moment reached. [s]"""
        return self.attempt.t_s

    @property
    def log(self) -> Log:
        """Everything done so far."""
        return self.attempt.log

    @property
    def happened(self) -> list[tuple[float, str]]:
        """Events of the case so far: moment [s] and id."""
        return self.attempt.happened

    def run_to(self, until_s: float) -> None:
        """Let time pass, with the script's acts on the way. [s]

        Raises
        ------
        ActRefused
            With a sentence, where the script asks for what hands cannot do.
        """
        until_s = asked_number("until_s", until_s)
        while self._next < len(self.script) and self.script[self._next].at_ms <= 1000.0 * until_s:
            act = self.script[self._next]
            self._next += 1
            self.attempt.act(_entry_of(act, self.log.next_n))
        self.attempt.run_to(until_s)

    def end(self, why: str = "time_up") -> None:
        """End the attempt here; nothing more can be done in it."""
        t_ms = max(round(1000.0 * self.t_s), self.log.entries[-1].t_ms)
        n, values = self.log.next_n, {"why": why}
        self.attempt.act(
            Entry(n=n, t_ms=t_ms, kind="attempt_ended", by="script", hands="script", values=values)
        )

    def trace(self) -> Trace:
        """What was shown and what was so, up to now."""
        return self.attempt.trace()


def play(
    case: Case,
    acts: str | Sequence[ScriptedAct | Mapping[str, Any]] | None = None,
    minutes: float | None = None,
    seed: int = 0,
    mode: str = "demonstration",
) -> Playing:
    """A case about to be played, at time 0.

    Parameters
    ----------
    case : Case
    acts : str, iterable or None
        The name of one of the case's paths, or acts: mappings as a case
        writes them, or what `load_acts` read; None is
        the case's first path, and an empty list is nobody doing anything.
    minutes : float or None
        How long; None is as long as the case says. [min]
    seed : int
        Key of this attempt's chance, 0 to 2**32 - 1.
    mode : str
        demonstration, practice, formative or summative.

    Raises
    ------
    ValueError
        With a sentence: no such path, an act that cannot be, a patient who cannot breathe enough.
    """
    expect(case, Case, "A case is what load_case gives by its name or from its file")
    lasts = case.minutes if minutes is None else asked_number("minutes", minutes)
    script = _script(case, acts)
    first = attempt_started(
        mode=one_of("mode", mode, MODES),
        seed=int(asked_number("seed", seed)),
        case=resolve(case),
        case_sha256=case_sha256(case),
        engine_digest=source_digest(),
        by="instructor",
    )
    attempt = Attempt.start(plan_from(first), Log([first]))
    return Playing(attempt, lasts, script)


def simulate(
    case: Case,
    acts: str | Sequence[ScriptedAct | Mapping[str, Any]] | None = None,
    minutes: float | None = None,
    seed: int = 0,
) -> Trace:
    """Play a case to its end and return the trace: a row a second, a row a breath.

    The same case, acts and seed give the same digits on every machine.  Parameters and errors as
    for `play`.
    """
    playing = play(case, acts, minutes, seed)
    playing.run_to(60.0 * playing.minutes)
    return playing.trace()


def replay(log: Log | Path | str, until_s: float | None = None) -> Attempt:
    """The attempt that a log tells, from the log itself or a file of it.

    Parameters
    ----------
    log : Log or path
        Its first entry holds the case, so that no other file is needed.
    until_s : float or None
        How far to run; None is the moment of the last entry. [s]

    Raises
    ------
    LogUnreadableError
        With a sentence: no such file, a kind of act that this version does not know, ...
    """
    expect(log, (Log, Path, str), "A log is a Log, or the file that holds one")
    until_s = None if until_s is None else asked_number("until_s", until_s)
    held = log if isinstance(log, Log) else read_log(log, act_versions()).log
    attempt = replay_attempt(plan_from(held.entries[0]), held)  # type: ignore[arg-type]
    if until_s is not None:
        attempt.run_to(until_s)
    return attempt


def _script(
    case: Case, acts: str | Sequence[ScriptedAct | Mapping[str, Any]] | None
) -> tuple[ScriptedAct, ...]:
    if acts is None:
        return next(iter(case.paths.values()), ())
    if isinstance(acts, str):
        if acts not in case.paths:
            raise ValueError(
                f"The case {case.id} has no path {acts!r}; its paths are {', '.join(case.paths) or 'none'}."
            )
        return case.paths[acts]
    expect(acts, (list, tuple), "Acts are the name of a path or a list of acts")
    said = (act if isinstance(act, ScriptedAct) else _read_act(act) for act in acts)
    return tuple(sorted(said, key=lambda act: act.at_ms))


def _read_act(said: Mapping[str, Any]) -> ScriptedAct:
    expect(said, Mapping, 'An act reads {"at": "0:30", "act": "order_read"}')
    return scripted_act(said)


def _entry_of(act: ScriptedAct, n: int) -> Entry:
    return Entry(
        n=n,
        t_ms=act.at_ms,
        kind=act.act,
        by="script",
        hands=act.by,
        manner=act.manner,
        on=act.on,
        values=dict(act.values),
    )
