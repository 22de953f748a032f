"""Contract: nonsense asked of the public functions is refused in a sentence, at once.

No traceback of another kind, no number made of nonsense, no run without an end.
"""

from math import inf, nan

import numpy as np
import pytest
from tests.attempt.refused import answer_of, assert_sentences, named, refusal_of

import tidalbay
from tidalbay.catalogue.patients import PatientError

pytestmark = pytest.mark.usefixtures("model")

# --- patients ---


IMPOSSIBLE = [
    ({"haemoglobin_g_dl": 0}, "haemoglobin_g_dl is 0. Allowed: 3 to 25 g/dL. 3 is nearest."),
    ({"age_years": 400}, "age_years is 400. Allowed: 0 to 110 years. 110 is nearest."),
    (
        {"ph": 3},
        "a patient has no ph. Write base_excess_mmol_l; pH and bicarbonate follow from base excess and "
        "carbon dioxide.",
    ),
    ({"shunt_frac": 1.5}, "shunt_frac is 1.5. Allowed: 0 to 0.6. 0.6 is nearest."),
    ({"temperature_degc": -273.15}, "temperature_degc is -273.15. Allowed: 30 to 42.5 °C. 30 is nearest."),
]


@pytest.mark.parametrize(("overrides", "words"), IMPOSSIBLE)
def test_a_patient_who_cannot_be_is_refused_by_every_question(overrides, words):
    asked = [
        refusal_of(tidalbay.breath, "simple_mask", 6.0, overrides=overrides),
        refusal_of(tidalbay.course, [{"minutes": 1}], overrides=overrides),
    ]

    assert asked == [words, words]


@pytest.mark.parametrize(
    "overrides",
    [
        {"haemoglobin_g_dl": nan},
        {"haemoglobin_g_dl": inf},
        {"haemoglobin_g_dl": "12"},
        {"haemoglobin_g_dl": 10**400},
        {"weight_kg": 1e300},
        {"weight_kg": -70},
        {"shunt_frac": True},
        {"shunt_frac": [0.1]},
        {"sex": 3},
        {"sex": "unknown"},
        {3: 4},
        {None: 1},
        "haemoglobin",
        7,
        [("haemoglobin_g_dl", 12)],
        # one by one possible, together not
        {"systolic_mmhg": 90, "diastolic_mmhg": 120},
        {"carboxyhaemoglobin_frac": 0.5, "methaemoglobin_frac": 0.4},
        {"oxygen_use_ml_min": 250, "co2_output_ml_min": 800},
        {"age_years": 1, "height_cm": 180},
        {"frc_ml": 200, "anatomical_dead_space_ml": 200},
    ],
    ids=named,
)
def test_numbers_that_no_body_has_are_refused_in_words(overrides):
    refusal_of(tidalbay.breath, "simple_mask", 6.0, overrides=overrides)
    refusal_of(tidalbay.course, [{"minutes": 1}], overrides=overrides)


def test_a_patient_error_is_a_value_error_and_names_every_fault():
    error = answer_of(
        tidalbay.course, [{"minutes": 1}], overrides={"haemoglobin_g_dl": 0, "age_years": 400, "ph": 3}
    )

    assert isinstance(error, PatientError)
    assert [fault.name for fault in error.faults] == ["haemoglobin_g_dl", "age_years", "ph"]


@pytest.mark.parametrize(
    "overrides",
    [
        {"haemoglobin_g_dl": 3.0},
        {"shunt_frac": 0.6},
        {"sedation_frac": 1.0},
        {"paco2_habitual_mmhg": 80.0},
        {"carboxyhaemoglobin_frac": 0.5},
        {"methaemoglobin_frac": 0.4},
        {"base_excess_mmol_l": -20.0},
        {"base_excess_mmol_l": 25.0},
        {"temperature_degc": 42.5},
        {"muscle_strength_cmh2o": 10.0},
    ],
    ids=repr,
)
def test_the_sickest_patients_that_are_accepted_live_or_fail_in_numbers(overrides):
    stages = [{"minutes": 3}, {"minutes": 3, "device": "simple_mask", "flow_lpm": 6}]

    answer = answer_of(tidalbay.course, stages, overrides=overrides)

    if isinstance(answer, BaseException):
        assert isinstance(answer, ValueError)
        assert_sentences(str(answer))
    else:
        rows = answer.seconds
        assert all(np.isfinite(rows[name]).all() for name in ("sao2_pct", "pao2_mmhg", "paco2_mmhg", "ph"))
        assert rows["pao2_mmhg"].max() < 760.0
        assert rows["sao2_pct"].min() >= 0.0


# --- the public questions, asked badly ---


NO_NUMBERS = [nan, inf, -inf, 1e300, -1e300, 10**400, "5", "five", [], {}, 1j, True]
OUT_OF_RANGE = {
    "flow_lpm": [-1.0, 16.0],
    "rate_per_min": [0.0, -12.0, 1e-6, 500.0],
    "tidal_ml": [0.0, -500.0, 1e6],
    "inspiratory_share": [0.0, 1.0, -0.4],
    "pause_s": [-1.0, 4.0, 60.0],
    "mouth_share": [-0.1, 1.1],
    "altitude_m": [-5000.0, 20000.0],
    "fit": [-0.1, 2.0],
    "valves": [-1, 3, 0.5],
    "setting_pct": [-1, 27, 28.5],
    "fio2_set": [0.1, 40.0],
}
OF_A_STAGE = {
    "minutes": [-1.0, 0.0, 1e6, None],
    "room_oxygen_frac": [-0.1, 1.1],
    "airway_open": [0.5, 1],
    "device": [nan, 3, None, "nonsense"],
    "breathing": [3, None, "nonsense"],
}
DEVICE_FOR = {
    "valves": "non_rebreathing_mask",
    "setting_pct": "air_entrainment_mask",
    "fio2_set": "high_flow_nasal_cannula",
}


