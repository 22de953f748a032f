"""Contract: an act that cannot be leaves no entry, what hands could do is allowed and has its price."""

from functools import cache

import pytest
from tests.attempt.refused import assert_sentences, refusal_of

import tidalbay
from tidalbay.catalogue.acts import acts
from tidalbay.equipment import ActRefused
from tidalbay.trace import Entry

pytestmark = pytest.mark.usefixtures("model")


def tap(attempt, kind, t_s, on=None, key=None, **values):
    attempt.act(
        Entry(
            n=attempt.log.next_n,
            t_ms=round(1000 * t_s),
            kind=kind,
            by="learner",
            hands="learner-1",
            on=on,
            key=key,
            values=values,
        )
    )


@cache
def begun(case):
    attempt = tidalbay.play(tidalbay.load_case(case), []).attempt
    attempt.run_to(10.0)
    return attempt


def at_ten_seconds(case="asthma-attack"):
    return begun(case).branch()


WITH_ARGUMENTS = [
    kind.id
    for kind in acts().values()
    if kind.id != "attempt_started" and any(not argument.optional for argument in kind.arguments.values())
]


def test_an_act_that_lacks_what_it_must_say_is_refused_and_leaves_no_entry():
    attempt = at_ten_seconds()

    for kind in WITH_ARGUMENTS:
        refusal_of(tap, attempt, kind, 20.0)

    assert len(attempt.log) == 1


@pytest.mark.parametrize(
    ("kind", "values"),
    [
        ("positioned", {"position": "on_head"}),
        ("positioned", {"position": 3}),
        ("coached", {"what": "sing"}),
        ("bag_squeezed", {"rate_per_min": -5}),
        ("bag_squeezed", {"rate_per_min": 1e9}),
        ("bag_squeezed", {"rate_per_min": "ten"}),
        ("bag_squeezed", {"rate_per_min": 12, "depth": "huge"}),
        ("event_thrown", {"event": "no-such-event"}),
        ("time_skipped", {"minutes": -5}),
        ("time_skipped", {"minutes": 1e9}),
        ("time_skipped", {"minutes": "five"}),
        ("taken_back", {"entry": 99}),
        ("taken_back", {"entry": 1}),
        ("taken_back", {"entry": "the last"}),
        ("drug_loaded", {"drug": "gin", "dose_mg": 5.0, "volume_ml": 5.0}),
        ("drug_loaded", {"drug": "salbutamol", "dose_mg": -1.0, "volume_ml": 5.0}),
        ("drug_loaded", {"drug": "salbutamol", "dose_mg": "5", "volume_ml": 5.0}),
        ("drug_loaded", {"drug": "salbutamol", "dose_mg": 1e300, "volume_ml": 5.0}),
        ("cup_held", {"angle_deg": 1e9}),
        ("cup_held", {"angle_deg": "flat"}),
        ("padding_added", {"site": "moon"}),
        ("no_such_act", {}),
    ],
    ids=repr,
)
def test_an_act_of_nonsense_is_refused_and_leaves_no_entry(kind, values):
    attempt = at_ten_seconds()

    refusal_of(tap, attempt, kind, 20.0, **values)

    assert len(attempt.log) == 1
    assert attempt.t_s == 20.0


@pytest.mark.parametrize("on", ["cannula", "outlet", "flowmeter", "no_such_thing"])
def test_a_drug_goes_into_a_nebuliser_and_nowhere_else(on):
    attempt = at_ten_seconds()

    refusal_of(tap, attempt, "drug_loaded", 20.0, on, drug="salbutamol", dose_mg=5.0, volume_ml=5.0)

    assert attempt.treatment.loaded_mg == 0.0


@pytest.mark.parametrize("on", [None, "cannula", "reservoir_mask", "no_such_thing"])
def test_only_a_bag_on_the_face_can_be_squeezed(on):
    attempt = at_ten_seconds("post-operative")

    refusal_of(tap, attempt, "bag_squeezed", 20.0, on, rate_per_min=12)
    attempt.run_to(60.0)

    assert attempt.run.last_second()["rate_per_min"] != 12.0


def bagged():
    attempt = at_ten_seconds("post-operative")
    tap(attempt, "device_chosen", 11.0, "bag", device="bag_valve_mask")
    tap(attempt, "tubing_connected", 12.0, "bag", **{"from": "flowmeter", "to": "bag"})
    tap(attempt, "flow_set", 13.0, "flowmeter", flow_lpm=15)
    tap(attempt, "device_placed", 14.0, "bag")
    return attempt


