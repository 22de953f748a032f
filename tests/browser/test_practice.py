"""Practice alone: drawn things are taken hold of by mouse, touch and keyboard; everything is an act."""

import re

import pytest
from tests.browser.axe import assert_accessible
from tests.browser.conftest import PHONE, TABLET, TABLET_UPRIGHT
from tests.browser.told import Told


@pytest.fixture
def practise(lab, screen, expect):
    """A learner alone with a fresh patient."""

    def opened(station, size=TABLET_UPRIGHT, case="post-operative"):
        lab.begin(station, case=case, mode="practice")
        page = screen("learner", station, path=f"/practice/{station}", size=size)
        expect(page.locator("#knobs .knob").first).to_be_visible()
        expect(page.locator("#assessed")).to_be_hidden()
        return page

    return opened


def handle(page, name):
    return page.get_by_role("navigation", name="Within reach").get_by_role("button", name=name, exact=True)


def do(page, name, deed):
    handle(page, name).click()
    page.get_by_role("dialog").get_by_role("button", name=deed, exact=True).click()


def test_handles_hang_where_things_are_drawn_and_none_lies_on_another(practise):
    page = practise("s1", TABLET)
    boxes = [each.bounding_box().values() for each in page.locator("#handles button").all()]
    stage = page.locator("#stage").bounding_box()

    assert len(boxes) >= 8
    for i, (x, y, width, height) in enumerate(boxes):
        assert min(width, height) >= 44
        assert stage["x"] <= x
        assert x + width <= stage["x"] + stage["width"] + 1
        for other_x, other_y, _, _ in boxes[i + 1 :]:
            assert abs(x - other_x) >= 40 or abs(y - other_y) >= 24


def test_the_cannula_goes_on_and_the_patient_answers(practise, screen, expect, settled, lab):
    page = practise("s2")
    told = Told(screen, "s2")
    shown = page.locator("#readings dd").first
    expect(shown).to_have_text(re.compile(r"^\d\d"))
    before = int(shown.inner_text()[:2])

    knob = page.get_by_role("slider", name="Flow, oxygen outlet")
    knob.focus()
    for _ in range(8):
        page.keyboard.press("ArrowRight")
    do(page, "Nasal cannula", "Put it on")

    expect(page.locator("#told")).to_have_text("You put the cannula on the patient.")
    settled(page, lambda: told.acts()[-1:] == ["device_placed"])
    sentences = [entry["sentence"] for entry in told.entries() if entry["act"] == "flow_set"]
    assert sentences[-1] == "set the flow to 4 L/min"
    lab.clock("s2", "skip", minutes=4)
    settled(page, lambda: int(shown.inner_text()[:2]) > before)


def test_hands_that_cannot_are_told_why_in_a_calm_sentence(practise, expect):
    page = practise("s3")

    page.get_by_role("spinbutton", name="Flow, oxygen outlet, L/min").fill("40")
    page.keyboard.press("Enter")
    expect(page.locator("#told")).to_have_text(
        "This flowmeter's scale runs from 0 to 15 L/min; nothing was turned."
    )
    do(page, "Nasal cannula", "Put it on")
    expect(page.locator("#told")).to_contain_text("You put")
    page.get_by_role("button", name="High-flow nasal cannula").click()
    handle(page, "High-flow nasal cannula").click()
    page.get_by_role("dialog").get_by_role("button", name="Put it on", exact=True).click()
    expect(page.locator("#told")).to_contain_text("cannot go on")
    expect(page.locator("#told")).to_contain_text("Take that off first.")


def test_hints_come_when_asked_for_and_not_when_switched_off(practise, expect):
    page = practise("s4")

    page.get_by_role("button", name="What next?").click()
    expect(page.locator("#hint")).to_contain_text("Read the order first.")
    page.get_by_role("button", name="Read the order").click()
    expect(page.get_by_role("dialog", name="The order")).to_contain_text("94 to 98")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="What next?").click()
    expect(page.locator("#hint")).to_contain_text("Clean your hands")
    page.get_by_role("checkbox", name="Hints when I ask").uncheck()
    expect(page.get_by_role("button", name="What next?")).to_be_hidden()
    expect(page.locator("#hint")).to_be_empty()


