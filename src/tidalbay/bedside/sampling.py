"""What a sampling line draws in: expired gas, thinned by whatever else comes to the place where it lies."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tidalbay.catalogue.devices import SamplingSite, sampling_sites
from tidalbay.science.airway import (
    MOUTH_ML_S_CMH2O,
    NOSE_ML_S_CMH2O,
    captured_jet_ml_s,
    draught_ml_s,
    entrained_ratio,
    nasal_flow_ml_s,
)
from tidalbay.science.arithmetic import exp
from tidalbay.science.controls import Controls

ROUNDS: Final = 2  # breaths gone through, so that what the last one left is there when the next begins
SHUT_FRAC: Final = 1e-9  # a nose less open than this is shut


@dataclass(frozen=True, slots=True)
class SamplingLine:
    """A sampling line and everything that the gas before its opening depends on.

    Attributes
    ----------
    site : str
        A row of the catalogue's sampling sites.
    controls : Controls
        What the equipment did to the face while the breath was breathed.
    mouth_share : float
        The patient's habit, as the breathing model has it. [1]
    since_s : float
        When it was put there; breaths that began before it are not its own. [s]
    """

    site: str
    controls: Controls
    mouth_share: float
    since_s: float

    @property
    def _row(self) -> SamplingSite:
        return sampling_sites()[self.site]

    @property
    def _is_closed(self) -> bool:
        """Whether breath passes a valve or a tube to which a line can be joined, and nothing else does."""
        return self.controls.face_takes_back < 0.5 or self.controls.bypass_upper_airway > 0.5


def sampled_mmhg(
    line: SamplingLine, expired_mmhg: Sequence[float], moved_ml_s: Sequence[float], step_s: float
) -> list[float]:
    """Carbon dioxide before the line's opening through one breath.

    Parameters
    ----------
    line : SamplingLine
    expired_mmhg : sequence of float
        Of the gas that leaves the windpipe, at each point of the breath. [mmHg]
    moved_ml_s : sequence of float
        Flow through the windpipe at each point, inward positive. [mL/s BTPS]
    step_s : float
        From one point to the next. [s]

    Returns
    -------
    list of float
        At each point; 0 where no breath reaches the opening. [mmHg]

    Notes
    -----
    The opening lies in a small stirred space (at the nose or in a circuit), or in the mask's own. Flows
    through nose and mouth are shared out by the equation of the breathing model, from the same numbers; so
    are what prongs push into the nostrils, what is fed to a mask and the room's draught under its edge. With
    prongs the trace sags towards the end of the breath: the oxygen goes on when the breath does not. Every
    step is the exact answer of a stirred space at constant flow. What the line itself draws, about 1 mL/s
    (from memory), is left out; so is the delay through it.
    """
    mask_mmhg = port_mmhg = 0.0
    sampled: list[float] = []
    for _ in range(ROUNDS):
        sampled = []
        for expired, moved in zip(expired_mmhg, moved_ml_s, strict=True):
            mask_mmhg = _in_the_mask(line.controls, mask_mmhg, expired, moved, step_s)
            port_mmhg = _before_the_port(line, port_mmhg, mask_mmhg, expired, moved, step_s)
            sampled.append(port_mmhg)
    return sampled


def fresh_ml_s(controls: Controls, moved_ml_s: float) -> float:
    """Gas without carbon dioxide that enters a mask's space while this much is breathed. [mL/s]

    Notes
    -----
    A bag that is refilled while breathing out gives the mask nothing then; what it cannot hold is not
    counted. Room air makes good what a breath in lacks.
    """
    fed = controls.face_flow_btps_ml_s
    if controls.face_entrainment_ratio > 0.0:
        fed *= 1.0 + entrained_ratio(
            controls.face_entrainment_ratio, controls.face_entrainment_open_frac, 0.0
        )
    entering = max(fed, moved_ml_s)
    draught = draught_ml_s(
        controls.draught_btps_ml_s, controls.draught_shield_btps_ml_s, entering - max(0.0, moved_ml_s)
    )
    return entering + draught


def _in_the_mask(
    controls: Controls, held_mmhg: float, expired_mmhg: float, moved_ml_s: float, step_s: float
) -> float:
    """The mask's own gas a step later; a face without one, or a valve that lets it out, holds nothing."""
    if controls.face_volume_ml <= 0.0 or controls.face_takes_back < 0.5:
        return 0.0
    returned_ml_s = max(0.0, -moved_ml_s)
    fresh = fresh_ml_s(controls, moved_ml_s)
    return _stirred(held_mmhg, controls.face_volume_ml, step_s, ((expired_mmhg, returned_ml_s), (0.0, fresh)))


def _before_the_port(
    line: SamplingLine,
    held_mmhg: float,
    mask_mmhg: float,
    expired_mmhg: float,
    moved_ml_s: float,
    step_s: float,
) -> float:
    controls, row = line.controls, line._row
    if line.site == "mask":
        if controls.face_volume_ml <= 0.0:
            return 0.0  # it hangs in the room with its mask
        if controls.face_takes_back > 0.5:
            return mask_mmhg
    if line.site == "circuit" and not line._is_closed:
        return 0.0
    if line.site == "nose" and not line._is_closed:
        through, thinning = _through_the_nose(controls, line.mouth_share, moved_ml_s)
    elif line.site == "nose":
        # A valve's cushion holds nose and mouth; a tube in the neck leaves them out.
        through, thinning = (0.0 if controls.bypass_upper_airway > 0.5 else moved_ml_s), 0.0
    else:
        through, thinning = moved_ml_s, 0.0
    port_ml = row.port_ml or sampling_sites()["circuit"].port_ml
    return _stirred(
        held_mmhg,
        port_ml,
        step_s,
        (
            (expired_mmhg, max(0.0, -through)),
            (mask_mmhg, max(0.0, through) + row.stirred_ml_s),
            (0.0, thinning),
        ),
    )


def _through_the_nose(controls: Controls, mouth_share: float, moved_ml_s: float) -> tuple[float, float]:
    """Flow from nostril to throat, inward positive, and what prongs bring to the nostril. [mL/s]"""
    mouth = MOUTH_ML_S_CMH2O * controls.mouth_open_frac * max(mouth_share, controls.mouth_held_frac)
    nose = NOSE_ML_S_CMH2O * (controls.nose_open_frac if controls.nose_open_frac > SHUT_FRAC else 0.0)
    prongs = controls.prong_flow_btps_ml_s
    through = nasal_flow_ml_s(moved_ml_s, prongs, controls.nostril_gap_ml_s_cmh2o, nose, mouth)
    beside = captured_jet_ml_s(controls.jet_flow_btps_ml_s, controls.jet_capture_frac, abs(through))
    return through, prongs + beside


def _stirred(
    held_mmhg: float, volume_ml: float, step_s: float, entering: Sequence[tuple[float, float]]
) -> float:
    """A stirred space a step later, by pressure [mmHg] and flow [mL/s] of each gas that enters it."""
    total = sum(flow for _, flow in entering)
    if total <= 0.0:
        return held_mmhg
    mixed = sum(mmhg * flow for mmhg, flow in entering) / total
    return mixed + (held_mmhg - mixed) * exp(-total * step_s / volume_ml)
