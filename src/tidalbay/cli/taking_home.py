"""The command that writes a run as one page which plays anywhere, with other ways it could have gone."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from tidalbay.cli.asked import case as case_named
from tidalbay.cli.files import to_write, write
from tidalbay.cli.log_file import ENDING, log_of
from tidalbay.cli.paper import talk
from tidalbay.cli.play.acts_file import script_named
from tidalbay.cli.preparing import compile_first
from tidalbay.cli.refusals import CalledWrongly

if TYPE_CHECKING:
    from tidalbay.trace import Log
    from tidalbay.web.take_home import OtherWay

# What --what-if takes, in words that read aloud.
FORMS: Final = '"without 7", "7 at 2:30", "7 with flow_lpm=6", "add order_read at 0:20"'
_WITHOUT = re.compile(r"without (\d+)")
_MOVED = re.compile(r"(\d+) at (\S+)")
_CHANGED = re.compile(r"(\d+) with (\S+=\S+(?: \S+=\S+)*)")
_ADDED = re.compile(r"add (\w+)(?: on (\w+))? at (\S+)((?: \S+=\S+)*)")


def take_home(
    name: str,
    form: str | None,
    acts: str | None,
    html: str,
    others: list[str],
    procedures: str | None = None,
) -> None:
    """Play a case or a log, and write the page."""
    from tidalbay.web.take_home import take_home as page_of

    file = to_write("--html", html, (".html",))
    compile_first()
    log, until_s, path = _log(name, form, acts, procedures)
    ways = [other_way(each, log) for each in others]
    talk("Working it out" + (f", and {len(ways)} other ways" if ways else "") + ".")
    try:
        page = page_of(log, until_s, ways, path)
    except ValueError as error:
        raise CalledWrongly(f"--what-if: {error}") from None
    write(file, lambda where: where.write_text(page, encoding="utf-8"))
    talk(f"Written to {file}: {len(page) / 1e6:.1f} MB, one file that plays in any browser, offline.")


def other_way(said: str, log: "Log") -> "OtherWay":
    """Read a what-if, or refuse it in a sentence."""
    from tidalbay.attempt import Change
    from tidalbay.case.moments import ms_from_text
    from tidalbay.catalogue.acts import acts
    from tidalbay.web.take_home import OtherWay

    told = {act.n: f"“{acts()[act.kind].told(act.values)}”" for act in log.acts}

    def moment(text: str) -> int:
        ms = ms_from_text(text)
        if ms is None:
            raise CalledWrongly(f"--what-if {said!r}: {text} is no time; write 2:30, 90 s or 2 min.")
        return ms

    if found := _WITHOUT.fullmatch(said):
        n = int(found[1])
        return OtherWay(f"Without {told.get(n, '')}", Change("removed", n))
    if found := _MOVED.fullmatch(said):
        n = int(found[1])
        return OtherWay(f"{told.get(n, '')} at {found[2]}", Change("moved", n, t_ms=moment(found[2])))
    if found := _CHANGED.fullmatch(said):
        n = int(found[1])
        old = next((dict(act.values) for act in log.acts if act.n == n), {})
        values = {**old, **_values(found[2])}
        return OtherWay(f"{told.get(n, '')} with {found[2]}", Change("changed", n, values=values))
    if found := _ADDED.fullmatch(said):
        if found[1] not in acts():
            raise CalledWrongly(f"--what-if {said!r}: there is no act {found[1]}.")
        values = _values(found[4])
        words = f"With “{acts()[found[1]].told(values)}” at {found[3]}"
        return OtherWay(words, Change("added", None, moment(found[3]), found[1], found[2], values))
    raise CalledWrongly(f"--what-if is {said!r}. Write one of: {FORMS}.")


def _values(said: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for pair in said.split():
        name, text = pair.split("=", 1)
        try:
            found[name] = float(text) if "." in text else int(text)
        except ValueError:
            found[name] = text
    return found


def _log(
    name: str, form: str | None, acts: str | None, procedures: str | None
) -> "tuple[Log, float, str | None]":
    """The log that is taken home, how far it plays [s], and the case's path if it is one."""
    from tidalbay.ask import play, replay

    log_file = name if Path(name).suffix == ENDING else acts if acts and acts.endswith(ENDING) else None
    if log_file is not None:
        attempt = replay(log_of(log_file))
        return attempt.log, attempt.t_s, None
    case = case_named(name, form, procedures)
    script = script_named(acts, case)
    playing = play(case, script.acts)
    playing.run_to(60.0 * case.minutes)
    playing.end()
    return playing.log, 60.0 * case.minutes, script.path
