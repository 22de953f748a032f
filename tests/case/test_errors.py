"""Contract of a case that is not well written: every error at once, each with its place, in words.

The words are part of the product, so they are tested whole.
"""

from pathlib import Path

import pytest
from tests.case.small_case import (
    BOTTLE,
    CANNULA,
    CASE,
    DEVICES,
    MASK,
    ORDER,
    PATIENT,
    PRESETS,
    SIZES,
    WALL,
    problems_of,
    said_of,
)

from tidalbay.case import CaseErrors, load_case, read_case

DATA = Path(__file__).parent / "data"
WIDE = "high-flow nasal cannula or tracheostomy mask"


def test_the_small_case_itself_is_well_written():
    assert read_case(CASE, "case.yaml").id == "small"


def test_the_whole_page_of_a_case_with_many_errors():
    with pytest.raises(CaseErrors) as refused:
        load_case(DATA / "broken.yaml")

    page = str(refused.value).replace(str(DATA / "broken.yaml"), "broken.yaml")
    assert page == (DATA / "broken.txt").read_text(encoding="utf-8").rstrip("\n")


def test_the_same_facts_come_as_json_for_editors():
    errors = problems_of(CASE.replace("minutes: 10", "minutes: 0"))

    assert errors.as_json() == [
        {
            "file": "case.yaml",
            "line": 14,
            "col": 10,
            "what": "minutes is 0",
            "allowed": "0.5 to 720 min",
            "hint": "0.5 is nearest",
        },
    ]


