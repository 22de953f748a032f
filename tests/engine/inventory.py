"""How much of each gas a patient and the worn equipment hold: the ledger that tests close."""

import tidalbay.engine.layout as at
from tidalbay.engine import airway, lungs
from tidalbay.units import stpd_per_btps


def held_ml_stpd(state, patient, controls):
    """Oxygen, carbon dioxide and nitrogen in gas spaces, blood and tissue. [mL STPD]"""
    upper_ml = patient.upper_airway_ml
    spaces = {
        at.NOSE: airway.NOSE_SHARE * upper_ml,
        at.UVULA: airway.UVULA_SHARE * upper_ml,
        at.PHARYNX: airway.PHARYNX_SHARE * upper_ml,
        at.MOUTH: airway.MOUTH_SHARE * upper_ml,
        at.FACE: state[at.FACE_VOLUME_ML],
        at.RESERVOIR: state[at.BAG_ML],
    }
    o2 = co2 = n2 = 0.0
    for space, volume in spaces.items():
        o2 += volume * state[space + at.O2]
        co2 += volume * state[space + at.CO2]
        n2 += volume * (1.0 - state[space + at.O2] - state[space + at.CO2])
    for i in range(int(state[at.LINE_COUNT])):
        parcel = at.PARCELS + (int(state[at.LINE_HEAD]) + i) % at.N_PARCELS * at.PARCEL_SIZE
        volume, oxygen, carbon = state[parcel], state[parcel + 1 + at.O2], state[parcel + 1 + at.CO2]
        o2 += volume * oxygen
        co2 += volume * carbon
        n2 += volume * (1.0 - oxygen - carbon)
    for k in range(at.N_UNITS):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        o2 += state[unit + at.UNIT_O2_ML]
        co2 += state[unit + at.UNIT_CO2_ML]
        n2 += state[unit + at.UNIT_N2_ML]
    dry = stpd_per_btps(controls.barometric_mmhg)
    size = lungs.body_size(patient)
    blood_o2 = (
        size * lungs.ARTERIAL_ML * state[at.ARTERIAL_O2]
        + size * lungs.FAST_O2_ML * state[at.TISSUE_FAST_O2]
        + size * lungs.SLOW_O2_ML * state[at.TISSUE_SLOW_O2]
        + size * lungs.VENOUS_ML * state[at.VENOUS_O2]
    )
    blood_co2 = (
        size * lungs.ARTERIAL_ML * state[at.ARTERIAL_CO2]
        + lungs.FAST_CO2_ML_KG * patient.weight_kg * state[at.TISSUE_FAST_CO2]
        + lungs.SLOW_CO2_ML_KG * patient.weight_kg * state[at.TISSUE_SLOW_CO2]
        + size * lungs.VENOUS_ML * state[at.VENOUS_CO2]
    )
    body_n2 = (
        lungs.BODY_NITROGEN_BLOOD_ML_KG * patient.weight_kg * lungs.NITROGEN_ML_ML_MMHG * state[at.BODY_PN2]
    )
    return o2 * dry + blood_o2, co2 * dry + blood_co2, n2 * dry + body_n2


def missing_ml_stpd(state, patient, controls, at_start):
    """What the ledger cannot explain since `at_start` (a result of `held_ml_stpd`). [mL STPD]"""
    dry = stpd_per_btps(controls.barometric_mmhg)
    o2, co2, n2 = held_ml_stpd(state, patient, controls)
    return (
        o2 - at_start[0] - state[at.GAIN_O2_ML] * dry + state[at.USED_O2_ML],
        co2 - at_start[1] - state[at.GAIN_CO2_ML] * dry - state[at.MADE_CO2_ML],
        n2 - at_start[2] - state[at.GAIN_N2_ML] * dry,
    )