def test_a_bag_that_comes_off_no_longer_breathes_for_the_patient():
    attempt = bagged()
    tap(attempt, "bag_squeezed", 20.0, "bag", rate_per_min=12)
    attempt.run_to(60.0)
    squeezed = attempt.run.last_second()["rate_per_min"]

    tap(attempt, "device_removed", 60.0, "bag")
    attempt.run_to(120.0)

    assert squeezed == 12.0
    assert attempt.run.last_second()["rate_per_min"] != 12.0


def test_a_quick_squeeze_after_a_very_slow_one_is_not_kept_waiting():
    attempt = bagged()
    tap(attempt, "bag_squeezed", 20.0, "bag", rate_per_min=0.1)
    attempt.run_to(90.0)
    slow = attempt.run.last_second()["rate_per_min"]

    tap(attempt, "bag_squeezed", 90.0, "bag", rate_per_min=20)
    attempt.run_to(100.0)

    assert slow < 3.1
    assert attempt.run.last_second()["rate_per_min"] == 20.0


def test_a_tap_that_arrives_twice_is_one_act():
    once, twice = at_ten_seconds(), at_ten_seconds()
    said = {"drug": "salbutamol", "dose_mg": 2.5, "volume_ml": 2.5, "key": ("tablet-1", 7)}
    tap(once, "drug_loaded", 20.0, "nebuliser", **said)
    entry = once.log.acts[-1]

    twice.act(entry)
    twice.act(entry)

    assert twice.treatment.loaded_mg == once.treatment.loaded_mg == 2.5
    assert len(twice.log) == 2


# --- what hands can do, though they should not ---


def nebulised(dose_mg, minutes=24):
    acts = [
        {
            "at": "1:50", "act": "drug_loaded", "on": "nebuliser", "drug": "salbutamol",
            "dose_mg": dose_mg, "volume_ml": 5,
        },
        {"at": "2:10", "act": "tubing_connected", "from": "flowmeter", "to": "nebuliser"},
        {"at": "2:20", "act": "flow_set", "on": "flowmeter", "flow_lpm": 8},
        {"at": "2:30", "act": "device_placed", "on": "nebuliser"},
    ]  # fmt: skip
    playing = tidalbay.play(tidalbay.load_case("asthma-attack"), acts)
    playing.run_to(60.0 * minutes)
    return playing


def test_an_overdose_is_allowed_and_has_its_price():
    ordered, too_much = nebulised(5), nebulised(20)

    pulse, raced = (run.trace().seconds["heart_rate_per_min"].max() for run in (ordered, too_much))
    treatment = too_much.attempt.treatment

    assert raced > pulse + 3.0
    assert raced < 250.0
    found_mg = treatment.cup.drug_mg + sum(treatment.deposit) + treatment.lost_mg
    assert found_mg == pytest.approx(20.0, abs=1e-9)


def test_a_fill_of_no_volume_is_refused_with_its_reason():
    attempt = at_ten_seconds()

    with pytest.raises(ActRefused) as refusal:
        tap(attempt, "drug_loaded", 20.0, "nebuliser", drug="salbutamol", dose_mg=5.0, volume_ml=0.0)

    assert "volume_ml is 0" in str(refusal.value)
    assert_sentences(str(refusal.value))
    assert attempt.treatment.loaded_mg == 0.0


def test_a_flow_beyond_the_outlet_is_refused_where_it_is_set():
    attempt = at_ten_seconds()

    with pytest.raises(ActRefused) as refusal:
        tap(attempt, "flow_set", 20.0, "flowmeter", flow_lpm=40)

    assert str(refusal.value) == "40 L/min cannot be set on 'flowmeter': its scale ends at 15 L/min."


def test_a_second_mask_on_one_face_is_refused_and_the_first_stays():
    attempt = at_ten_seconds("rising-shunt")
    tap(attempt, "device_placed", 11.0, "mask")

    with pytest.raises(ActRefused) as refusal:
        tap(attempt, "device_placed", 12.0, "reservoir_mask")

    assert str(refusal.value) == (
        "'reservoir_mask' cannot go on: 'mask' is on the face already. Take that off first."
    )
    assert attempt.equipment.wearing() == {"simple_mask"}
