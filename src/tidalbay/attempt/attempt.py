"""The loop: run until the next act, the equipment's next change, or an event; then change and go on.

The past is never recomputed.  Everything that decides where the loop stops (acts, whole seconds,
the equipment's own changes) stands on the attempt's clock, so that a run cut anywhere gives the
same digits as a run in one go.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import floor, inf

from tidalbay.attempt.ahead import ComingBreath, coming_breath
from tidalbay.attempt.body import POSTURES, Body
from tidalbay.attempt.events import Cause, Event, Pending
from tidalbay.attempt.plan import Plan
from tidalbay.attempt.showing import MedicineRow, recent, trace_of
from tidalbay.engine import Run, Treatment, Wear, breathing_of, settled, skin_tolerance
from tidalbay.equipment import (
    ActRefused,
    DrivenCup,
    Equipment,
    check_said,
    driven_cup,
    parts_poured,
    squeezed_bag,
    touches,
    water_asked_by_gas_mg_min,
)
from tidalbay.equipment.act import is_number
from tidalbay.trace import Entry, Log, Mark, Trace
from tidalbay.units import SECONDS_PER_MINUTE

# What a squeezed bag moves: the chest just rises at 6 to 7 mL/kg (resuscitation guidelines, from
# memory); the other two are assumed.
SQUEEZED_ML_KG = {"too_shallow": 3.0, "chest_just_rises": 7.0, "too_deep": 13.0}

NO_CUP = DrivenCup(flow_lpm=0.0, carrier_lpm=0.0, passes_um=0.0, reaches_frac=0.0, by="mouth")


@dataclass(frozen=True, slots=True)
class Stretch:
    """Equipment as it was from a moment on, until the next stretch begins. [s]"""

    from_s: float
    equipment: Equipment


@dataclass
class Attempt:
    """One patient, one log, one clock.

    Made by `Attempt.start`; `act` appends and applies, `run_to` lets time pass, `trace` shows.
    """

    plan: Plan
    log: Log
    run: Run
    body: Body
    pending: Pending
    treatment: Treatment
    wear: Wear  # as it was at `_worn_s`
    stretches: list[Stretch]
    happened: list[tuple[float, str]] = field(default_factory=list)
    _changes: list[tuple[float, Entry | Cause]] = field(default_factory=list)
    _medicine_rows: list[MedicineRow] = field(default_factory=list)
    _wear_marks: list[tuple[float, Wear]] = field(default_factory=list)
    _reached_s: float = 0.0

    @classmethod
    def start(cls, plan: Plan, log: Log) -> "Attempt":
        """A settled patient under the case's starting set-up, at time 0.

        Parameters
        ----------
        plan : Plan, read from the log's first entry
        log : Log, holding that entry at least; later entries are not applied here

        Raises
        ------
        CannotBreatheEnough
            With a sentence, where no breathing holds the patient's habitual carbon dioxide.
        """
        body = Body.at_rest(plan.patient, plan.posture)
        controls = plan.equipment.controls(plan.barometric_mmhg, plan.room_oxygen_frac)
        run = settled(body.now, controls, plan.seed)
        body = Body(run.patient, {}, {}, plan.posture, plan.posture)
        wear = Wear(skin_tolerance(run.patient.age_years))
        return cls(
            plan, log, run, body, Pending(plan.events), plan.treatment, wear, [Stretch(0.0, plan.equipment)]
        )

    @property
    def t_s(self) -> float:
        """The moment up to which the patient has been run. [s]"""
        return self._reached_s

    @property
    def equipment(self) -> Equipment:
        """The equipment now, cylinders drawn down to this moment."""
        last = self.stretches[-1]
        return last.equipment.advance(max(0.0, self._reached_s - last.from_s))

    def check(self, entry: Entry | Mark) -> None:
        """Let time pass up to an entry and see that `act` would take it; nothing is appended or applied.

        Raises
        ------
        ActRefused
            With a sentence, where hands could not do it.
        """
        self.run_to(entry.t_ms / 1000.0)
        if isinstance(entry, Entry):
            self._refuse(entry)
            self._after(entry)

    def act(self, entry: Entry | Mark) -> None:
        """Append an entry at its time and let it work from the next sub-interval on.

        Raises
        ------
        ActRefused, LogRefusedError
            With a sentence, where nobody could have done or said it; nothing is appended then.

        Notes
        -----
        A tap that arrives twice, under one key, is one act.
        """
        if self.log.check(entry) is not None:
            return
        self.run_to(entry.t_ms / 1000.0)
        if isinstance(entry, Entry):
            self._refuse(entry)
        changed = self._after(entry) if isinstance(entry, Entry) else None
        self.log.append(entry)
        if isinstance(entry, Entry):
            self._apply(entry, changed)

    def replay(self) -> None:
        """Apply the entries that the log already holds, each at its time."""
        for entry in self.log.entries[1:]:
            self.run_to(entry.t_ms / 1000.0)
            if isinstance(entry, Entry):
                self._apply(entry, self._after(entry))

    def run_to(self, until_s: float) -> None:
        """Let time pass. [s]"""
        while self._reached_s < until_s:
            stop_s = min(until_s, self._next_stop_s())
            last = self.stretches[-1]
            controls = last.equipment.controls(self.plan.barometric_mmhg, self.plan.room_oxygen_frac)
            self.run.patient = self.treatment.on(self.body.now)
            self.run.advance_to(stop_s, controls)
            self._reached_s = stop_s
            if stop_s >= self._equipment_changes_s():
                self._begin(last.equipment.advance(stop_s - last.from_s))
            if stop_s == floor(stop_s):
                self._a_second_has_passed()

    def next_stop_s(self) -> float:
        """The next moment at which anything but an act may change; inf if there is none. [s]"""
        return self._next_stop_s()

    def coming(self, before: ComingBreath | None = None) -> ComingBreath:
        """The breath under way or the next, to its end, as it will be if nothing changes.

        The attempt is not moved: with and without looking ahead it gives the same digits.
        """
        controls = self.stretches[-1].equipment.controls(
            self.plan.barometric_mmhg, self.plan.room_oxygen_frac
        )
        return coming_breath(self.run, self.treatment.on(self.body.now), controls, before)

    def window(self, last_s: float) -> Trace:
        """The last seconds and breaths of the trace, without columns of the equipment. [s]

        Rows are those of `trace`, and the cost is that of the window however long the attempt is.
        """
        return trace_of(recent(self.run, last_s), (), self._medicine_rows[-int(last_s) - 2 :])

    def padded(self) -> frozenset[str]:
        """Sites where padding lies between strap and skin."""
        return self._wear_at(self._reached_s).padded

    def skin(self, at_s: float | None = None) -> dict[str, int]:
        """What a look finds at every place that was touched: 0 as usual to 3 broken.

        Parameters
        ----------
        at_s : float or None
            A moment that has been; now if not said. [s]
        """
        return self._wear_at(self._reached_s if at_s is None else min(at_s, self._reached_s)).stages

    def dryness(self) -> float:
        """How dry nose and throat are now, from 0 to 10."""
        return self._wear_at(self._reached_s).dryness

    def branch(self) -> "Attempt":
        """A copy that goes its own way from now on; this attempt's time does not move."""
        return Attempt(
            self.plan,
            Log(self.log.entries),
            self.run.copy(),
            self.body,
            self.pending.copy(),
            self.treatment,
            self.wear,
            list(self.stretches),
            list(self.happened),
            list(self._changes),
            list(self._medicine_rows),
            list(self._wear_marks),
            self._reached_s,
        )

    def trace(self, gauges_every_s: int = 1) -> Trace:
        """What has been shown and what was so, up to now; gauges that fall are read so often. [s]"""
        stretches = [(each.from_s, each.equipment) for each in self.stretches]
        return trace_of(self.run, stretches, self._medicine_rows, gauges_every_s)

    def _wear_at(self, t_s: float) -> Wear:
        """Skin and linings at a moment, exact over the stretch that it lies in."""
        marks = bisect_right(self._wear_marks, t_s, key=lambda mark: mark[0])
        since_s, wear = self._wear_marks[marks - 1] if marks else (0.0, self.wear)
        equipment = self.stretches[bisect_right(self.stretches, t_s, key=lambda s: s.from_s) - 1].equipment
        asked = water_asked_by_gas_mg_min(equipment)
        return wear.later(touches(equipment), asked, max(0.0, t_s - since_s))

    # -- inside -----------------------------------------------------------------------------

    def _next_stop_s(self) -> float:
        """The next moment at which anything but an act may change."""
        whole_s = floor(self._reached_s) + 1.0
        watching = self.body.is_moving or self.pending.has_conditions() or self.treatment.is_running
        due_s = self.pending.next_due_s()
        if due_s < inf:  # events come on whole seconds
            due_s = max(whole_s, float(-floor(-due_s)))
        return min(self._equipment_changes_s(), whole_s if watching else inf, due_s)

    def _equipment_changes_s(self) -> float:
        last = self.stretches[-1]
        return last.from_s + last.equipment.next_change_s()

    def _a_second_has_passed(self) -> None:
        self.body = self.body.a_second_later()
        if self.treatment.is_running:
            self._treat_a_second()
        if self.pending.has_conditions():
            self.pending.note_reading(self._reached_s, self._readings())
        for event in self.pending.take_due(self._reached_s):
            self._happen(event)

    def _treat_a_second(self) -> None:
        """The cup sprays, the patient breathes mist, the drug works: for the second just over."""
        cup = driven_cup(self.equipment) or NO_CUP
        seen = self.run.last_second()
        patient = self.run.patient
        breathing = breathing_of(
            seen["rate_per_min"],
            seen["tidal_ml"],
            patient,
            cup.nose_frac(patient.mouth_share),
            cup.carrier_lpm,
            cup.passes_um,
            1.0 if cup.by == "neck" else 0.0,
        )
        flow_lpm, reaches = cup.flow_lpm, cup.reaches_frac
        self.treatment = self.treatment.later(flow_lpm, reaches, breathing, 1.0)
        now = self.treatment
        lung_mg = now.deposit.airways + now.deposit.alveoli
        self._medicine_rows.append(
            (
                self._reached_s,
                now.cup.volume_ml + now.cup.on_walls_ml,
                now.mist_frac,
                lung_mg,
                now.relief_frac,
            )
        )

    def _readings(self) -> Mapping[str, float]:
        readings = {name: value for name, value in self.equipment.readings().items() if value is not None}
        return {**self.run.last_second(), **readings}

    def _happen(self, event: Event) -> None:
        self.happened.append((self._reached_s, event.id))
        for cause in event.causes:
            self._strike(cause)

    def _strike(self, cause: Cause) -> None:
        if cause.strikes == "patient":
            self.body = self.body.struck(cause.id, cause.value, cause.lag_s)
            return
        self._changes.append((self._reached_s, cause))
        self._begin(_changed_by(cause, self.equipment))
        self._tilt(cause)

    def _tilt(self, cause: Cause) -> None:
        if cause.id == "cup_tilted":
            self.treatment = self.treatment.held(float(cause.value or 0.0))

    def _refuse(self, entry: Entry) -> None:
        """Refuse what cannot be said or done; a log that is replayed was let through here before."""
        check_said(self.equipment, entry.kind, entry.on, entry.values)
        if entry.kind == "event_thrown" and entry.values["event"] not in self.pending.ids():
            known = ", ".join(self.pending.ids()) or "none"
            raise ActRefused(f"The case has no event {entry.values['event']!r}; its events are {known}.")
        if entry.kind == "taken_back":
            n = int(entry.values["entry"])
            if not any(act.n == n for act in self.log.acts[1:]):
                raise ActRefused(f"There is no act numbered {n} to take back.")

    def _after(self, entry: Entry) -> Equipment | None:
        """The equipment after an act, or None where it moves nothing."""
        if entry.manner == "said":
            return None
        if entry.kind == "drug_loaded":
            self._poured(entry)  # refused before anything is appended
            return None
        if entry.kind == "taken_back":
            return self._without(int(entry.values["entry"]), entry.n)
        if entry.kind == "cause_thrown":
            cause = _thrown(entry)
            struck = cause.strikes == "equipment"
            return self.equipment.with_fault(cause.id, cause.on, cause.value) if struck else None
        before = self.equipment
        after = before.apply(entry.kind, entry.on, entry.values, entry.t_ms)
        return None if after is before else after

    def _without(self, n: int, told_by: int) -> Equipment:
        """The equipment as it would stand now without the act numbered `n` and others taken back.

        `told_by` is the number of the entry that takes it back: what later ones take back still stands.

        Everything that changed it is gone through again without those; what rested on them falls
        away with them.
        """
        earlier = (e for e in self.log.acts if e.kind == "taken_back" and e.n < told_by)
        taken = {n} | {int(e.values["entry"]) for e in earlier}
        equipment, reached_s = self.plan.equipment, 0.0
        for moment_s, change in self._changes:
            if isinstance(change, Entry) and change.n in taken:
                continue
            equipment = _changed_by(change, equipment.advance(moment_s - reached_s))
            reached_s = moment_s
        return equipment.advance(self._reached_s - reached_s)

    def _apply(self, entry: Entry, changed: Equipment | None) -> None:
        if entry.manner == "said":
            return
        if changed is not None:
            if entry.kind != "taken_back":
                self._changes.append((self._reached_s, entry))
            self._begin(changed)
        self._change_patient(entry)
        self.pending.note_act(entry, self._reached_s)
        if entry.kind == "event_thrown":
            event = self.pending.throw(str(entry.values["event"]), self._reached_s)
            if event is not None:
                self._happen(event)
        elif entry.kind == "cause_thrown":
            cause = _thrown(entry)
            if cause.strikes == "patient":
                self._strike(cause)
            self._tilt(cause)
        elif entry.kind == "time_skipped":
            until_s = self._reached_s + float(entry.values["minutes"]) * SECONDS_PER_MINUTE
            while self._reached_s < until_s:  # in pieces, so that others can see how far it has come
                self.run_to(min(until_s, self._reached_s + SECONDS_PER_MINUTE))

    def _change_patient(self, entry: Entry) -> None:
        values = entry.values
        if entry.kind == "positioned":
            self.body = self.body.struck("posture", str(values["position"]), 0.0)
        elif entry.kind == "drug_loaded":
            self.treatment = self._poured(entry)
        elif entry.kind == "cup_held":
            self.treatment = self.treatment.held(float(values["angle_deg"]))
        elif entry.kind == "cup_tapped":
            self.treatment = self.treatment.tapped()
        elif entry.kind == "padding_added":
            padded = self._wear_at(self._reached_s).with_padding(str(values["site"]))
            self._wear_marks.append((self._reached_s, padded))
        elif entry.kind == "cup_rinsed":
            self.treatment = self.treatment.emptied()
        elif entry.kind == "bag_squeezed":
            depth_ml = SQUEEZED_ML_KG[str(values.get("depth", "chest_just_rises"))] * self.body.now.weight_kg
            self._squeeze(float(values["rate_per_min"]), depth_ml)
        elif entry.kind == "coached" and values["what"] in ("no_talking", "slow_deep_breaths"):
            self.body = self.body.struck("talking_frac", 0.0, 0.0)

    def _poured(self, entry: Entry) -> Treatment:
        values, cup = entry.values, self.treatment.cup
        dose_mg, volume_ml = float(values["dose_mg"]), float(values["volume_ml"])
        held_ml = cup.volume_ml + cup.on_walls_ml
        parts = parts_poured(str(values["drug"]), dose_mg, volume_ml, tuple(self.treatment.parts), held_ml)
        return self.treatment.poured(parts, dose_mg, volume_ml)

    def _begin(self, equipment: Equipment) -> None:
        """From this moment on the equipment is this."""
        self._wear_marks.append((self._reached_s, self._wear_at(self._reached_s)))
        if self.stretches[-1].from_s == self._reached_s:
            self.stretches[-1] = Stretch(self._reached_s, equipment)
        else:
            self.stretches.append(Stretch(self._reached_s, equipment))
        if self.body.now.held_rate_per_min > 0.0 and squeezed_bag(equipment) is None:
            self._squeeze(0.0, 0.0)  # a bag that is off breathes for nobody

    def _squeeze(self, rate_per_min: float, depth_ml: float) -> None:
        self.body = self.body.struck("held_rate_per_min", rate_per_min, 0.0)
        self.body = self.body.struck("held_tidal_ml", depth_ml, 0.0)


