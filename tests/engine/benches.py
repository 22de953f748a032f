"""Patients and controls that engine tests share: a held bench lung, a cannula, masks."""

from tidalbay.engine import Patient
from tidalbay.science.controls import Controls
from tidalbay.units import btps_ml_s_from_lpm

SEA_LEVEL_MMHG = 760.0


def held(rate_per_min, tidal_ml, **numbers):
    """A healthy lung that breathes as it is told."""
    defaults = {"shunt_frac": 0.0, "vq_log_sd": 0.1, "breath_variability_frac": 0.0}
    return Patient(held_rate_per_min=rate_per_min, held_tidal_ml=tidal_ml, **{**defaults, **numbers})


def cannula(flow_lpm, **controls):
    """Oxygen by prongs along the floor of the nose."""
    return Controls(
        **{
            "prong_flow_btps_ml_s": btps_ml_s_from_lpm(flow_lpm, SEA_LEVEL_MMHG),
            "prong_oxygen_frac": 1.0,
            "nostril_gap_ml_s_cmh2o": 1200.0,
            **controls,
        }
    )


def simple_mask(flow_lpm, **controls):
    """Oxygen straight into a mask with open ports."""
    return Controls(
        **{
            "face_placing": 1.0,
            "face_volume_ml": 120.0,
            "face_flow_btps_ml_s": btps_ml_s_from_lpm(flow_lpm, SEA_LEVEL_MMHG),
            "face_oxygen_frac": 1.0,
            "port_ml_s_cmh2o": 2500.0,
            "draught_btps_ml_s": 100.0,
            "draught_shield_btps_ml_s": 200.0,
            **controls,
        }
    )


def reservoir_mask(flow_lpm, open_ml_s_cmh2o=20.0, **controls):
    """Oxygen into a bag under a mask; 20 is a tight fit with both discs, 500 one port open."""
    return Controls(
        **{
            "face_placing": 1.0,
            "face_volume_ml": 120.0,
            "bag_volume_ml": 840.0,
            "bag_start_ml": 840.0,
            "bag_flow_btps_ml_s": btps_ml_s_from_lpm(flow_lpm, SEA_LEVEL_MMHG),
            "bag_oxygen_frac": 1.0,
            "seal_ml_s_cmh2o": open_ml_s_cmh2o,
            "bag_valve_ml_s_cmh2o": 800.0,
            "bag_valve_opening_cmh2o": 0.25,
            "draught_btps_ml_s": 100.0 * open_ml_s_cmh2o / 2600.0,
            "draught_shield_btps_ml_s": 200.0,
            **controls,
        }
    )


DEVICES = {
    "bare face": lambda flow: Controls(),
    "cannula": cannula,
    "simple mask": simple_mask,
    "reservoir mask": reservoir_mask,
    "reservoir mask, one port open": lambda flow: reservoir_mask(flow, 500.0),
    "partial rebreathing mask": lambda flow: reservoir_mask(flow, 900.0, bag_valve_present=0.0),
}