def test_a_whole_treatment_by_keyboard_and_accessibility_tree_alone(practise, screen, expect, settled):
    """Reading, looking, taking, connecting, turning, placing, padding, charting, calling: keys alone."""
    page = practise("s5")
    told = Told(screen, "s5")

    def press(role, name, inside=page):
        control = inside.get_by_role(role, name=name, exact=isinstance(name, str)).first
        control.focus()
        expect(control).to_be_focused()
        page.keyboard.press("Enter")

    def deed(name, *choices):
        press("button", name, inside=page.get_by_role("navigation", name="Within reach"))
        for choice in choices:
            press("button", choice, inside=page.get_by_role("dialog"))

    press("button", "Read the order")
    page.keyboard.press("Escape")
    press("button", "Clean hands")
    deed("Talk", "Explain")
    deed("Hand and probe", "Feel the pulse")
    deed("Chest and bed", "Position the patient", "Upright")
    deed("Oxygen outlet", "Read the label")
    press("button", re.compile("^Simple face mask"))
    expect(handle(page, "Simple face mask")).to_have_count(1)
    deed("Simple face mask", "Connect to the oxygen outlet")
    number = page.get_by_role("spinbutton", name="Flow, oxygen outlet, L/min")
    number.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("6")
    page.keyboard.press("Enter")
    deed("Simple face mask", "Prove the gas")
    deed("Simple face mask", "Put it on")
    settled(page, lambda: told.acts()[-1:] == ["device_placed"])
    deed("Simple face mask", "Pinch the nose clip")
    deed("Ears and skin", "Look behind the left ear")
    deed("Simple face mask", "Add padding", "Left ear")
    press("button", "Write on the chart")
    press("button", re.compile("Oxygen entry"), inside=page.get_by_role("dialog"))
    page.get_by_role("dialog").get_by_role("textbox", name="Saturation, %").focus()
    page.keyboard.type("95")
    page.keyboard.press("Enter")
    press("button", "Call for help")
    page.get_by_role("dialog").get_by_role("radio", name="Doctor").focus()
    page.keyboard.press("Space")
    press("button", "Record", inside=page.get_by_role("dialog"))

    wanted = ["order_read", "hands_cleaned", "explained", "examined", "positioned", "outlet_chosen"]
    wanted += ["device_chosen", "tubing_connected", "flow_set", "gas_proved", "device_placed"]
    wanted += ["nose_clip_pinched", "examined", "padding_added", "charted", "help_called"]
    settled(page, lambda: len(told.acts()) >= len(wanted))
    assert told.acts() == wanted


def test_a_learner_alone_begins_again_with_a_fresh_patient(practise, screen, expect, settled):
    page = practise("s2")
    do(page, "Nasal cannula", "Put it on")
    expect(page.locator("#told")).to_contain_text("You put the cannula on")

    page.get_by_role("button", name="A fresh patient").click()
    page.get_by_role("dialog").get_by_role("button", name="Begin again").click()

    told = Told(screen, "s2")
    settled(page, lambda: told.acts() == [])
    handle(page, "Nasal cannula").click()
    expect(page.get_by_role("dialog").get_by_role("button", name="Put it on")).to_be_visible()


def test_a_phone_holds_everything_and_cuts_nothing_off(practise, expect):
    page = practise("s6", PHONE)

    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    do(page, "Nasal cannula", "Put it on")
    expect(page.locator("#told")).to_contain_text("You put the cannula on")


@pytest.mark.parametrize("size", [TABLET_UPRIGHT, PHONE], ids=["tablet", "phone"])
def test_no_rule_of_accessibility_is_broken(practise, size):
    page = practise("s1", size)
    assert_accessible(page)
    handle(page, "Nasal cannula").click()
    assert_accessible(page)
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Write on the chart").click()
    assert_accessible(page)
    page.get_by_role("dialog").get_by_role("button", name=re.compile("Early-warning score")).click()
    assert_accessible(page)


def test_in_an_assessment_a_learners_screen_offers_only_what_it_takes(lab, screen, expect):
    lab.begin("s5", mode="summative")
    page = screen("learner", "s5", path="/practice/s5", size=TABLET)

    expect(page.locator("#assessed")).to_be_visible()
    for hidden in ("#handles", "#knobs", "#shelf", "#beside", "#count"):
        expect(page.locator(hidden)).to_be_hidden()
    assert_accessible(page)
    page.get_by_role("button", name="All acts").click()
    offered = page.get_by_role("dialog").locator("[data-act]")
    acts = sorted(each.get_attribute("data-act") for each in offered.all())
    assert acts == ["charted", "handoff_given", "minutes_worked_out"]


def test_a_learner_alone_at_an_empty_station_chooses_whom_to_look_after(own_lab, own_screen, expect):
    page = own_screen("learner", "s6", path="/practice/s6", size=TABLET_UPRIGHT)
    choosing = page.get_by_role("region", name="Whom would you like to look after?")

    expect(choosing).to_contain_text("The day after bowel surgery")
    expect(choosing).to_contain_text("Mr T. Oakley: “It hurts when I breathe in.”")
    expect(page.locator("#stage")).to_be_hidden()
    assert (
        "Oxygen corrects the number" not in choosing.inner_text()
    )  # what the case teaches is not told first
    assert_accessible(page)
    choosing.get_by_role("button", name="The alert card in the bag").focus()
    page.keyboard.press("Enter")

    expect(page.locator("#who")).to_contain_text("Mr P. Wardle")
    expect(choosing).to_be_hidden()
    expect(page.locator("#go")).to_have_text("Pause")
    own_lab.post("/stations/s6/end", {"why": "finished"})
    page.get_by_role("button", name="Another case").click()
    choosing.get_by_role("button", name="The day after bowel surgery").click()
    expect(page.locator("#who")).to_contain_text("Mr T. Oakley")
