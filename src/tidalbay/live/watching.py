"""What is found, measured and looked at in one attempt so far: a pure consequence of its log and its time."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from tidalbay.attempt import Attempt
from tidalbay.bedside import (
    BloodGas,
    Capnogram,
    Finding,
    NothingToReadError,
    OximeterReading,
    blood_gas,
    blood_pressure,
    felt_pulse,
    findings_at,
    oximeter,
    temperature,
    voice_of,
)
from tidalbay.catalogue.findings import finding_ladders
from tidalbay.catalogue.skin_sites import skin_sites, stage_words
from tidalbay.live.sampling import sampled
from tidalbay.trace import Entry, Mark, Trace
from tidalbay.units import SECONDS_PER_MINUTE

WINDOW_S: Final = 180.0
MARGIN_S: Final = 60.0  # an eye averages over 30 s before the first moment that is asked for
COUNTED_S: Final = 30.0
LEDGER: Final = (
    "fio2_frac",
    "inspired_ml",
    "supplied_ml",
    "nose_and_throat_ml",
    "mask_ml",
    "bag_ml",
    "room_ml",
    "expired_ml",
)
NEAR: Final = tuple(what for what, ladder in finding_ladders().items() if ladder.near)


class Watch:
    """Follows one attempt: `look` when time has passed, `note` after each entry.

    Parameters
    ----------
    case : mapping
        The resolved case of the log's first entry.
    seed : int
        Key of the attempt's chance.
    """

    def __init__(self, case: Mapping[str, Any], seed: int) -> None:
        """Begin with nothing found."""
        self.case = case
        self._said: dict[str, Any] = {**case["patient"]["numbers"], "voice": voice_of(case)}
        self._seed = seed
        self._found: list[Finding] | None = None
        self._found_s = 0.0
        self._last_shown: tuple[float, float] | None = None  # saturation [%] and when [s]
        self._taken: dict[str, Any] = {}  # readings that somebody took, by what was examined
        self._gas: BloodGas | None = None
        self._near: dict[str, tuple[str, float]] = {}  # words and when [s]
        self._inspected: dict[str, dict[str, Any]] = {}
        self._counted: dict[str, Any] = {}
        self.oximeter: OximeterReading | None = None
        self._capnogram: Capnogram | None = None
        self.ledger: dict[str, float] = {}  # where the gas of the last whole breath came from [mL BTPS]

    def look(self, attempt: Attempt) -> None:
        """Renew what eyes find, and what oximeter and sampling line show, up to the attempt's time."""
        window = attempt.window(max(WINDOW_S, attempt.t_s - self._found_s + MARGIN_S))
        if not len(window.seconds["t_s"]):
            return
        now_s = float(window.seconds["t_s"][-1])
        self._found = findings_at(window, now_s, self._numbers(attempt), self._found, self._found_s)
        self._found_s = now_s
        shown = oximeter(window, now_s, self._seed)
        if shown.last_pct is not None and shown.last_s is not None:
            self._last_shown = (shown.last_pct, shown.last_s)
        elif self._last_shown is not None:
            shown = replace(shown, last_pct=self._last_shown[0], last_s=self._last_shown[1])
        self.oximeter = shown
        self._capnogram = sampled(attempt, window, now_s, self._seed)
        if window.breaths.rows:
            self.ledger = {name: round(float(window.breaths[name][-1]), 4) for name in LEDGER}

    def note(self, attempt: Attempt, entry: Entry | Mark) -> None:
        """Take what an act brought to light, from the truth of its moment."""
        if not isinstance(entry, Entry) or entry.manner != "done":
            return
        self.look(attempt)
        values = entry.values
        if entry.kind in ("examined", "observed"):
            self._examine(attempt, str(values["what"]), values)
        if entry.kind == "observed" and values["what"] == "rate":
            self._count(values, attempt.t_s)
        elif entry.kind == "blood_gas_drawn":
            self._draw(attempt)

    @property
    def found(self) -> list[Finding]:
        """Everything that could be found now; also what nobody has looked for."""
        return self._found or []

    def findings_shown(self, all_of_them: bool = False) -> list[dict[str, Any]]:
        """Findings as messages carry them: what eyes see, and what was examined, as it was then."""
        shown: list[dict[str, Any]] = []
        for each in self.found:
            if each.what not in NEAR or all_of_them:
                shown.append({"what": each.what, "words": each.words, "since_s": each.since_s})
            elif each.what in self._near:
                words, at_s = self._near[each.what]
                shown.append({"what": each.what, "words": words, "since_s": at_s, "at_s": at_s})
        return shown

    def inspected_shown(self) -> list[dict[str, Any]]:
        """Skin that was looked at, as it was then."""
        return list(self._inspected.values())

    def readings(self, now_s: float) -> dict[str, Any]:
        """What was measured so far by flat names, each with its age."""
        readings: dict[str, Any] = {}
        if self.oximeter is not None:
            readings |= self.oximeter.as_plain()
        if self._capnogram is not None:
            readings |= self._capnogram.as_plain()
        for taken in self._taken.values():
            readings |= taken.as_plain(now_s)
        if self._gas is not None:
            readings |= self._gas.as_plain(now_s)
        if self._counted:
            readings |= {
                "counted_rate_per_min": self._counted["rate_per_min"],
                "counted_rate_seconds": self._counted["seconds"],
                "counted_rate_age_s": now_s - self._counted["at_s"],
            }
        return readings

    # -- inside -----------------------------------------------------------------------------

    def _numbers(self, attempt: Attempt) -> dict[str, Any]:
        return {**self._said, **attempt.body.now._asdict()}

    def _examine(self, attempt: Attempt, what: str, values: Mapping[str, Any]) -> None:
        now_s = attempt.t_s
        if what == "skin":
            self._inspect(attempt, values.get("site"))
        elif what in NEAR:
            words = next((each.words for each in self.found if each.what == what), None)
            if words is not None:
                self._near[what] = (words, now_s)
        elif what in ("pulse", "blood_pressure", "temperature"):
            self._measure(attempt, what, float(values.get("seconds", COUNTED_S)))

    def _measure(self, attempt: Attempt, what: str, seconds: float) -> None:
        window = attempt.window(max(WINDOW_S, seconds + MARGIN_S))
        try:
            self._taken[what] = self._measured(window, attempt, what, seconds)
        except (NothingToReadError, ValueError):
            return  # a pulse cannot be felt for longer than there has been one

    def _measured(self, window: Trace, attempt: Attempt, what: str, seconds: float) -> Any:
        now_s = float(window.seconds["t_s"][-1]) if len(window.seconds["t_s"]) else 0.0
        if what == "pulse":
            since_s = float(window.seconds["t_s"][0]) if len(window.seconds["t_s"]) else 0.0
            return felt_pulse(window, now_s, self._seed, max(10.0, min(seconds, now_s - since_s)))
        if what == "blood_pressure":
            return blood_pressure(window, now_s, self._seed, self._numbers(attempt))
        return temperature(window, now_s, self._seed, self._numbers(attempt))

    def _inspect(self, attempt: Attempt, site: Any) -> None:
        stages = attempt.skin()
        dark = self._said.get("skin_tone") == "dark"
        for asked in (str(site),) if site else {place.seen_with for place in skin_sites().values()}:
            places = [place.id for place in skin_sites().values() if place.seen_with == asked]
            if places:
                stage = max(stages.get(place, 0) for place in places)
                self._inspected[asked] = {
                    "site": asked,
                    "words": stage_words(stage, dark),
                    "stage": stage,
                    "at_s": attempt.t_s,
                }

    def _count(self, values: Mapping[str, Any], at_s: float) -> None:
        found = values["found"]
        if isinstance(found, int | float) and not isinstance(found, bool):
            seconds = float(values.get("seconds", SECONDS_PER_MINUTE / 2.0))
            self._counted = {"rate_per_min": float(found), "seconds": seconds, "at_s": at_s}

    def _draw(self, attempt: Attempt) -> None:
        window = attempt.window(WINDOW_S)
        try:
            self._gas = blood_gas(
                window, float(window.seconds["t_s"][-1]), self._seed, self._numbers(attempt)
            )
        except (NothingToReadError, IndexError):
            return
