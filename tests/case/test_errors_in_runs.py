"""Contract of scripted acts and events that are not well written: what is said of each, and where."""

import pytest
from tests.case.small_case import ACT, CAUSES, LATER, PARTS, READINGS, TIMES, WORSE, said_of

# One thing changed in the small case; what is said of it: place, what is wrong, what is allowed, a way out.
ONE_CHANGE = [
    (ACT, "- {act: order_read}", [("17:7", "the act lacks at", "", "write at: when")]),
    (ACT, "- {at: 1 min}", [("17:7", "the act lacks act", "", "write act: which act of the catalogue")]),
    (
        ACT,
        "- {at: 1, act: flow_set, on: meter, flow_lpm: 2}",
        [("17:12", "at is 1, not a time", TIMES, "write 1 min for minutes or 1 s for seconds")],
    ),
    (
        ACT,
        "- {at: 11:00, act: flow_set, on: meter, flow_lpm: 2}",
        [("17:12", "at is 11:00, and the case ends at 10:00", "0:00 to 10:00", "or raise minutes")],
    ),
    (
        ACT,
        ("- {at: 1 min, act: flow_set, on: meter, flow_lpm: 2}\n    - {at: 0:30, act: order_read}"),
        [
            (
                "18:12",
                "at is 0:30, before the act above it at 1:00",
                "",
                "acts stand in the order of their times",
            )
        ],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_sett, on: meter, flow_lpm: 2}",
        [("17:24", "there is no act flow_sett", "", "did you mean flow_set?")],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_set, on: meter, flow_lpm: 40}",
        [
            (
                "17:55",
                "flow_lpm is 40 and the scale of meter ends at 15 L/min",
                "0 to 15 L/min",
                "a flowmeter with a larger max_lpm goes further",
            )
        ],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_set, on: meter, flow_lpm: -1}",
        [("17:55", "flow_lpm is -1", "0 to 100 L/min", "0 is nearest")],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_set, on: meter, flow: 2}",
        [
            ("17:24", "flow_set lacks flow_lpm or flush", "one of flow_lpm, flush", ""),
            ("17:45", "flow_set has no flow", "flow_lpm, flush", "did you mean flow_lpm?"),
        ],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_set, on: metre, flow_lpm: 2}",
        [("17:38", "there is no metre here at 1:00", PARTS, "did you mean meter?")],
    ),
    (
        ACT,
        "- {at: 1 min, act: flow_set, on: meter, flow_lpm: 2, manner: thought}",
        [("17:66", "manner is thought", "done, said, prompted", "")],
    ),
    (
        ACT,
        "- {at: 1 min, act: event_thrown, event: wors, by: instructor}",
        [("17:45", "there is no event wors", "worse, later", "did you mean worse?")],
    ),
    (
        ACT,
        "- {at: 1 min, act: event_thrown, event: worse}",
        [("17:24", "event_thrown is not for a learner to log", "instructor", "write by: instructor")],
    ),
    (
        ACT,
        "- {at: 1 min, act: attempt_ended, why: finished}",
        [("17:24", "attempt_ended is logged by the program itself", "", "take it out of the script")],
    ),
    (
        ACT,
        "- {at: 1 min, act: order_read, on: meter}",
        [("17:36", "order_read is not done to an object", "", "leave on out")],
    ),
    (
        ACT,
        "- {at: 1 min, act: concentrator_started, on: engine}",
        [
            (
                "17:50",
                "there is no engine here at 1:00",
                PARTS,
                "",
            )
        ],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, on: mask, sets: {valve_exchanged: 29}}",
        [("19:62", "valve_exchanged is 29", "24, 28, 31, 35, 40, 50, 60", "")],
    ),
    (
        ACT,
        "- order_read",
        [("17:7", "value 1 of good is order_read, not names and values", "names and values", "")],
    ),
    (
        "    - {at: 1 min, act: flow_set, on: meter, flow_lpm: 2}",
        "    act: order_read",
        [("17:5", "good is a mapping, not a list", "a list", "")],
    ),
    (
        ACT,
        (
            "- {at: 1 min, act: device_placed, on: reservoir}\n"
            "    - {at: 2 min, act: device_chosen, on: reservoir, device: non_rebreathing_mask}"
        ),
        [("17:43", "there is no reservoir here at 1:00", PARTS, "")],
    ),
    (
        ACT,
        (
            "- {at: 1 min, act: regulator_fitted, on: bottle, max_lpm: 3}\n"
            "    - {at: 2 min, act: flow_set, on: bottle_flowmeter, flow_lpm: 20}"
        ),
        [
            (
                "18:66",
                "flow_lpm is 20 and the scale of bottle_flowmeter ends at 15 L/min",
                "0 to 15 L/min",
                "a flowmeter with a larger max_lpm goes further",
            )
        ],
    ),
    (
        WORSE,
        "- {id: worse, sets: {shunt_frac: 0.2}}",
        [
            (
                "19:10",
                "the event worse never happens",
                "one of at, when, after, by_hand",
                "say when, or by_hand: true",
            )
        ],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, by_hand: true, sets: {shunt_frac: 0.2}}",
        [("19:28", "the event worse has at and by_hand", "one of at, when, after, by_hand", "")],
    ),
    (
        WORSE,
        "- {id: worse, at: 15 min, sets: {shunt_frac: 0.2}}",
        [("19:21", "at is 15 min, and the case ends at 10:00", "0:00 to 10:00", "or raise minutes")],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, sets: {shunt: 0.2}}",
        [("19:35", "there is no cause shunt", CAUSES, "did you mean shunt_frac?")],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, sets: {spo2_shown_pct: 0.2}}",
        [
            (
                "19:35",
                ("spo2_shown_pct is a reading; an event sets only causes, and the model says what is read"),
                "",
                "set what brings it about; the page of cases lists the causes",
            )
        ],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, sets: {shunt_frac: 2}}",
        [("19:47", "shunt_frac is 2", "0 to 0.6", "0.6 is nearest")],
    ),
    (WORSE, "- {id: worse, at: 5 min, sets: {}}", [("19:34", "sets is empty", "", "")]),
    (
        WORSE,
        "- {id: worse, at: 5 min, on: cannula, sets: {shunt_frac: 0.2}}",
        [("19:28", "none of the causes set here strikes an object", "", "leave on out")],
    ),
    (
        WORSE,
        "- {id: worse, at: 5 min, on: canula, sets: {device_off: true}}",
        [("19:32", "there is no canula here", PARTS, "did you mean cannula?")],
    ),
    (
        LATER,
        "- {id: later, after: {event: wors}, sets: {pain: 3}}",
        [("20:32", "there is no event wors", "worse, later", "did you mean worse?")],
    ),
    (
        LATER,
        "- {id: later, after: {event: later}, sets: {pain: 3}}",
        [
            (
                "20:32",
                "the event later waits for itself, so it never happens",
                "",
                "let it happen at a time or when something is so",
            )
        ],
    ),
    (
        WORSE,
        "- {id: worse, after: {event: later}, sets: {shunt_frac: 0.2}}",
        [
            (
                "19:32",
                "the events worse and later wait for each other, so they never happen",
                "",
                "let one of them happen at a time or when something is so",
            )
        ],
    ),
    (
        LATER,
        "- {id: worse, after: {event: worse}, sets: {pain: 3}}",
        [
            ("20:10", "two events are called worse", "", "give each its own id"),
            (
                "20:32",
                "the event worse waits for itself, so it never happens",
                "",
                "let it happen at a time or when something is so",
            ),
        ],
    ),
    (
        LATER,
        "- {id: later, when: {reading: spo2_pct, below: 88}, sets: {pain: 3}}",
        [("20:33", "reading is spo2_pct", READINGS, "did you mean spo2_shown_pct?")],
    ),
    (
        LATER,
        "- {id: later, when: {reading: spo2_shown_pct}, sets: {pain: 3}}",
        [("20:17", "the condition has no bound", "below, above, or both", "")],
    ),
    (
        LATER,
        "- {id: later, when: {reading: spo2_shown_pct, below: 188, for: 1}, sets: {pain: 3}}",
        [
            ("20:56", "below is 188", "0 to 100", "100 is nearest"),
            ("20:66", "for is 1, not a time", TIMES, "write 1 min for minutes or 1 s for seconds"),
        ],
    ),
    (
        LATER,
        "- {id: later, when: {below: 88}, sets: {pain: 3}}",
        [
            (
                "20:17",
                "a condition looks at one thing",
                "reading, or acts",
                "give it a reading or acts, not both",
            )
        ],
    ),
    (
        LATER,
        ("- {id: later, when: {reading: spo2_shown_pct, below: 88, on: cannula}, sets: {pain: 3}}"),
        [("20:60", "spo2_shown_pct is a reading of the patient, not of an object", "", "leave on out")],
    ),
    (
        LATER,
        ("- {id: later, when: {acts: [{act: coached, what: sneeze}, {act: coach}]}, sets: {pain: 3}}"),
        [
            (
                "20:52",
                "what is sneeze",
                (
                    "slow_deep_breaths, no_talking, breathe_through_mouth, breathe_through_nose, "
                    "seal_lips, cough"
                ),
                "",
            ),
            ("20:67", "there is no act coach", "", "did you mean coached?"),
        ],
    ),
    (
        LATER,
        "- {id: later, when: {reading: gauge_psi, below: 500, on: botle}, sets: {pain: 3}}",
        [("20:60", "there is no botle here", PARTS, "did you mean bottle?")],
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), ONE_CHANGE, ids=[str(row[1])[:60] for row in ONE_CHANGE])
def test_one_thing_that_is_wrong_is_said_where_it_stands(old, new, said):
    assert said_of(old, new) == said
