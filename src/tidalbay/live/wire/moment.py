"""One moment of a station, worked out once and told to each role by what it may receive."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan
from typing import Any, Final

from tidalbay.attempt import Attempt, ComingBreath
from tidalbay.bedside import drawn_look, part_shown, parts_shown, shown_to, truth_passes
from tidalbay.bedside.allowed import HIDDEN
from tidalbay.catalogue.skin_sites import skin_contacts, skin_sites
from tidalbay.equipment import cup_in_use
from tidalbay.live.watching import Watch
from tidalbay.live.wire.hidden import lag_of, score_of
from tidalbay.live.wire.plausible import ACTING, plausible_acts

STEP_S: Final = 0.1
SPUTTERS_BELOW_FRAC: Final = 0.35  # of the mist of a well-filled cup (assumed, for the drawing)
MISTS_ABOVE_FRAC: Final = 0.02  # (assumed, for the drawing)


@dataclass(eq=False)
class Moment:
    """Everything about one moment; `message` picks what a role may receive.

    Attributes
    ----------
    mode : str
    clock, breath, look : mapping
    bag_pct : mapping of str to list of float
        How full each bag is through the breath, by device. [%]
    readings, truth : mapping
        What is shown or measured; and what is so.
    findings, all_findings, inspected, things, plausible
        As messages carry them.
    superseded : bool
        Whether it replaces the breath of the same number.
    """

    mode: str
    clock: Mapping[str, Any]
    breath: Mapping[str, Any]
    bag_pct: Mapping[str, list[float]]
    look: Mapping[str, Any]
    readings: Mapping[str, Any]
    truth: Mapping[str, Any]
    findings: list[dict[str, Any]]
    all_findings: list[dict[str, Any]]
    inspected: list[dict[str, Any]]
    things: Mapping[str, Any]
    plausible: Mapping[str, list[str]]
    superseded: bool
    _told: dict[str, dict[str, Any]] = field(default_factory=dict)

    def message(self, role: str) -> dict[str, Any]:
        """The message `breath` for a role."""
        if role not in self._told:
            self._told[role] = self._message(role)
        return self._told[role]

    def _message(self, role: str) -> dict[str, Any]:
        sees_truth = truth_passes(role)
        message: dict[str, Any] = {
            "kind": "breath",
            "clock": dict(self.clock),
            "breath": {**part_shown("breath", self.breath), "bag_pct": dict(self.bag_pct)},
            "readings": shown_to(role, self.mode, self.readings),
            "look": part_shown("look", self.look),
            "findings": parts_shown("findings", self.all_findings if sees_truth else self.findings),
            "things": {
                **{
                    kind: parts_shown(kind, self.things[kind])
                    for kind in ("supplies", "flowmeters", "tubes", "devices")
                },
                "probe": part_shown("probe", self.things["probe"]),
                "sampling_line": part_shown("sampling_line", self.things["sampling_line"]),
            },
            "inspected": parts_shown("inspected", self.inspected),
            "superseded": self.superseded,
        }
        if role in ACTING:
            message["plausible"] = self.plausible[role]
        if sees_truth:
            message["truth"] = dict(self.truth)
        return message


def moment_of(
    attempt: Attempt,
    watch: Watch,
    coming: ComingBreath,
    clock: Mapping[str, Any],
    superseded: bool,
    faults: Mapping[str, list[str]],
) -> Moment:
    """The moment of an attempt.

    Parameters
    ----------
    attempt : Attempt
    watch : Watch
        Looked up to the attempt's time.
    coming : ComingBreath
        Of the attempt as it stands.
    clock : mapping
        As messages carry it.
    superseded : bool
    faults : mapping of str to list of str
        What could go wrong, and where.
    """
    equipment = attempt.equipment
    instruments = equipment.readings()
    things = _things(attempt, equipment)
    now_s = attempt.t_s
    return Moment(
        mode=attempt.plan.mode,
        clock=clock,
        breath={
            "n": coming.n,
            "from_s": round(coming.from_s, 4),
            "lasts_s": round(coming.ends_s - coming.from_s, 4),
            "step_s": STEP_S,
            "air_ml": [round(volume, 1) for volume in coming.chest_every(STEP_S)],
            "breathing_in_s": round(coming.breathing_in_s, 4),
        },
        bag_pct=_bags(attempt, coming),
        look=drawn_look(watch.found, attempt.body.posture),
        readings={
            "t_s": now_s,
            "wearing": sorted(equipment.wearing()),
            **watch.readings(now_s),
            **_instruments(instruments, things),
            **watch.ledger,
        },
        truth={
            **_truth(attempt, instruments, watch, faults),
            "early_warning": score_of(attempt, watch, instruments, watch.case),
            "oximeter": lag_of(attempt),
        },
        findings=watch.findings_shown(),
        all_findings=watch.findings_shown(all_of_them=True),
        inspected=watch.inspected_shown(),
        things=things,
        plausible=plausible_acts(attempt, instruments),
        superseded=superseded,
    )


def _bags(attempt: Attempt, coming: ComingBreath) -> dict[str, list[float]]:
    """How full each bag is: the one breathed from by the model, one in the hand as it was filled. [%]"""
    equipment = attempt.stretches[-1].equipment
    full_ml = equipment.controls(attempt.plan.barometric_mmhg).bag_volume_ml
    bags: dict[str, list[float]] = {}
    for device in equipment.devices:
        if not device.row.has_bag:
            continue
        if device.worn and full_ml > 0.0:
            bags[device.id] = [
                round(100.0 * min(1.0, volume / full_ml), 1) for volume in coming.bag_every(STEP_S)
            ]
        else:
            bags[device.id] = [100.0 if device.bag_filled else 0.0]
    return bags


def _instruments(instruments: Mapping[str, float | None], things: Mapping[str, Any]) -> dict[str, Any]:
    """What floats, dials and gauges show, by flat names."""
    readings: dict[str, Any] = {
        _flat(name): value
        for name, value in instruments.items()
        if name.endswith((".shown_lpm", ".gauge_psi", ".gauge_bar"))
    }
    return readings | {
        _flat(f"{meter['id']}.float_frac"): meter["float_frac"] for meter in things["flowmeters"]
    }


def _flat(name: str) -> str:
    return name.replace(".", "_").replace("-", "_")


def _truth(
    attempt: Attempt,
    instruments: Mapping[str, float | None],
    watch: Watch,
    faults: Mapping[str, list[str]],
) -> dict[str, Any]:
    """What no nurse could see, for the instructor: blood, lungs, gas, and what waits to happen."""
    last = attempt.run.last_second()
    hidden = {name: value for name, value in last.items() if name in HIDDEN and name != "bag_ml"}
    hidden |= {name: watch.ledger[name] for name in ("fio2_frac",) if name in watch.ledger}
    if "sao2_frac" in last:
        hidden["sao2_pct"] = 100.0 * last["sao2_frac"]
    for name, value in instruments.items():
        if name.endswith(".flow_lpm") and value is not None:
            hidden[_flat(name)] = value
    return {
        "readings": {name: None if isnan(value) else round(value, 4) for name, value in hidden.items()},
        "ledger_ml": {name: volume for name, volume in watch.ledger.items() if name.endswith("_ml")},
        "waiting": _waiting(attempt),
        "faults": dict(faults),
        "happened": [{"event": event, "at_s": at_s} for at_s, event in attempt.happened],
        "warnings": attempt.equipment.warnings(),
    }


def _waiting(attempt: Attempt) -> list[dict[str, Any]]:
    pending = attempt.pending
    waiting = []
    for event in pending.events:
        if event.id in pending.happened_s:
            continue
        unmet = [act.kind for i, act in enumerate(event.acts) if (event.id, i) not in pending.met_s]
        told: dict[str, Any] = {"event": event.id, "by_hand": event.thrown_only, "waits_for_acts": unmet}
        if event.at_s > 0.0:
            told["at_s"] = event.at_s
        if event.after is not None:
            told["after"] = event.after
        if event.condition is not None:
            told["reading"] = event.condition.reading
            told["below"], told["above"] = event.condition.below, event.condition.above
        if event.delay_s > 0.0:
            told["then_after_s"] = event.delay_s
        waiting.append(told)
    return waiting


def _things(attempt: Attempt, equipment: Any) -> dict[str, Any]:
    """What eyes see of the equipment, with the mist and the padding that the patient's side knows."""
    things: dict[str, Any] = equipment.seen()
    treatment, padded = attempt.treatment, attempt.padded()
    filled = cup_in_use(equipment)
    for device in things["devices"]:
        if filled is not None and device["id"] == filled.id:
            device["cup_ml"] = round(treatment.cup.volume_ml + treatment.cup.on_walls_ml, 2)
            device["misting"] = treatment.mist_frac > MISTS_ABOVE_FRAC
            device["tilt_deg"] = round(treatment.angle_deg)
            device["sputtering"] = MISTS_ABOVE_FRAC < treatment.mist_frac < SPUTTERS_BELOW_FRAC
        if device["worn"] and device["kind"].startswith("bag_valve_mask"):
            device["squeezed"] = attempt.body.now.held_rate_per_min > 0.0
        sites = {skin_sites()[c.site].seen_with for c in skin_contacts().get(device["kind"], ())}
        device["padded"] = sorted(sites & padded)
    return things
