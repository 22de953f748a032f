"""Moments, spans and readings in words, for the sentence beside a verdict."""

from tidalbay.case.criteria import ActWanted
from tidalbay.case.criteria_checks import AS_ORDERED
from tidalbay.catalogue.acts import acts
from tidalbay.judge.record import Done


def clock(t_s: float) -> str:
    """A moment as minutes and seconds: 02:40."""
    whole = int(t_s + 0.5)
    return f"{whole // 60:02d}:{whole % 60:02d}"


def span(seconds: float) -> str:
    """How long, in words: 40 s, 3 min, 3 min 20 s."""
    whole = int(abs(seconds) + 0.5)
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min" + (f" {rest} s" if rest else "")


def number(value: float) -> str:
    """A number without needless digits."""
    return f"{value:.3g}" if abs(value) < 100 else f"{value:.0f}"


def told(done: Done) -> str:
    """An act in words with its moment: set the flow to 2 L/min (02:40)."""
    return f"{acts()[done.kind].told(done.values)} ({clock(done.t_s)})"


def button(kind: str) -> str:
    """What an act's button says, in small letters for the middle of a sentence."""
    words = acts()[kind].button
    return words[:1].lower() + words[1:]


def wanted_words(wanted: ActWanted) -> str:
    """What was looked for, in quotation marks: “explained what would happen”."""
    plain = {name: value for name, value in wanted.values.items() if isinstance(value, str | int | float)}
    told_of = [
        acts()[kind].told(plain).replace(AS_ORDERED.replace("_", " "), "as ordered") for kind in wanted.act
    ]
    return " or ".join(f"“{_short(words)}”" for words in told_of)


def upper(words: str) -> str:
    """The words as a sentence begins."""
    return words[:1].upper() + words[1:]


def _short(words: str) -> str:
    """Without the end that names what nobody asked for."""
    return words.split("…")[0].rstrip(" :").removesuffix(" to") if "…" in words else words
