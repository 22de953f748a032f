"""Contract of the skill in line: what its steps find in a record, and what a debrief shows of the mist."""

import pytest

import tidalbay
from tidalbay.catalogue.acts import acts
from tidalbay.judge import judge_attempt
from tidalbay.report import debrief_of

pytestmark = pytest.mark.usefixtures("model")

CASE = """\
schema: 1
id: in-line
title: A cup in line
teaches: The cup's gas joins the set's.
setting: Invented ward
patient: {name: Mr A. Example, bed: bed 1, preset: healthy_adult, says: All right.}
order: {text: Salbutamol 5 mg in line, target_spo2_pct: [94, 98]}
minutes: 20
setup:
  supplies:
    - {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 70, flow_lpm: 30}}
    - {id: air, kind: wall_air, flowmeter: {id: air_meter, max_lpm: 15}}
  devices:
    - {id: prongs, kind: high_flow_nasal_cannula, connected_to: meter, oxygen_share_pct: 40}
    - {id: cup, kind: nebuliser_in_line, connected_to: air_meter, worn: false}
check_off: {procedure: nebuliser-in-line}
"""
BEGUN = [
    {
        "at": "0:40",
        "act": "drug_loaded",
        "on": "cup",
        "drug": "salbutamol",
        "dose_mg": 5,
        "volume_ml": 4,
    },
    {"at": "1:00", "act": "flow_set", "on": "air_meter", "flow_lpm": 8},
    {"at": "1:10", "act": "observed", "what": "mist", "found": "seen"},
    {"at": "1:30", "act": "device_placed", "on": "cup", "to": "prongs"},
]
LOOKED = {"at": "4:00", "act": "observed", "what": "spo2", "found": "97"}
STOPPED = {"at": "15:00", "act": "treatment_stopped", "on": "cup", "why": "finished"}
OUT = {"at": "15:30", "act": "device_removed", "on": "cup"}
STEPS = ("mist-before-face", "filled-well", "share-looked-at", "cup-out-again")


def played(tmp_path, acts):
    path = tmp_path / "in-line.yaml"
    path.write_text(CASE, encoding="utf-8")
    playing = tidalbay.play(tidalbay.load_case(path), acts)
    playing.run_to(60.0 * playing.minutes)
    playing.end()
    return playing


def verdicts(playing):
    judged = judge_attempt(playing.log, playing.trace())
    return {each.criterion: each.verdict for each in judged.verdicts if each.criterion in STEPS}


def test_a_cup_that_is_watched_and_taken_out_again_meets_its_steps(tmp_path):
    found = verdicts(played(tmp_path, [*BEGUN, LOOKED, STOPPED, OUT]))

    assert found == dict.fromkeys(STEPS, "met")


def test_a_cup_that_nobody_looked_after_and_that_stayed_in_misses_them(tmp_path):
    found = verdicts(played(tmp_path, [*BEGUN, STOPPED]))

    assert (found["share-looked-at"], found["cup-out-again"]) == ("not_met", "not_met")
    assert found["mist-before-face"] == "met"


def test_the_record_tells_into_what_the_cup_went_and_what_came_of_it(tmp_path):
    playing = played(tmp_path, [*BEGUN, LOOKED, STOPPED, OUT])

    dose_mg = playing.trace().seconds["lung_dose_mg"]
    placed = next(entry for entry in playing.log.acts if entry.kind == "device_placed")

    strips = debrief_of(playing.log, playing.trace()).strips
    medicine = next(strip for strip in strips if strip.id == "medicine")

    assert max(value for _, value in medicine.lines[0].points) == pytest.approx(dose_mg[-1], abs=1e-3)
    assert 0.0 < dose_mg[-1] < 0.25  # some per cent of 5 mg
    assert dose_mg[16 * 60] == dose_mg[-1]  # nothing comes once the cup is out
    assert acts()["device_placed"].told(placed.values) == (
        "fitted the device into the wide tubing of the prongs"
    )