@pytest.mark.parametrize("name", OUT_OF_RANGE)
def test_a_breath_of_nonsense_is_refused_in_words(name):
    device = DEVICE_FOR.get(name, "simple_mask")

    for value in [*NO_NUMBERS, *OUT_OF_RANGE[name]]:
        refusal_of(tidalbay.breath, device, **{"flow_lpm": 6.0, name: value})


@pytest.mark.parametrize("name", [*OUT_OF_RANGE, *OF_A_STAGE])
def test_a_stage_of_nonsense_is_refused_in_words(name):
    stage = {
        "minutes": 1,
        "device": DEVICE_FOR.get(name, "simple_mask"),
        "flow_lpm": 6.0,
        "breathing": "held",
    }
    wrong = {**OUT_OF_RANGE, **OF_A_STAGE}[name]

    for value in [*(value for value in NO_NUMBERS if (name, value) != ("airway_open", True)), *wrong]:
        refusal_of(tidalbay.course, [{**stage, name: value}])


def test_numbers_of_other_libraries_are_numbers():
    plain = tidalbay.breath("simple_mask", 6, rate_per_min=20, fit=1)

    assert (
        tidalbay.breath("simple_mask", np.float32(6), rate_per_min=np.int64(20), fit=np.float64(1)) == plain
    )


def test_an_infant_breathes_in_its_own_size_unless_told_and_is_not_blown_up():
    usual = tidalbay.breath(patient="healthy_infant")
    small = tidalbay.breath(patient="healthy_infant", tidal_ml=20, rate_per_min=80)
    words = refusal_of(tidalbay.breath, patient="healthy_infant", tidal_ml=500)

    assert 40.0 < usual.tidal_ml < 80.0
    assert 30.0 <= usual.rate_per_min <= 60.0
    assert (small.tidal_ml, small.rate_per_min) == (20.0, 80.0)
    assert words.startswith("tidal_ml is 500, more than the chest of somebody of 7.9 kg can take in.")


@pytest.mark.parametrize(
    "stages", [[], None, 3, "minutes", {"minutes": 1}, [3], [None], [{}], [{"minute": 1}]], ids=repr
)
def test_stages_that_are_none_are_refused_in_words(stages):
    refusal_of(tidalbay.course, stages)


def test_a_seed_is_a_whole_number():
    case = tidalbay.load_case("transport")

    for seed in (-1, 2**64, 1.5, nan, "1", None, []):
        refusal_of(tidalbay.course, [{"minutes": 1}], seed=seed)
        refusal_of(tidalbay.play, case, [], seed=seed)


def test_a_cylinder_of_nonsense_is_refused_in_words():
    for value in [*NO_NUMBERS, -1.0]:
        refusal_of(tidalbay.cylinder, "E", value, "psi", flow_lpm=2.0)
        refusal_of(tidalbay.cylinder, "E", 700, "psi", flow_lpm=value)
        refusal_of(tidalbay.cylinder, "E", 700, "psi", flow_lpm=2.0, reserve=value)


@pytest.mark.parametrize("value", [nan, 3, None, [], {}, "nonsense"], ids=repr)
def test_a_thing_of_another_kind_is_refused_in_words(value):
    case = tidalbay.load_case("transport")

    refusal_of(tidalbay.cylinder, value, 700, "psi", flow_lpm=2.0)
    refusal_of(tidalbay.cylinder, "E", 700, value, flow_lpm=2.0)
    refusal_of(tidalbay.breath, value, 6.0)
    refusal_of(tidalbay.breath, "simple_mask", 6.0, patient=value)
    refusal_of(tidalbay.breath_warnings, value, 6.0)
    refusal_of(tidalbay.course, [{"minutes": 1}], patient=value)
    refusal_of(tidalbay.load_case, value)
    refusal_of(tidalbay.replay, value)
    refusal_of(tidalbay.play, value)
    refusal_of(tidalbay.play, case, [], mode=value)
    if value is not None and value != [] and value != {}:  # nobody doing anything
        refusal_of(tidalbay.play, case, value)


def test_time_does_not_run_to_nowhere():
    case = tidalbay.load_case("transport")
    playing = tidalbay.play(case, [])
    playing.run_to(10.0)

    for value in [*NO_NUMBERS, -1.0]:
        refusal_of(tidalbay.simulate, case, [], minutes=value)
        refusal_of(playing.run_to, value)

    assert playing.t_s == 10.0


@pytest.mark.parametrize(
    "act",
    [
        {},
        {"at": "0:10"},
        {"act": "order_read"},
        {"at": "soon", "act": "order_read"},
        {"at": -5, "act": "order_read"},
        {"at": nan, "act": "order_read"},
        {"at": inf, "act": "order_read"},
        {"at": "0:10", "act": "nonsense"},
        {"at": "0:10", "act": ["order_read"]},
        {"at": "0:10", "act": "flow_set", "on": "flowmeter", "flow_lpm": "2"},
        {"at": "0:10", "act": "flow_set", "on": "flowmeter", "flow_lpm": nan},
        {"at": "0:10", "act": "flow_set", "on": "flowmeter", "flow_lpm": 400},
        {"at": "0:10", "act": "flow_set", "on": "flowmeter"},
        {"at": "0:10", "act": "positioned", "position": "on_head"},
        3,
        None,
        "order_read",
    ],
    ids=repr,
)
def test_an_act_of_nonsense_in_a_script_is_refused_in_words(act):
    case = tidalbay.load_case("transport")

    def played():
        playing = tidalbay.play(case, [act])
        playing.run_to(20.0)

    refusal_of(played)
