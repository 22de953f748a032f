"""The command that plays a case: live on a terminal, by the minute on paper, or for a program to read."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tidalbay.cli.asked import case as case_named
from tidalbay.cli.files import refuse_same, to_write, write
from tidalbay.cli.paper import (
    CAUTION,
    called_as,
    is_animated,
    labelled,
    result,
    result_json,
    talk,
    width,
    wrapped,
)
from tidalbay.cli.play.acts_file import Script, script_named
from tidalbay.cli.play.passing import live, through
from tidalbay.cli.play.scene import LABEL, by_the_minute, opening
from tidalbay.cli.play.telling import (
    Watch,
    acts_as_plain,
    events_as_plain,
    next_words,
    summary,
)
from tidalbay.cli.preparing import begin_fetching, compile_beside, keep, wait_for
from tidalbay.cli.refusals import WrongInFile

if TYPE_CHECKING:
    from tidalbay.ask import Playing
    from tidalbay.case import Case

FIRST_CASE: Final = "post-operative"
AT_WHICH_OXYGEN: Final = (
    "Oxygen in each breath is counted at the windpipe, where a little of the last breath comes back: "
    "breathing room air this is 20 %, not 21."
)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked of one run, read from the command line."""

    case: str | None
    minutes: float | None
    acts: str | None
    form: str | None
    procedures: str | None
    seed: int
    pace: float | None
    out: str | None
    log: str | None
    as_json: bool

    @property
    def command(self) -> str:
        """What to type for the same case again."""
        words = [called_as(), "run", self.case or "", f"--form {self.form}" if self.form else ""]
        return " ".join(filter(None, words))


def play(wishes: Wishes) -> None:
    """Play a case as it was asked for."""
    out, log = _files(wishes)
    fetching = begin_fetching()
    case = case_named(wishes.case or FIRST_CASE, wishes.form, wishes.procedures)
    script = script_named(wishes.acts, case)
    minutes = case.minutes if wishes.minutes is None else wishes.minutes
    is_live = is_animated() and not wishes.as_json
    wait_for(fetching)
    if fetching is None and is_live:
        talk("Preparing the model, once; this run starts without waiting for it.")
    playing = _begun(case, script, minutes, wishes.seed)
    compiler = compile_beside(fetching, 60.0 * minutes, has_time=is_live)
    if wishes.as_json:
        through(playing, 60.0 * minutes)
        result_json(_plain(playing, case, wishes.seed))
    else:
        _shown(playing, case, script, wishes, is_live)
    _write_files(playing, out, log)
    keep(compiler if is_live else None)


def _files(wishes: Wishes) -> tuple[Path | None, Path | None]:
    named = [("CASE", wishes.case), ("--acts", wishes.acts), ("--out", wishes.out), ("--log", wishes.log)]
    refuse_same([(what, name) for what, name in named if name])
    out = to_write("--out", wishes.out, (".csv", ".json")) if wishes.out else None
    return out, to_write("--log", wishes.log) if wishes.log else None


def _begun(case: "Case", script: Script, minutes: float, seed: int) -> "Playing":
    from tidalbay.ask import play as begin

    try:
        return begin(case, script.acts, minutes, seed)
    except ValueError as error:
        raise WrongInFile(str(error)) from None


def _shown(playing: "Playing", case: "Case", script: Script, wishes: Wishes, is_live: bool) -> None:
    from tidalbay.case import case_title

    wide = width()
    _title(case_title(case), is_live)
    if case.setting:
        result(wrapped(case.setting, wide))
    result("\n" + "\n".join(opening(case, playing.minutes, script.words, CAUTION, wide)) + "\n")
    if is_live:
        live(playing, case, wishes.pace)
    else:
        through(playing, 60.0 * playing.minutes)
        result("\n".join(by_the_minute(playing.trace(), Watch(playing, case).told(), wide)))
    closing = labelled("In words", summary(playing.trace(), case), wide, LABEL)
    closing += labelled("", AT_WHICH_OXYGEN, wide, LABEL)
    closing += labelled("Take away", case.teaches, wide, LABEL)
    for i, line in enumerate(next_words(case, script.path, wishes.command)):
        closing.append(f"{'' if i else 'Try next':<{LABEL}}{line}")
    result("\n" + "\n".join(closing))


def _title(title: str, is_live: bool) -> None:
    if not is_live:
        result(title)
        return
    from rich.console import Console
    from rich.text import Text

    Console(highlight=False).print(Text(title, style="bold"))


def _plain(playing: "Playing", case: "Case", seed: int) -> dict[str, Any]:
    trace = playing.trace().as_plain()
    return {
        "caution": trace.pop("caution"),
        "case": case.id,
        "form": case.form,
        "seed": seed,
        "minutes": playing.minutes,
        "acts": acts_as_plain(playing),
        "events": events_as_plain(playing, case),
        "trace": trace,
    }


def _write_files(playing: "Playing", out: Path | None, log: Path | None) -> None:
    if out is not None:
        trace = playing.trace()
        if out.suffix.lower() == ".csv":
            write(out, trace.to_csv)
        else:
            write(out, lambda path: path.write_text(trace.to_json() + "\n", encoding="utf-8"))
        talk(f"Written to {out}: {trace.seconds.rows} seconds" + _whose_breaths(out, trace.breaths.rows))
    if log is not None:
        from tidalbay.trace import write_log

        write(log, lambda path: write_log(path, playing.log))
        entries = len(playing.log)
        talk(f"Written to {log}: the log, {entries} entries. It plays again with --acts {log}")


def _whose_breaths(out: Path, breaths: int) -> str:
    return "." if out.suffix.lower() == ".csv" else f" and {breaths} breaths."
