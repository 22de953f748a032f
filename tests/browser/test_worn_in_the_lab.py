"""Devices that few wear, put on from a page: two breaths by hand, high flow, a mask at the neck."""

import pytest
from tests.browser.conftest import TABLET_UPRIGHT
from tests.browser.told import Told


@pytest.fixture
def practise(lab, screen, expect):
    """A learner alone at a station; what is done to a thing goes by its handle on the page."""

    def opened(station, case, words):
        lab.begin(station, case=case, mode="practice")
        page = screen("learner", station, path=f"/practice/{station}", size=TABLET_UPRIGHT)
        expect(page.locator("#knobs .knob").first).to_be_visible()
        reach = page.get_by_role("navigation", name="Within reach")

        def do(deed):
            reach.get_by_role("button", name=words, exact=True).click()
            page.get_by_role("dialog").get_by_role("button", name=deed, exact=True).click()

        return page, do

    return opened


def device(told, id):
    return next(each for each in told.now()["things"]["devices"] if each["id"] == id)


def test_two_breaths_by_hand_are_seen_and_then_he_breathes_alone(practise, screen, expect, settled, lab):
    page, do = practise("s1", "post-operative", "Bag-valve-mask")
    told = Told(screen, "s1")
    page.locator("#shelf button[data-device=bag_valve_mask]").click()
    do("Connect to the oxygen outlet")
    page.get_by_role("spinbutton").first.fill("15")
    page.keyboard.press("Tab")
    do("Put it on")
    do("Squeeze the bag")
    sheet = page.get_by_role("dialog")
    sheet.get_by_role("button", name="10", exact=True).click()
    sheet.get_by_text("Chest just rises").click()
    if sheet.count():
        sheet.get_by_role("button", name="Record").click()

    settled(page, lambda: device(told, "bag_valve_mask").get("squeezed") is True)
    expect(page.locator("#told")).to_contain_text("queezed the bag 10 times a minute")
    first_n = told.now()["breath"]["n"]
    lab.clock("s1", "pace", times=10)
    settled(page, lambda: told.now()["breath"]["n"] >= first_n + 2)
    lab.clock("s1", "pace", times=1)
    breath = told.now()["breath"]
    assert breath["lasts_s"] == pytest.approx(
        6.0, abs=0.2
    )  # ten a minute, by the hand and not by his own drive
    assert max(breath["air_ml"]) > 300  # and the chest rises

    do("Squeeze the bag")
    sheet.get_by_role("textbox").first.fill("0")
    sheet.get_by_role("button", name="Record").click()
    settled(page, lambda: device(told, "bag_valve_mask").get("squeezed") is False)
    do("Take it off")
    settled(page, lambda: told.now()["readings"]["wearing"] == [])


def fio2(told):
    return told.now()["truth"]["readings"]["fio2_frac"]


def test_high_flow_goes_on_from_the_page_and_what_it_blends_is_breathed(practise, screen, settled, lab):
    page, do = practise("s2", "high-flow-step-up", "High-flow nasal cannula")
    told = Told(screen, "s2")
    lab.act("s2", "device_removed", on="mask")
    lab.act("s2", "flow_set", on="wide_flowmeter", flow_lpm=50)
    lab.act("s2", "oxygen_share_set", on="high_flow", pct=60)

    do("Put it on")

    settled(page, lambda: told.now()["readings"]["wearing"] == ["high_flow_nasal_cannula"])
    lab.clock("s2", "skip", minutes=1)
    assert 0.5 < fio2(told) < 0.62
    do("Take it off")
    settled(page, lambda: told.now()["readings"]["wearing"] == [])


def test_a_mask_at_the_neck_comes_off_and_goes_on_from_the_page(practise, screen, settled, lab):
    page, do = practise("s3", "tracheostomy-plug", "Tracheostomy mask")
    told = Told(screen, "s3")
    lab.act("s3", "flow_set", on="flowmeter", flow_lpm=10)
    lab.clock("s3", "skip", minutes=1)
    with_mask = fio2(told)

    do("Take it off")
    settled(page, lambda: told.now()["readings"]["wearing"] == [])
    lab.clock("s3", "skip", minutes=1)
    without = fio2(told)
    do("Put it on")

    settled(page, lambda: told.now()["readings"]["wearing"] == ["tracheostomy_mask"])
    assert without < 0.215
    assert with_mask > without + 0.05
