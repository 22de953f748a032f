"""Law: whatever is tapped on a demonstration, the loop answers, keeps its past, and loses no drug and no gas.

Acts of every kind with arguments that the catalogue allows, on objects that are there or are not, done,
said or prompted, at any moment.  A failure says case and seed: `played(case, seed)` plays it again.
"""

from dataclasses import dataclass, field

import numpy as np
import pytest
from tests.engine.random_lives import (
    between,
    breath_faults,
    clock_faults,
    generator,
    second_faults,
    state_faults,
)

import tidalbay
from tidalbay.attempt import Attempt, plan_from
from tidalbay.catalogue.acts import act_versions, acts
from tidalbay.catalogue.cylinders import cylinder_sizes
from tidalbay.catalogue.devices import device_kinds
from tidalbay.equipment import ActRefused
from tidalbay.equipment.sources.bottle import held_l
from tidalbay.trace import Entry, Log, log_bytes, log_from_bytes

pytestmark = pytest.mark.usefixtures("model")

CASES = sorted(tidalbay.demonstrations())
SEEDS = range(2)
MINUTES = 14.0
ACTS = 45
NEVER = ("attempt_started", "attempt_ended")
LONGEST_SKIP_MIN = 4.0  # the catalogue allows twelve hours; another test skips those


# --- drawing --------------------------------------------------------------------------------------


def random_value(rng, argument, equipment, case, said_before):
    """One argument of an act, as the catalogue allows it."""
    match argument.type:
        case "number":
            return between(rng, argument.low, argument.high)
        case "whole":
            return int(rng.integers(2, max(3, said_before + 2)))
        case "yes_no":
            return bool(rng.random() < 0.5)
        case "choice":
            return str(rng.choice(argument.choices))
        case "finding":
            return between(rng, 0.0, 200.0) if rng.random() < 0.7 else "laboured"
        case "fields":
            return {"oxygen_flow_lpm": 4, "spo2_pct": 93}
        case "cylinder_size":
            return str(rng.choice([size.id for size in cylinder_sizes()]))
        case "id" if argument.name == "event":
            return str(rng.choice([event.id for event in case.events] or ["nothing"]))
        case "id":
            return random_object(rng, equipment)
    return "said in words"


def random_object(rng, equipment):
    """The name of a part that is there, or now and then of one that is not."""
    names = equipment.part_ids()
    return str(rng.choice(names)) if names and rng.random() < 0.9 else f"new_{rng.integers(3)}"


def random_entry(rng, attempt, case, t_ms):
    """An act of any kind, on any object, in any manner."""
    kinds = [kind for kind in acts().values() if kind.id not in NEVER]
    moving = [kind for kind in kinds if kind.changes != "nothing"]
    kind = (moving if rng.random() < 0.8 else kinds)[int(rng.integers(len(moving)))]
    equipment = attempt.equipment
    values = {}
    for argument in kind.arguments.values():
        if argument.optional and argument.name not in kind.one_of and rng.random() < 0.6:
            continue
        values[argument.name] = random_value(rng, argument, equipment, case, len(attempt.log))
    for names in (kind.one_of, kind.not_both):
        given = [name for name in names if name in values]
        for name in given[1:] if rng.random() < 0.5 else given[:-1]:
            del values[name]
    if kind.id == "time_skipped":
        values["minutes"] = min(LONGEST_SKIP_MIN, values["minutes"])
    if kind.id == "flow_set" and "flow_lpm" in values and rng.random() < 0.8:
        values["flow_lpm"] = min(15.0, 0.15 * values["flow_lpm"])
    on = None
    if kind.on and rng.random() < 0.9:
        on = _fitting_object(rng, kind, equipment)
    return Entry(
        n=attempt.log.next_n,
        t_ms=t_ms,
        kind=kind.id,
        by=str(rng.choice(kind.by)),
        hands="learner-1",
        manner=str(rng.choice(["done", "done", "done", "done", "said", "prompted"])),
        on=on,
        values=values,
    )


def _fitting_object(rng, kind, equipment):
    parts = {
        "outlet": [part.id for part in equipment.outlets()],
        "cylinder": [part.id for part in equipment.cylinders()],
        "flowmeter": [part.id for part in equipment.flowmeters],
        "tube": [part.id for part in equipment.tubes],
        "device": [part.id for part in equipment.devices],
    }
    fitting = [name for sort in kind.on for name in parts.get(sort, ())]
    return str(rng.choice(fitting)) if fitting and rng.random() < 0.8 else random_object(rng, equipment)


