"""Questions on a cup in line: what comes through a tracheostomy tube, and what comes through prongs."""

from tidalbay.catalogue.nebulisers import passes_um, reaches_lips_frac
from tidalbay.science.aerosol import Breathing, nebulised_second
from tidalbay.science.nebuliser_cup import Cup, filled
from tidalbay.validation.questions.nebuliser import jet, run

DRIVING_LPM = 8.0
FILL_ML = 3.0


def through_tracheostomy_pct(
    fill_ml: float,
    tidal_ml: float,
    rate_per_min: float,
    inspiratory_share: float,
    carrier_lpm: float = 0.0,
) -> float:
    """Share of the drug in the cup that comes beyond a tracheostomy tube by T-piece, at 8 L/min. [%]"""
    breathing = _breathing(tidal_ml, rate_per_min, inspiratory_share)._replace(
        carrier_lpm=carrier_lpm, past_throat=1.0
    )
    return _beyond_pct(breathing, reaches_lips_frac("nebuliser_t_piece"), fill_ml)


def through_prongs_pct(
    flow_lpm: float, tidal_ml: float, rate_per_min: float, inspiratory_share: float
) -> float:
    """Share of the mist that leaves a cup in the tubing and comes to the windpipe through prongs. [%]

    `flow_lpm` is all the gas in the tubing, the cup's own 8 L/min among it.
    """
    breathing = _breathing(tidal_ml, rate_per_min, inspiratory_share)._replace(
        nose_frac=1.0,
        carrier_lpm=flow_lpm - DRIVING_LPM,
        passes_um=passes_um("nebuliser_in_line", flow_lpm),
    )
    of_dose_pct = _beyond_pct(breathing, reaches_lips_frac("nebuliser_in_line"), FILL_ML)
    return of_dose_pct / run(FILL_ML, DRIVING_LPM).emitted_frac


def _breathing(tidal_ml: float, rate_per_min: float, inspiratory_share: float) -> Breathing:
    length_s = 60.0 / rate_per_min
    taken_s = inspiratory_share * length_s
    return Breathing(taken_s, length_s - taken_s, 0.0, tidal_ml, 0.0)


def _beyond_pct(breathing: Breathing, reaches_frac: float, fill_ml: float) -> float:
    """What passes nose and throat, and is caught by a filter in the windpipe's place. [%]"""
    seconds = 60.0 * run(fill_ml, DRIVING_LPM).minutes
    cup = filled(Cup(), fill_ml, 1.0)
    stays = nebulised_second(cup, jet(), breathing, reaches_frac, DRIVING_LPM, 0.0, seconds).deposit
    return 100.0 * (stays.airways + stays.alveoli + stays.breathed_out)
