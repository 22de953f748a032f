"""Contract of the skin sites: every device says where it touches, every place has its words."""

import pytest

from tidalbay.catalogue.acts import acts
from tidalbay.catalogue.devices import SNUGNESS, device_kinds
from tidalbay.catalogue.skin_sites import skin_contacts, skin_sites, stage_words
from tidalbay.science.skin import BROKEN, NOTHING_SEEN

CONTACTS = [contact for contacts in skin_contacts().values() for contact in contacts]


def choices_of(act_id, name):
    return set(acts()[act_id].arguments[name].choices)


def test_every_device_says_where_it_touches():
    assert set(skin_contacts()) == set(device_kinds())


@pytest.mark.parametrize("contact", CONTACTS, ids=lambda contact: f"{contact.device} {contact.site}")
def test_a_tighter_strap_presses_harder(contact):
    pressures = [contact.pressure_mmhg.value(snugness) for snugness in SNUGNESS.values()]

    assert pressures == sorted(set(pressures))
    assert contact.site in skin_sites()


def test_no_pressure_claims_more_than_an_assumption():
    # No measurement under cannulas and oxygen masks was found; what is assumed decides no verdict.
    marks = {contact.pressure_mmhg.snug.mark for contact in CONTACTS}

    assert marks == {"assumed"}


def test_both_sides_of_a_face_are_alike():
    for contacts in skin_contacts().values():
        by_site = {contact.site: contact for contact in contacts}
        for site, contact in by_site.items():
            if "left" in site:
                assert by_site[site.replace("left", "right")].pressure_mmhg == contact.pressure_mmhg


def test_every_place_can_be_looked_at_by_an_act():
    assert {site.seen_with for site in skin_sites().values()} <= choices_of("observed", "site")


def test_every_place_that_an_act_can_pad_is_a_place():
    assert choices_of("padding_added", "site") <= {site.seen_with for site in skin_sites().values()}


def test_a_look_at_an_ear_covers_the_skin_behind_it():
    seen = {site.id for site in skin_sites().values() if site.seen_with == "left_ear"}

    assert seen == {"left_ear", "behind_left_ear"}


@pytest.mark.parametrize("dark", [False, True])
def test_every_stage_has_words_of_its_own(dark):
    words = [stage_words(stage, dark) for stage in range(NOTHING_SEEN, BROKEN + 1)]

    assert len(set(words)) == 4


def test_on_dark_skin_nothing_is_said_of_redness():
    assert not any(
        "red" in stage_words(stage, True) or "pink" in stage_words(stage, True) for stage in range(4)
    )