def oxygen_on(attempt, t_ms, rng):
    """Acts that get some device fed and worn: chance alone seldom does them in this order."""
    kind = str(rng.choice(list(device_kinds())))
    meters = [meter.id for meter in attempt.equipment.flowmeters]
    meter = str(rng.choice(meters))
    name = f"{kind}_{t_ms}"
    rows = [("device_removed", device.id, {}) for device in attempt.equipment.worn()]
    rows += [
        ("device_chosen", name, {"device": kind}),
        ("tubing_connected", name, {"from": meter, "to": name}),
        ("flow_set", meter, {"flow_lpm": between(rng, 0.0, 15.0)}),
        ("bag_filled", name, {}),
        ("device_placed", name, {}),
    ]
    if kind.startswith("nebuliser"):
        rows.insert(1, ("drug_loaded", name, {"drug": "salbutamol", "dose_mg": 5.0, "volume_ml": 5.0}))
    for act, on, values in rows:
        yield Entry(
            n=attempt.log.next_n, t_ms=t_ms, kind=act, by="learner", hands="learner-1", on=on, values=values
        )


# --- playing --------------------------------------------------------------------------------------


@dataclass
class Played:
    """An attempt that was played at random, and what happened on the way."""

    attempt: Attempt
    end_s: float
    refusals: list[str] = field(default_factory=list)
    kinds: set[str] = field(default_factory=set)
    branch: Attempt | None = None  # went on without one act
    branched_s: float = 0.0
    faults: list[str] = field(default_factory=list)


def played(case_id, seed, n_acts=ACTS, minutes=MINUTES):
    """Play a case at random; the same case and seed are the same attempt."""
    rng = generator([seed, CASES.index(case_id)])
    case = tidalbay.load_case(case_id)
    attempt = tidalbay.play(case, [], seed=seed).attempt
    moments_ms = np.sort(rng.integers(0, int(60_000 * minutes), n_acts))
    if rng.random() < 0.3:
        moments_ms = moments_ms // 1000 * 1000  # on whole seconds, where events come too
    result = Played(attempt, 60.0 * minutes)
    left_out = int(rng.integers(n_acts))
    for i, t_ms in enumerate(moments_ms):
        t_ms = max(int(t_ms), round(1000.0 * attempt.t_s + 0.5))
        if i == left_out:
            result.branch, result.branched_s = attempt.branch(), t_ms / 1000.0
        if rng.random() < 0.12:
            for entry in oxygen_on(attempt, t_ms, rng):
                tapped(result, entry, f"{case_id}, seed {seed}")
        else:
            tapped(result, random_entry(rng, attempt, case, t_ms), f"{case_id}, seed {seed}")
    result.end_s = max(result.end_s, attempt.t_s)
    attempt.run_to(result.end_s)
    if result.branch is not None:
        result.branch.run_to(result.end_s)
    return result


def tapped(result, entry, where):
    """Do one act; a refusal must be a sentence and leave the log alone."""
    before = len(result.attempt.log)
    try:
        result.attempt.act(entry)
    except ActRefused as refusal:
        words = str(refusal)
        if not is_sentence(words) or len(result.attempt.log) != before:
            result.faults.append(f"{where}: {entry.kind} at {entry.t_ms} ms is refused with {words!r}")
        result.refusals.append(words)
    except Exception as error:  # the fault that this file looks for
        result.faults.append(f"{where}: {entry} raises {error!r}")
    else:
        result.kinds.add(entry.kind)
        result.faults += [
            f"{where}, after {entry.kind} on {entry.on}: {f}" for f in kept_faults(result.attempt)
        ]


def is_sentence(words):
    """Whether a text can be shown to a person as it is."""
    return (
        words.endswith(".")
        and words[0] in "'\"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
        and " " in words
        and "\n" not in words
        and len(words) < 600
        and not any(sign in words for sign in ("Traceback", "Error(", "object at 0x", "NoneType"))
    )


def kept_faults(attempt):
    """Drug and cylinder gas: what was brought is where it is now, or where it went."""
    faults = []
    treatment = attempt.treatment
    found_mg = treatment.cup.drug_mg + sum(treatment.deposit) + treatment.lost_mg
    if abs(found_mg - treatment.loaded_mg) > 1e-9 * max(1.0, treatment.loaded_mg):
        faults.append(f"{treatment.loaded_mg!r} mg were poured and {found_mg!r} mg are found")
    ledger = attempt.equipment.ledger
    found_l = sum(held_l(cylinder) for cylinder in attempt.equipment.cylinders())
    found_l += ledger.from_cylinders_l + ledger.vented_l + ledger.taken_away_l
    if abs(found_l - ledger.brought_l) > 1e-6:
        faults.append(f"cylinders brought {ledger.brought_l!r} L and {found_l!r} L are found")
    flowed_l = ledger.from_cylinders_l + ledger.from_wall_l + ledger.from_concentrators_l
    if abs(ledger.to_patient_l + ledger.to_room_l - flowed_l) > 1e-6 * max(1.0, flowed_l):
        faults.append(f"{flowed_l!r} L left the supplies and went nowhere")
    return faults


