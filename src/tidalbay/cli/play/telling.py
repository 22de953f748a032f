"""A run told in words: the acts and events as they came, what is seen now, and what it came to."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING, Any

from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.devices import device_kinds
from tidalbay.cli.paper import joined

if TYPE_CHECKING:
    from tidalbay.ask import Playing
    from tidalbay.bedside import Finding
    from tidalbay.case import Case
    from tidalbay.trace import Entry, Trace

LOOKED_EVERY_S = 15
TOLD_LADDERS = ("alertness", "effort", "speech", "colour")  # what a page without pictures must say
COUNTED_S = 30  # a rate is counted over half a minute

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that happened: when, in which words, and whether the case made it happen."""

    t_s: float
    words: str
    by_case: bool = False

    @property
    def line(self) -> str:
        """The sentence without its time; what the case makes happen stands in brackets."""
        return f"[{self.words}]" if self.by_case else self.words


def clock(t_s: float) -> str:
    """Say a moment as minutes and seconds: 03:20."""
    minutes, seconds = divmod(int(t_s), 60)
    return f"{minutes:02d}:{seconds:02d}"


class Watch:
    """Tells a run as it goes: acts, events, and what eyes find when it changes."""

    def __init__(self, playing: "Playing", case: "Case") -> None:
        """Begin with what is found at the first look, which is not news."""
        from tidalbay.bedside import voice_of
        from tidalbay.case import resolve

        self._playing, self._case = playing, case
        resolved = resolve(case)
        self._patient = {**resolved["patient"]["numbers"], "voice": voice_of(resolved)}
        self._found: list[Finding] | None = None
        self._looked_s = 0.0
        self._seen: list[Told] = []
        self._words: dict[str, str] = {}

    def told(self) -> list[Told]:
        """Everything so far, in the order in which it came."""
        self._look()
        told = told_so_far(self._playing, self._case) + self._seen
        return sorted(told, key=lambda each: each.t_s)

    def _look(self) -> None:
        from tidalbay.bedside import findings_at

        now_s = self._playing.t_s
        trace = self._playing.trace()
        while self._looked_s + LOOKED_EVERY_S <= now_s and trace.seconds.rows > LOOKED_EVERY_S:
            at_s = self._looked_s + LOOKED_EVERY_S
            self._found = findings_at(trace, at_s, self._patient, self._found, self._looked_s)
            self._looked_s = at_s
            for finding in self._found:
                if finding.what in TOLD_LADDERS and self._words.get(finding.what) != finding.words:
                    if finding.what in self._words:
                        self._seen.append(Told(at_s, finding.words, by_case=True))
                    self._words[finding.what] = finding.words


def told_so_far(playing: "Playing", case: "Case") -> list[Told]:
    """Tell every act and event so far, in the order in which they came."""
    tells = {event.id: event.tells or event.id.replace("-", " ") for event in case.events}
    told = [_told_act(entry, case) for entry in playing.log.acts if entry.kind != "attempt_started"]
    told += [Told(t_s, tells.get(event, event), by_case=True) for t_s, event in playing.happened]
    return sorted(told, key=lambda each: each.t_s)


def _told_act(entry: "Entry", case: "Case") -> Told:
    words = acts()[entry.kind].told(entry.values)
    if entry.on and _has_several_like(entry.on, case):
        words += f": {entry.on.replace('_', ' ')}"
    if entry.manner != "done":
        words = {"said": "only said: ", "prompted": "after a prompt: "}[entry.manner] + words
    if entry.hands != "learner":
        words = f"{entry.hands}: {words}"
    return Told(entry.t_ms / 1000.0, words)


def _has_several_like(name: str, case: "Case") -> bool:
    """Whether a sentence that does not name this object could mean another one."""
    devices = [device.id or device.kind for device in case.setup.devices]
    return len(devices) > 1 if name in devices else len(case.setup.supplies) > 1