# One thing changed in the small case; what is said of it: place, what is wrong, what is allowed, a way out.
ONE_CHANGE = [
    (
        "schema: 1",
        "schema: 2",
        [("1:9", "schema is 2", "1", "the file was written for a newer version of this program")],
    ),
    ("schema: 1", "schema: one", [("1:9", "schema is one", "1", "")]),
    (
        "id: small",
        "id: 7th Case",
        [("2:5", "id is 7th Case", "small letters, digits, _ and -, a letter first", "")],
    ),
    ("title: A small case", "title: 12", [("3:8", "title is 12, not text", "text", "put it in quotes")]),
    ("title: A small case", "title:", [("3:1", "title is empty", "text", "")]),
    ("title: A small case", "title: " + "x" * 201, [("3:8", "title is 201 letters long", "at most 200", "")]),
    (
        "teaches: One thing.",
        "",
        [("1:1", "the case lacks teaches", "", "write teaches: what a learner should take away")],
    ),
    ("teaches: One thing.", "teaches: {a: 1}", [("4:10", "teaches is a mapping, not text", "text", "")]),
    ("minutes: 10", "minutes: ten", [("14:10", "minutes is ten, not a number", "0.5 to 720 min", "")]),
    (
        "minutes: 10",
        "minutes: .inf",
        [("14:10", "minutes is inf, not a finite number", "0.5 to 720 min", "")],
    ),
    ("minutes: 10", "minutes: 0", [("14:10", "minutes is 0", "0.5 to 720 min", "0.5 is nearest")]),
    (
        "minutes: 10",
        "minutes: 10\nmood: good",
        [
            (
                "15:1",
                "the case has no mood",
                (
                    "schema, id, title, teaches, setting, patient, order, posture, setup, minutes, "
                    "paths, events, check_off, debrief, forms, believed"
                ),
                "",
            )
        ],
    ),
    (
        "minutes: 10",
        "minutes: 10\nposture: lying",
        [("15:10", "posture is lying", "flat, propped, upright, sitting_out, side", "")],
    ),
    (PATIENT, "patient:", [("5:1", "patient is empty", "names and values", "")]),
    (
        PATIENT,
        "patient: Mr N. Alder",
        [("5:10", "patient is Mr N. Alder, not names and values", "names and values", "")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder}",
        [
            (
                "5:1",
                "the patient lacks preset",
                "",
                "write preset: the kind of patient to start from; the catalogue's presets",
            )
        ],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy}",
        [("5:38", "preset is healthy", PRESETS, "did you mean healthy_woman?")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, haemoglobin_g_dl: 0}",
        [("5:71", "haemoglobin_g_dl is 0", "3 to 25 g/dL", "3 is nearest")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, numbers: {pain: 3}}",
        [("5:53", "the patient has no numbers", "", "")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, pH: 3}",
        [
            (
                "5:53",
                "the patient has no pH",
                "",
                "write base_excess_mmol_l; pH and bicarbonate follow from base excess and carbon dioxide",
            )
        ],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, age_years: 1, height_cm: 180}",
        [("5:78", "height_cm is 180 at 12 months", "45 to 102 cm at that age", "")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, pain: 3 of 10}",
        [("5:59", "pain is 3 of 10, not a number", "0 to 10", "")],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, systolic_mmhg: 70}",
        [
            (
                "5:68",
                "the blood pressure is 70 over 76",
                "an upper pressure at least 10 mmHg above the lower",
                "",
            )
        ],
    ),
    (
        PATIENT,
        "patient: {name: Mr N. Alder, preset: healthy_adult, weight_kg: 250, height_cm: 130}",
        [("5:64", "250 kg at 130 cm is a body mass index of 148", "a body mass index of 10 to 90 kg/m2", "")],
    ),
    (
        ORDER,
        "order: {text: Air.}",
        [
            (
                "6:1",
                "the order lacks target_spo2_pct",
                "",
                "write target_spo2_pct: the target saturation range, its lower and its upper end",
            )
        ],
    ),
    (
        ORDER,
        "order: {text: Air., target_spo2_pct: [94]}",
        [("6:38", "target_spo2_pct holds 1 value", "2 values", "")],
    ),
    (
        ORDER,
        "order: {text: Air., target_spo2_pct: [94, 96, 98]}",
        [("6:38", "target_spo2_pct holds 3 values", "2 values", "")],
    ),
    (
        ORDER,
        "order: {text: Air., target_spo2_pct: 94}",
        [("6:38", "target_spo2_pct is 94, not a list", "a list", "")],
    ),
    (
        ORDER,
        "order: {text: Air., target_spo2_pct: [98, 94]}",
        [("6:38", "target_spo2_pct goes from 98 to 94", "the lower end first", "")],
    ),
    (
        ORDER,
        "order: {text: Air., target_spo2_pct: [94, 198]}",
        [("6:43", "value 2 of target_spo2_pct is 198", "50 to 100 %", "100 is nearest")],
    ),
    (
        ORDER,
        "order: {text: Air., flow_lpm: 40, target_spo2_pct: [94, 98]}",
        [
            (
                "6:31",
                "flow_lpm is 40 and the scale of meter ends at 15 L/min",
                "0 to 15 L/min",
                "a flowmeter with a larger max_lpm goes further",
            )
        ],
    ),
    (
        ORDER,
        "order: {text: Air., flow_lpm: -2, target_spo2_pct: [94, 98]}",
        [("6:31", "flow_lpm is -2", "0 to 100 L/min", "0 is nearest")],
    ),
    (
        ORDER,
        "order: {text: Air., flow_lpm: 4000, target_spo2_pct: [94, 98]}",
        [("6:31", "flow_lpm is 4000", "0 to 100 L/min", "100 is nearest")],
    ),
    (
        ORDER,
        "order: {text: Air., device: canula, target_spo2_pct: [94, 98]}",
        [("6:29", "device is canula", DEVICES, "did you mean nasal_cannula?")],
    ),
    (
        ORDER,
        "order: {text: Air., entrainment_pct: 28.5, target_spo2_pct: [94, 98]}",
        [("6:38", "entrainment_pct is 28.5", "24 to 60, whole", "")],
    ),
    (
        WALL,
        "- {id: wall, kind: wall, flowmeter: {id: meter, max_lpm: 15}}",
        [
            (
                "9:24",
                "kind is wall",
                "wall_oxygen, wall_air, cylinder, concentrator, large_concentrator",
                "did you mean wall_air?",
            )
        ],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, size: E, flowmeter: {id: meter, max_lpm: 15}}",
        [("9:37", "an outlet in the wall has no size", "", "leave it out, or change the kind")],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 400}}",
        [("9:69", "max_lpm is 400", "0.1 to 100 L/min", "100 is nearest")],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, flowmeter: {id: meter, max_lpm: 15, flow_lpm: 20}}",
        [
            (
                "9:83",
                "flow_lpm is 20 and the scale ends at 15 L/min",
                "0 to 15 L/min",
                "raise max_lpm, or lower the flow",
            )
        ],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, flowmeter: {id: wall, max_lpm: 15}}",
        [
            ("9:53", "two parts are called wall", "", "give each its own id"),
            ("12:56", "there is no flowmeter meter", "wall, bottle_flowmeter", ""),
            (
                "17:38",
                "there is no meter here at 1:00",
                "wall, bottle, bottle_flowmeter, cannula, mask, cannula_tubing, mask_tubing",
                "",
            ),
        ],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, flowmeter: meter}",
        [
            ("9:48", "flowmeter is meter, not names and values", "names and values", ""),
            ("12:56", "there is no flowmeter meter", "bottle_flowmeter", ""),
            (
                "17:38",
                "there is no meter here at 1:00",
                "wall, bottle, bottle_flowmeter, cannula, mask, cannula_tubing, mask_tubing",
                "",
            ),
        ],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, flowmeter: {id: meter, flush: yes}}",
        [("9:67", "flush is yes", "true, false", "yes is a word in this kind of file; write true")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: cylinder, size: Q, gauge_bar: 100, regulator: true}",
        [("10:42", "size is Q", SIZES, "")],
    ),
    (
        BOTTLE,
        ("- {id: bottle, kind: cylinder, size: D, gauge_bar: 100, gauge_psi: 1400, regulator: true}"),
        [("10:45", "the pressure is given twice", "one of gauge_psi, gauge_bar", "")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: cylinder, size: D, gauge_bar: 300, regulator: true}",
        [
            (
                "10:56",
                "gauge_bar is 300, more than a size D cylinder can hold",
                "0 to 172 bar",
                "a full one shows 138 bar",
            )
        ],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: cylinder, size: D, gauge_bar: 900, regulator: true}",
        [("10:56", "gauge_bar is 900", "0 to 400 bar", "400 is nearest")],
    ),
    (
        BOTTLE,
        ("- {id: bottle, kind: cylinder, size: D, gauge_bar: 100, regulator: false, flowmeter: {id: dial}}"),
        [("10:79", "a cylinder's flowmeter is part of its regulator", "", "leave out one of the two")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: cylinder, size: D, gauge_bar: 100, pressurised: true}",
        [("10:61", "a cylinder has no pressurised", "", "leave it out, or change the kind")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: concentrator, valve_open: true}",
        [("10:40", "a concentrator has no valve_open", "", "leave it out, or change the kind")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: concentrator, flowmeter: {max_lpm: 15}}",
        [("10:52", "a concentrator's flowmeter has no max_lpm to choose", "", "leave it out")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: concentrator, running: true, flowmeter: {flow_lpm: 8}}",
        [
            (
                "10:77",
                "flow_lpm is 8 and the scale ends at 5 L/min",
                "0 to 5 L/min",
                "take a larger machine, or lower the flow",
            )
        ],
    ),
    (
        WALL,
        "- {id: wall, kind: wall_oxygen, running: true, flowmeter: {id: meter, max_lpm: 15}}",
        [("9:37", "an outlet in the wall has no running", "", "leave it out, or change the kind")],
    ),
    (
        BOTTLE,
        "- {id: bottle, kind: cylinder, size: CD, regulator: false}",
        [("10:46", "the regulator of a size CD cylinder is built in", "", "leave it out")],
    ),
    (
        CANNULA,
        "- {id: cannula, kind: nasal_cannula, connected_to: metre}",
        [("12:56", "there is no flowmeter metre", "meter, bottle_flowmeter", "did you mean meter?")],
    ),
    (
        CANNULA,
        "- {id: cannula, kind: nasal_cannula, connected_to: wall_air}",
        [("12:56", "there is no flowmeter wall_air", "meter, bottle_flowmeter", "")],
    ),
    (
        MASK,
        "- {id: mask, kind: simple_mask, worn: false, connected_to: meter}",
        [("13:64", "meter feeds cannula already", "", "a flowmeter takes one tube")],
    ),
    (
        CANNULA,
        "- {id: cannula, kind: nasal_mask, connected_to: meter}",
        [("12:27", "kind is nasal_mask", DEVICES, "did you mean simple_mask?")],
    ),
    (
        CANNULA,
        "- {id: cannula, kind: nasal_cannula, bag_filled: true}",
        [("12:42", "a nasal cannula has no bag_filled", "", "leave it out, or change the kind")],
    ),
    (
        CANNULA,
        (
            "- {id: cannula, kind: non_rebreathing_mask, connected_to: meter}\n"
            "    - {id: third, kind: simple_mask}"
        ),
        [("13:25", "third and cannula cannot both be worn", "", "write worn: false for one of them")],
    ),
    (
        CANNULA,
        "- {id: tee, kind: nebuliser_t_piece}",
        [
            (
                "12:23",
                "a nebuliser T-piece is pushed onto a tracheostomy tube, and the patient has none",
                "",
                "write patient: {tracheostomy: true} in the set-up, or worn: false here",
            )
        ],
    ),
    (
        CANNULA,
        "- {id: cup, kind: nebuliser_in_line}",
        [
            (
                "12:23",
                f"an in-line nebuliser goes into the wide tubing of a {WIDE}; none is here",
                "",
                "add it to the devices, or write worn: false here",
            )
        ],
    ),
    (
        CANNULA,
        (
            "- {id: cannula, kind: high_flow_nasal_cannula}\n"
            "    - {id: cup, kind: nebuliser_in_line, joined_to: canula}"
        ),
        [("13:53", f"canula is no {WIDE}", "cannula", "did you mean cannula?")],
    ),
    (
        CANNULA,
        "- {id: cannula, kind: nasal_cannula, joined_to: mask}",
        [("12:42", "a nasal cannula has no joined_to", "", "leave it out, or change the kind")],
    ),
    (
        MASK,
        "- {id: mask, kind: air_entrainment_mask, worn: false, entrainment_pct: 29}",
        [
            (
                "13:76",
                "entrainment_pct is 29; there is no such valve",
                "24, 28, 31, 35, 40, 50, 60 %",
                "28 is nearest",
            )
        ],
    ),
    (
        MASK,
        "- {id: mask, kind: simple_mask, worn: false, fit: 0.5}",
        [("13:55", "fit is 0.5", "loose, snug, tight", "")],
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), ONE_CHANGE, ids=[str(row[1])[:60] for row in ONE_CHANGE])
def test_one_thing_that_is_wrong_is_said_where_it_stands(old, new, said):
    assert said_of(old, new) == said