def row_faults(attempt):
    """Every number that was written is finite and in bounds, and the clock rises by one second."""
    seconds, breaths = np.vstack(attempt.run.seconds), np.vstack(attempt.run.breaths)
    highest_mmhg = attempt.plan.barometric_mmhg
    return [
        *second_faults(seconds),
        *breath_faults(breaths),
        *clock_faults(seconds, 0.0, attempt.run.state),
        *state_faults(attempt.run.state, attempt.equipment.controls(highest_mmhg), highest_mmhg),
    ]


@pytest.fixture(scope="module", params=[(case, seed) for case in CASES for seed in SEEDS], ids=str)
def one(request, model):
    return played(*request.param)


# --- laws -----------------------------------------------------------------------------------------


def test_acts_are_done_or_refused_in_a_sentence_and_nothing_is_lost(one):
    assert "\n".join(one.faults) == ""
    assert len(one.kinds) > 8
    assert one.refusals


def test_what_was_written_is_finite_and_in_bounds(one):
    assert row_faults(one.attempt) == []


def test_the_log_read_again_tells_the_same_story_wherever_time_is_cut(one):
    log = log_from_bytes(log_bytes(one.attempt.log), "the log", act_versions()).log
    rng = generator(len(log))
    again = Attempt.start(plan_from(log.entries[0]), Log([log.entries[0]]))

    for entry in log.entries[1:]:
        for _ in range(rng.integers(0, 4)):
            ahead_s = entry.t_ms / 1000.0 - again.t_s
            if ahead_s > 0.0:
                again.run_to(again.t_s + ahead_s * rng.random())
        again.act(entry)
    while again.t_s < one.end_s:
        again.run_to(min(one.end_s, again.t_s + between(rng, 0.01, 90.0)))
    straight = tidalbay.replay(log, one.end_s)

    assert straight.trace().digest() == one.attempt.trace().digest()
    assert again.trace().digest() == one.attempt.trace().digest()
    assert straight.happened == again.happened == one.attempt.happened


def test_an_act_never_changes_a_row_that_was_written_before_it(one):
    assert one.branch is not None
    without, with_acts = one.branch.trace(), one.attempt.trace()
    rows = int(one.branched_s) + 1

    for name, column in without.seconds.items():
        if name in with_acts.seconds:
            told = with_acts.seconds[name][:rows]
            assert np.array_equal(column[:rows], told, equal_nan=column.dtype.kind == "f"), name
    ended = without.breaths["start_s"] + without.breaths["duration_s"] <= one.branched_s
    for name, column in without.breaths.items():
        assert column[ended].tobytes() == with_acts.breaths[name][: ended.sum()].tobytes(), name


def test_a_trace_of_random_acts_can_be_written_down(one, tmp_path):
    trace = one.attempt.trace()

    trace.to_csv(tmp_path / "seconds.csv")

    assert (tmp_path / "seconds.csv").stat().st_size > 1000
    assert len(trace.seconds["t_s"]) == int(one.end_s) + 1


@pytest.mark.parametrize("case", CASES)
def test_hours_skipped_at_once_are_lived_through_in_bounds(case):
    minutes = 720 if case != "asthma-attack" else 120  # a drug in the patient is followed second by second
    playing = tidalbay.play(tidalbay.load_case(case))
    playing.run_to(60.0 * playing.minutes)
    attempt = playing.attempt
    skip = Entry(
        n=attempt.log.next_n,
        t_ms=round(1000.0 * attempt.t_s),
        kind="time_skipped",
        by="instructor",
        hands="instructor",
        values={"minutes": minutes},
    )

    attempt.act(skip)

    assert attempt.t_s == 60.0 * (playing.minutes + minutes)
    assert row_faults(attempt) == []
    assert kept_faults(attempt) == []


def test_every_case_was_played_with_acts_of_most_kinds():
    kinds = set()
    for i, case in enumerate(CASES):
        kinds |= played(case, 90 + i, n_acts=80, minutes=2.0).kinds

    changing = {kind.id for kind in acts().values() if kind.changes != "nothing"}
    assert len(kinds & changing) > 0.8 * len(changing), sorted(changing - kinds)