def worn_words(row: Row) -> str:
    """Say what is worn, and what the flowmeters show."""
    kinds = [] if row["wearing"] == "none" else str(row["wearing"]).split(" + ")
    worn = joined([device_kinds()[kind].words if kind in device_kinds() else kind for kind in kinds])
    shown = {name.removesuffix("_shown_lpm"): row[name] for name in row if name.endswith("_shown_lpm")}
    flows = {name: lpm for name, lpm in shown.items() if not isnan(lpm) and lpm > 0}
    if not flows:
        return f"{worn}, no flow" if worn else "nothing"
    if len(shown) == 1:
        said = [f"{lpm:g} L/min" for lpm in flows.values()]
    else:
        said = [f"{name.replace('_', ' ')} {lpm:g} L/min" for name, lpm in flows.items()]
    return ", ".join([worn or "nothing on the face", *said])


def worn_short(row: Row) -> tuple[str, str]:
    """Say what is worn and the flows shown, short enough for a table."""
    kinds = [] if row["wearing"] == "none" else str(row["wearing"]).split(" + ")
    worn = " + ".join(device_kinds()[k].words if k in device_kinds() else k for k in kinds) or "nothing"
    flows = [row[name] for name in row if name.endswith("_shown_lpm") and not isnan(row[name])]
    return worn, "+".join(f"{lpm:g}" for lpm in flows if lpm > 0) or "0"


def percent(frac: float) -> str:
    """Say a fraction as whole per cent."""
    return f"{100.0 * frac:.0f} %"


def shown_words(row: Row) -> str:
    """Say what the oximeter shows."""
    spo2 = row["spo2_shown_pct"]
    return "no reading" if isnan(spo2) else f"{spo2:.0f} %"


def counted_rate(trace: "Trace", i: int) -> float:
    """Breaths a minute as they would be counted up to a second: the middle of the last half minute."""
    rates = trace.seconds["rate_per_min"][max(0, i - COUNTED_S) : i + 1]
    return float(rates.mean())


def summary(trace: "Trace", case: "Case") -> str:
    """Say in two or three sentences what the run came to."""
    shown = [
        (t_s, spo2)
        for t_s, spo2 in zip(
            trace.seconds["t_s"].tolist(), trace.seconds["spo2_shown_pct"].tolist(), strict=True
        )
        if not isnan(spo2)
    ]
    fio2 = trace.seconds["fio2_frac"]
    inspired = f"Each breath held {percent(fio2.min())} to {percent(fio2.max())} oxygen."
    if not shown:
        return f"The oximeter showed nothing in all that time. {inspired}"
    low, high = case.order.target_spo2_pct
    inside = sum(low <= spo2 <= high for _, spo2 in shown) / len(shown)
    least, most = min(shown, key=lambda at: at[1]), max(shown, key=lambda at: at[1])
    return (
        f"The saturation shown was inside the ordered range, {low:g} to {high:g} %, for "
        f"{_share_words(inside)}. It was lowest, {least[1]:.0f} %, at {clock(least[0])} and highest, "
        f"{most[1]:.0f} %, at {clock(most[0])}; at the end it was {shown[-1][1]:.0f} %. {inspired}"
    )


def _share_words(share: float) -> str:
    if share == 0.0:
        return "none of the time"
    return "all of the time" if share == 1.0 else f"{max(1, min(99, round(100 * share)))} % of the time"


def next_words(case: "Case", path: str | None, command: str) -> list[str]:
    """Say what may be tried next: other paths of the case, and nobody doing anything."""
    others = [name for name in case.paths if name != path]
    lines = [f"{command} --acts {name}" for name in others[:3]]
    return [*lines, f"{command} --acts none"] if path is not None else lines


def acts_as_plain(playing: "Playing") -> list[dict[str, Any]]:
    """Return the acts for a program to read, in the words of a file of acts, and told."""
    from tidalbay.case.moments import text_from_ms
    from tidalbay.trace import plain

    return [
        {
            "at": text_from_ms(entry.t_ms),
            "act": entry.kind,
            **({"on": entry.on} if entry.on else {}),
            "manner": entry.manner,
            "by": entry.hands,
            **plain(entry.values),
            "told": acts()[entry.kind].told(entry.values),
        }
        for entry in playing.log.acts
        if entry.kind != "attempt_started"
    ]


def events_as_plain(playing: "Playing", case: "Case") -> list[dict[str, Any]]:
    """Return the events for a program to read."""
    tells: Mapping[str, str | None] = {event.id: event.tells for event in case.events}
    return [{"t_s": t_s, "event": event, "tells": tells.get(event)} for t_s, event in playing.happened]
