"""What the equipment does to a face: the numbers that pass from the graph of parts to the kernel.

Equipment yields one `Controls` for every stretch of time in which nothing changes; the kernel
reads it in every sub-interval.  Gas flows and volumes are at body conditions (BTPS): what the
gas will occupy once warmed to 37 °C and wet, so that they add up with the breath.
"""

from typing import NamedTuple


class Controls(NamedTuple):
    """What gas arrives, how much of it, through what, worn how.

    Conductances are in mL/s per cmH2O, flows in mL/s BTPS, volumes in mL BTPS, fractions of dry
    gas from 0 to 1.  A part that is absent has volume or conductance 0.  The defaults are a bare
    face in room air at sea level.
    """

    # The room
    barometric_mmhg: float = 760.0
    room_oxygen_frac: float = 0.2095

    airway_open: float = 1.0  # 0: nothing passes the throat

    # The way in: what the equipment leaves open of nose and mouth (the patient's habit comes on top)
    nose_open_frac: float = 1.0  # 0.5 with one nostril blocked, 0 with a nose clip or mouthpiece
    mouth_open_frac: float = 1.0  # 0 where the device takes the mouth out of the path
    mouth_held_frac: float = 0.0  # 1 with a mouthpiece: this much mouth breathing whatever the habit
    bypass_upper_airway: float = 0.0  # 1 with a tracheostomy: nose, mouth and throat out of the path

    # Prongs in the nose
    prong_flow_btps_ml_s: float = 0.0  # reaches the inside of the nostrils
    prong_oxygen_frac: float = 0.2095
    nostril_gap_ml_s_cmh2o: float = 0.0  # room left round the prongs; 0 = no prongs, nostrils free
    prong_stirring: float = 1.0  # 1 prongs along the floor of the nose, less when they point away
    jet_flow_btps_ml_s: float = 0.0  # leaves the prongs outside the nostrils
    jet_capture_frac: float = 0.0  # share of that jet that a strong breath still catches

    # A mask over nose and mouth (or over a tracheostomy)
    face_placing: float = 0.0  # number of the act that put it there; 0 = no mask
    face_volume_ml: float = 0.0
    face_flow_btps_ml_s: float = 0.0  # gas fed straight into the mask
    face_oxygen_frac: float = 0.2095
    face_entrainment_ratio: float = 0.0  # litres of room air per litre of driving gas at the jet
    face_entrainment_open_frac: float = 1.0  # 0 with the entrainment ports covered
    face_entrainment_stall_cmh2o: float = 0.0  # mask pressure at which the jet draws nothing in; 0 = never
    face_takes_back: float = 1.0  # 0: a valve sends all expired gas to the room
    port_ml_s_cmh2o: float = 0.0  # holes that let room air in while breathing in
    seal_ml_s_cmh2o: float = 0.0  # gap at the edge of the mask
    draught_btps_ml_s: float = 0.0  # exchange between mask and a still room
    draught_shield_btps_ml_s: float = 1.0  # outflow that halves that exchange

    # A reservoir bag on the mask
    bag_volume_ml: float = 0.0
    bag_start_ml: float = 0.0  # what it held when the mask went on
    bag_flow_btps_ml_s: float = 0.0  # gas fed into the bag
    bag_oxygen_frac: float = 0.2095
    bag_spills_to_room: float = 0.0  # 1: what the bag cannot hold is lost, not given to the mask
    bag_valve_present: float = 1.0
    bag_valve_ml_s_cmh2o: float = 0.0
    bag_valve_opening_cmh2o: float = 0.0

    # Probe and surroundings of the reading
    probe_on: float = 1.0
    probe_delay_s: float = 25.0
