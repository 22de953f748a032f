"""The sampling line in a real browser: its wave while it is on, at every size, and nothing once it is off."""

import pytest
from tests.browser.axe import violations
from tests.browser.conftest import PHONE, PROJECTOR, TABLET, TABLET_UPRIGHT

PLACE = ".capnogram-place"


def on(lab, station, site="nose"):
    lab.act(station, "sampling_line_placed", site=site)


@pytest.mark.parametrize(
    "size", [PROJECTOR, TABLET, TABLET_UPRIGHT, PHONE], ids=["wall", "tablet", "upright", "phone"]
)
def test_the_wave_is_there_while_the_line_is_on_and_fits_the_sheet(lab, screen, expect, settled, size):
    lab.begin("s1")
    page = screen("learner", "s1", size=size)
    page.locator('[data-caption="saturation"] .value').wait_for()
    expect(page.locator(PLACE)).to_be_hidden()

    on(lab, "s1")
    expect(page.locator(PLACE)).to_be_visible()
    settled(page, lambda: page.locator(f"{PLACE} b").inner_text()[:2].isdigit())

    assert page.locator(f"{PLACE} .written").get_attribute("d").startswith("M")
    assert "at the nose" in page.locator(PLACE).inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    box = page.locator(PLACE).bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= size[0]
    assert violations(page) == []
    lab.act("s1", "sampling_line_removed")
    expect(page.locator(PLACE)).to_be_hidden()


def test_a_learner_alone_puts_it_on_and_takes_it_off_again(lab, screen, expect):
    lab.begin("s2", mode="practice")
    page = screen("learner", path="/practice/s2", station="s2", size=TABLET)
    strip = page.locator("#capnogram")
    expect(strip).to_be_hidden()

    page.get_by_role("button", name="Talk").click()
    page.get_by_role("button", name="Put a carbon dioxide sampling line on").click()
    page.get_by_role("dialog").get_by_role("button", name="Nose").click()

    expect(strip).to_be_visible()
    expect(page.locator("#readings")).to_contain_text("at the nose")


def test_the_instructor_sees_the_score_and_how_late_the_oximeter_is(lab, screen, expect):
    lab.begin("s1")
    page = screen("instructor", "s1")

    expect(page.locator("#score h3")).to_contain_text("NEWS2")
    expect(page.locator("#score")).to_contain_text("Royal College of Physicians")
    expect(page.locator("#score tr")).to_have_count(7)
    expect(page.locator("#shown")).to_contain_text("an average over 8 s, from the finger, about 25 s late")


def test_what_is_asked_on_a_phone_leaves_the_saturation_in_sight(lab, screen, expect):
    lab.begin("s1")
    page = screen("checker", "s1", size=PHONE)
    page.locator("#captions dd").first.wait_for()

    lab.act("s1", "hands_cleaned")
    lab.act("s1", "device_placed", "cannula")

    question = page.locator("#question")
    expect(question).to_be_visible()
    expect(question.locator(".meanwhile")).to_contain_text("saturation")
