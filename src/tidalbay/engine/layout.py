"""Where every number of a patient's state stands in the one flat array that the kernel advances.

One float64 array is the whole patient: it copies, hashes and stores as it is.  Gas volumes are
mL BTPS, blood contents mL STPD per mL of blood, pressures mmHg, times s.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

# --- single numbers -------------------------------------------------------------------------
(
    TIME_S,
    BREATH_NUMBER,
    BREATH_START_S,
    SUBINTERVAL,  # next sub-interval of this breath
    SUBINTERVALS,  # how many it has; 0 before the first breath
    INSPIRATORY_SUBINTERVALS,
    INSPIRATORY_S,
    EXPIRATORY_S,
    EMPTYING_S,  # part of the expiratory time in which the chest empties; the rest is pause
    EMPTYING_CONSTANT_S,
    TIDAL_ML,
    RATE_PER_MIN,
    STILL_S,  # left of the pause after a very slow breath
    CHEST_ML,  # volume above rest that the chest has now
    FRC_ML,
    VQ_LOG_SD,  # for which air is shared out now
    DEAD_VENTILATION,
    FACE_PLACING,
    FACE_VOLUME_ML,
    FACE_OUTFLOW_ML_S,  # of the last sub-interval
    BAG_ML,
    NEXT_SECOND,
    # the breath under way
    INSPIRED_ML,
    THROAT_O2_S,
    THROAT_PEAK_O2,
    PEAK_FLOW_ML_S,
    BAG_MIN_ML,
    MASK_SUCTION_CMH2O_S,  # what breathing in pulls at a mask's ports and edge, over time
    END_TIDAL_O2,
    END_TIDAL_CO2,
    INSPIRED_O2_ML,
    INSPIRED_CO2_ML,
    LEDGER_SUPPLIED_ML,
    LEDGER_THROAT_ML,
    LEDGER_MASK_ML,
    LEDGER_BAG_ML,
    LEDGER_ROOM_ML,
    # the last whole breath
    LAST_FIO2,
    LAST_TIDAL_ML,
    LAST_RATE_PER_MIN,
    LAST_END_TIDAL_O2,
    LAST_END_TIDAL_CO2,
    MASK_RESISTANCE_CMH2O_S_L,  # that its pull came to
    # blood and tissue
    ARTERIAL_O2,
    ARTERIAL_CO2,
    TISSUE_FAST_O2,
    TISSUE_FAST_CO2,
    TISSUE_SLOW_O2,
    TISSUE_SLOW_CO2,
    VENOUS_O2,
    VENOUS_CO2,
    BODY_PN2,
    BLOOD_BASE_EXCESS,
    CARDIAC_OUTPUT_ML_S,
    SHUNT_FRAC,
    COHB_FRAC,
    # arterial blood of the last whole breath
    PAO2,
    PACO2,
    SAO2,
    PH,
    # control
    BRAIN_PCO2,
    CAROTID_PO2,
    CAROTID_PCO2,
    HYPOXIC_DECLINE,
    DEMAND_L_MIN,
    HEART_RATE_PER_MIN,
    EFFORT_INDEX,
    FATIGUE_FRAC,
    ALERTNESS_FRAC,
    CONFUSION_FRAC,
    # oximeter
    PROBE_AVERAGE,
    SHOWN_PCT,
    LOST_S,  # since the probe last had a signal
    # amounts that have crossed the border of patient and equipment, inward positive
    GAIN_O2_ML,
    GAIN_CO2_ML,
    GAIN_N2_ML,
    USED_O2_ML,  # by tissue, mL STPD
    MADE_CO2_ML,
    N_SCALARS,
) = range(79)

# --- gas compositions -----------------------------------------------------------------------
# Fractions of dry gas, then labels of origin; nitrogen and own expired gas are what is left.
O2, CO2, SUPPLIED, THROAT, MASK, BAG, ROOM, N_GASES = range(8)
FIRST_LABEL = SUPPLIED

N_PARCELS = 64  # of the windpipe's line
PARCEL_SIZE = 1 + N_GASES  # volume, composition

# --- lung units -----------------------------------------------------------------------------
LOBE = 5  # the lobe that a plug can shut; size 0 where the patient has none to lose
N_PERFUSED = 6
N_UNITS = 7  # the last one breathes and has no blood: alveolar dead space
DEAD = 6
(
    UNIT_O2_ML,
    UNIT_CO2_ML,
    UNIT_N2_ML,
    UNIT_FLOW_SHARE,  # of pulmonary flow that is not shunt, before vasoconstriction
    UNIT_AIR_SHARE,  # of the tidal volume, when every way is open
    UNIT_AIR_NOW,  # of the tidal volume in this breath
    UNIT_REST_SHARE,  # of the resting volume
    UNIT_TONE,  # vasoconstriction weight, 0 to 1
    UNIT_PERFUSION_SHARE,  # of unshunted flow now, after vasoconstriction
    UNIT_BEHIND_ML,  # gas it still lacks to fit the chest, since its airway was shut
    # blood at the unit's end, linear about a point: contents and their slopes
    AT_PO2,
    AT_PCO2,
    AT_O2,
    AT_CO2,
    O2_BY_PO2,
    O2_BY_PCO2,
    CO2_BY_PO2,
    CO2_BY_PCO2,
    N_UNIT_FIELDS,
) = range(19)

N_HISTORY = 128  # seconds of arterial saturation that the probe can look back on

# --- places -----------------------------------------------------------------------------------
# A gas is named by the place in the state where its composition starts.
NOSE = N_SCALARS
UVULA = NOSE + N_GASES
PHARYNX = UVULA + N_GASES
MOUTH = PHARYNX + N_GASES
FACE = MOUTH + N_GASES
RESERVOIR = FACE + N_GASES
LUNG = RESERVOIR + N_GASES  # gas that leaves the lungs, or enters them
ROOM_AIR = LUNG + N_GASES
OUTSIDE = ROOM_AIR + N_GASES  # what nose and mouth breathe: the room, or the mask
INFLOW = OUTSIDE + N_GASES  # scratch, as the next three are
PASSING = INFLOW + N_GASES
THROAT_MEAN = PASSING + N_GASES
BACK = THROAT_MEAN + N_GASES
LINE = BACK + N_GASES
LINE_COUNT, LINE_HEAD, PARCELS = LINE, LINE + 1, LINE + 2
UNITS = PARCELS + N_PARCELS * PARCEL_SIZE
HISTORY = UNITS + N_UNITS * N_UNIT_FIELDS
STATE_SIZE = HISTORY + N_HISTORY

# --- what the kernel writes down -------------------------------------------------------------
SECOND_COLUMNS = (
    "t_s",
    "spo2_shown_pct",  # below 0: the probe is off
    "sao2_frac",
    "pao2_mmhg",
    "paco2_mmhg",
    "ph",
    "fio2_frac",
    "end_tidal_o2_frac",
    "end_tidal_co2_mmhg",
    "rate_per_min",
    "tidal_ml",
    "demand_l_min",
    "heart_rate_per_min",
    "bag_ml",
    "chest_ml",
    "shunt_frac",
    "perfusion_index_pct",
    "motion_frac",
    "throat_pressure_cmh2o",
    "cohb_frac",
    "effort_index_frac",
    "fatigue_frac",
    "alertness_frac",
    "confusion_frac",
    "systolic_mmhg",
    "diastolic_mmhg",
)
BREATH_COLUMNS = (
    "start_s",
    "duration_s",
    "inspiratory_s",
    "tidal_ml",
    "inspired_ml",
    "fio2_frac",
    "throat_mean_o2_frac",
    "throat_peak_o2_frac",
    "end_tidal_o2_frac",
    "end_tidal_co2_mmhg",
    "inspired_co2_ml",
    "peak_inspiratory_flow_lpm",
    "bag_min_ml",
    "supplied_ml",
    "nose_and_throat_ml",
    "mask_ml",
    "bag_ml",
    "room_ml",
    "expired_ml",
)
N_SECOND_COLUMNS = len(SECOND_COLUMNS)
N_BREATH_COLUMNS = len(BREATH_COLUMNS)
