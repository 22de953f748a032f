"""Law: nothing appears and nothing is lost, species by species, whatever is on the face."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.engine.benches import DEVICES, SEA_LEVEL_MMHG, cannula, held, simple_mask
from tests.engine.inventory import held_ml_stpd, missing_ml_stpd

import tidalbay.engine.layout as at
from tidalbay.engine import BREATH_COLUMNS, Patient, Run, first_state
from tidalbay.science.controls import Controls

pytestmark = pytest.mark.usefixtures("model")

SICK = Patient(shunt_frac=0.15, vq_log_sd=1.2, dead_ventilation_frac=0.15)


def missing_after(patient, controls, until_s):
    run = Run(first_state(patient, controls[0]), patient, 1)
    run.advance_to(5.0, controls[0])
    for counter in (at.GAIN_O2_ML, at.GAIN_CO2_ML, at.GAIN_N2_ML, at.USED_O2_ML, at.MADE_CO2_ML):
        run.state[counter] = 0.0
    before = held_ml_stpd(run.state, patient, controls[0])
    for i, worn in enumerate(controls):
        run.advance_to(5.0 + (i + 1) * until_s / len(controls), worn)
    return missing_ml_stpd(run.state, patient, controls[-1], before)


@pytest.mark.parametrize("device", DEVICES)
@pytest.mark.parametrize("mouth_share", [0.0, 0.6])
def test_a_thousand_breaths_close_the_ledger_of_every_species(device, mouth_share):
    missing = missing_after(SICK._replace(mouth_share=mouth_share), [DEVICES[device](6.0)], 3000.0)

    assert missing == pytest.approx((0.0, 0.0, 0.0), abs=2e-6)


def test_apnoea_and_starving_tissue_close_the_ledger_too():
    missing = missing_after(SICK._replace(apnoea=1.0), [cannula(4.0)], 900.0)

    assert missing == pytest.approx((0.0, 0.0, 0.0), abs=2e-6)


@settings(max_examples=25, deadline=None)
@given(
    rate=st.floats(6, 45),
    tidal=st.floats(150, 1200),
    flows=st.lists(st.floats(0, 40), min_size=1, max_size=4),
    names=st.lists(st.sampled_from(sorted(DEVICES)), min_size=4, max_size=4),
    shunt=st.floats(0, 0.5),
    spread=st.floats(0.05, 1.8),
)
def test_devices_changed_at_random_close_the_ledger(rate, tidal, flows, names, shunt, spread):
    patient = held(rate, tidal, shunt_frac=shunt, vq_log_sd=spread)
    worn = [
        DEVICES[name](flow)._replace(face_placing=float(i + 1) if DEVICES[name](flow).face_volume_ml else 0.0)
        for i, (name, flow) in enumerate(zip(names, flows, strict=False))
    ]

    missing = missing_after(patient, worn, 120.0)

    assert missing == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)


@pytest.mark.parametrize("device", DEVICES)
def test_the_breath_ledger_adds_up_to_the_breath(device):
    run = Run(first_state(SICK, DEVICES[device](6.0)), SICK, 1)
    run.advance_to(300.0, DEVICES[device](6.0))
    rows = np.vstack(run.breaths)
    column = {name: rows[:, i] for i, name in enumerate(BREATH_COLUMNS)}

    sources = ("supplied_ml", "nose_and_throat_ml", "mask_ml", "bag_ml", "room_ml", "expired_ml")
    total = sum(column[name] for name in sources)

    assert total == pytest.approx(column["inspired_ml"], rel=1e-12)
    assert min(column[name].min() for name in sources) >= -1e-9


def test_oxygen_breathed_in_is_what_supply_and_room_brought():
    # A ceiling on the fraction at the windpipe would be false (late room air stays in mask and
    # throat and is blown off unused); the ledger of sources is what must hold.
    run = Run(first_state(held(20, 500), simple_mask(6.0)), held(20, 500), 1)
    run.advance_to(300.0, simple_mask(6.0))
    row = dict(zip(BREATH_COLUMNS, np.vstack(run.breaths)[-1], strict=True))

    from_supply = row["supplied_ml"] + row["mask_ml"] + row["nose_and_throat_ml"]
    oxygen = row["fio2_frac"] * row["inspired_ml"]

    # Alveolar gas never holds more than what was breathed in.
    ceiling = from_supply + 0.2095 * row["room_ml"] + row["expired_ml"] * row["fio2_frac"]
    assert oxygen <= ceiling + 1e-9


def test_controls_and_patients_are_plain_numbers():
    assert all(isinstance(value, float) for value in (*Controls(), *Patient()))
    assert not dataclasses.is_dataclass(Controls)
    assert Controls().barometric_mmhg == SEA_LEVEL_MMHG