def _thrown(entry: Entry) -> Cause:
    """The cause that an instructor's entry throws, as it was resolved when it was logged."""
    values = entry.values
    name, strikes = str(values["cause"]), str(values["strikes"])
    value = False if values.get("gone") else values.get("value", True)
    if strikes == "patient" and name == "posture" and value not in POSTURES:
        raise ActRefused(f"A posture is {', '.join(POSTURES)}; it says {value!r}.")
    if strikes == "patient" and name != "posture" and not is_number(value):
        raise ActRefused(f"{name} of the patient is a number; it says {value!r}.")
    return Cause(name, value, strikes, entry.on, float(values["time_constant_s"]))


def _changed_by(change: Entry | Cause, equipment: Equipment) -> Equipment:
    """The equipment after an act or a cause that may no longer find what it struck."""
    try:
        if isinstance(change, Entry) and change.kind == "cause_thrown":
            change = _thrown(change)
        if isinstance(change, Cause):
            return equipment.with_fault(change.id, change.on, change.value)
        return equipment.apply(change.kind, change.on, change.values, change.t_ms)
    except ActRefused:
        return equipment


def replay(plan: Plan, log: Log) -> Attempt:
    """The attempt that a log tells: the same log gives the same trace, to the last digit.

    The clock ends at the log's last entry, or where that entry let time pass to.
    """
    attempt = Attempt.start(plan, log)
    attempt.replay()
    return attempt
