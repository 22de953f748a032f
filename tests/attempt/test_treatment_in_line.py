"""The cup in line, through the loop: what reaches the lungs by neck and by prongs, and at more flow."""

from functools import cache

import pytest

import tidalbay

pytestmark = pytest.mark.usefixtures("model")

CASE = """\
schema: 1
id: in-line
title: A cup in line
teaches: Where the mist goes.
setting: Invented ward
patient: {{name: Mr A. Example, bed: bed 1, preset: healthy_adult, says: All right.}}
order: {{text: Salbutamol 5 mg, target_spo2_pct: [94, 98]}}
minutes: 20
setup:
  patient: {{tracheostomy: {tracheostomy}}}
  supplies:
    - {{id: wall, kind: wall_oxygen, flowmeter: {{id: meter, max_lpm: 70, flow_lpm: {flow_lpm}}}}}
    - {{id: air, kind: wall_air, flowmeter: {{id: air_meter, max_lpm: 15, flow_lpm: 8}}}}
  devices:
{devices}
"""
PRONGS = """\
    - {id: prongs, kind: high_flow_nasal_cannula, connected_to: meter, oxygen_share_pct: 50}
    - {id: cup, kind: nebuliser_in_line, connected_to: air_meter}
"""
TEE = "    - {id: cup, kind: nebuliser_t_piece, connected_to: air_meter}\n"
MOUTHPIECE = "    - {id: cup, kind: nebuliser_mouthpiece, connected_to: air_meter}\n"
POURED = {"at": "0:10", "act": "drug_loaded", "on": "cup", "drug": "salbutamol", "dose_mg": 5, "volume_ml": 4}


@cache
def treated(folder, devices, flow_lpm=30, tracheostomy=False, later=()):
    path = folder / "in-line.yaml"
    path.write_text(
        CASE.format(devices=devices, flow_lpm=flow_lpm, tracheostomy=str(tracheostomy).lower()),
        encoding="utf-8",
    )
    acts = [POURED, *(dict(act) for act in later)]
    run = tidalbay.play(tidalbay.load_case(path), acts)
    run.run_to(18 * 60.0)
    return run


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("in-line")


def lung_mg(run):
    return run.trace().seconds["lung_dose_mg"][-1]


def test_a_t_piece_brings_the_lungs_more_than_a_mouthpiece_and_leaves_nothing_in_the_throat(folder):
    tee = treated(folder, TEE, tracheostomy=True)
    mouthpiece = treated(folder, MOUTHPIECE)

    assert lung_mg(tee) > lung_mg(mouthpiece) > 0.0
    assert tee.attempt.treatment.deposit.throat == 0.0
    # Of the dose, 13.8 % (SD 2.6) came beyond a tracheostomy tube at 20 breaths of 450 mL (Ari 2012,
    # Respir Care 57:1066-1070, abstract read); a slower breath takes in more, and some comes out again.
    assert 0.05 < lung_mg(tee) / 5.0 < 0.20


def test_through_prongs_some_per_cent_reach_the_lungs_and_fewer_the_quicker_the_gas(folder):
    doses = [lung_mg(treated(folder, PRONGS, flow_lpm=flow)) / 5.0 for flow in (10, 30, 60)]

    assert doses == sorted(doses, reverse=True)
    # Some per cent: 0.2 to 10 in vitro over all flows (Perry 2013, Reminiac 2016, from memory).
    assert 0.002 < doses[2] < doses[1] < 0.05
    assert 0.01 < doses[0] < 0.10


def test_every_milligram_by_prongs_is_in_the_cup_the_patient_or_the_room(folder):
    treatment = treated(folder, PRONGS).attempt.treatment

    found = treatment.cup.drug_mg + sum(treatment.deposit) + treatment.lost_mg

    assert treatment.loaded_mg == 5.0
    assert found == pytest.approx(5.0, abs=1e-9)


def test_an_air_driven_cup_in_line_costs_oxygen_until_it_is_taken_out(folder):
    out = ({"at": "16:00", "act": "device_removed", "on": "cup"}.items(),)
    run = treated(folder, PRONGS, later=tuple(map(tuple, out)))

    inspired = run.trace().seconds["fio2_frac"]

    # 30 L/min at 50 % with 8 L/min of air: 44 %; the mouth shut, some of the room breathed at the peaks.
    assert inspired[15 * 60] == pytest.approx(0.44, abs=0.02)
    assert inspired[-1] == pytest.approx(0.50, abs=0.02)


def test_nothing_reaches_a_patient_whose_prongs_are_off(folder):
    off = ({"at": "0:05", "act": "device_removed", "on": "prongs"}.items(),)
    run = treated(folder, PRONGS, later=tuple(map(tuple, off)))

    assert lung_mg(run) == 0.0
    assert run.attempt.treatment.lost_mg > 1.0
