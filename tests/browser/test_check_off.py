"""A check-off as a checker does it: gloved taps, one hand, a network that goes away, and a keyboard alone."""

import re

import pytest
from tests.browser.axe import assert_accessible
from tests.browser.conftest import PHONE, TABLET_UPRIGHT
from tests.browser.told import Told

MM_PX = 96 / 25.4
GLOVED_PX = 15 * MM_PX
TWICE_MS = 800  # a second tap of the same place counts after this


@pytest.fixture
def check_off(lab, screen, expect):
    """A checker's tablet at a fresh patient, and what the station tells of it."""

    def opened(station, size=TABLET_UPRIGHT, mode="formative", fresh=True):
        if fresh:
            lab.begin(station, mode=mode)
        page = screen("checker", station, size=size)
        expect(page.locator("#patient")).to_contain_text("Oakley")
        return page

    return opened


def place(page, name):
    return page.locator(f'[data-place="{name}"] button').first


def put_cannula_on(page):
    place(page, "device").click()
    page.get_by_role("dialog").get_by_role("button", name="On: nasal cannula").click()


def test_a_tap_is_in_the_log_and_the_places_follow_the_equipment(check_off, screen, expect, settled):
    page = check_off("s1")
    told = Told(screen, "s1")

    place(page, "told").click()
    page.get_by_role("button", name="2 L/min", exact=True).click()
    put_cannula_on(page)

    expect(page.locator("#take-back")).to_contain_text("nasal cannula")
    expect(place(page, "device")).to_contain_text("on: nasal cannula")
    settled(page, lambda: told.acts() == ["explained", "agreed", "flow_set", "device_placed"])
    entries = told.entries()
    assert entries[-1]["on"] == "cannula"
    assert {entry["hands"] for entry in entries} == {"learner"}


@pytest.mark.parametrize("size", [TABLET_UPRIGHT, PHONE], ids=["tablet", "phone"])
def test_twelve_places_lie_in_reach_of_a_gloved_thumb_and_never_move(check_off, expect, size):
    page = check_off("s2", size)
    spots = """() => [...document.querySelectorAll('#places button')].map((each) => {
        const box = each.getBoundingClientRect();
        return [box.x, box.y + scrollY, box.width, box.height].map(Math.round); })"""
    page.wait_for_function("document.fonts.status === 'loaded'")
    before = page.evaluate(spots)

    place(page, "hands").click()
    page.get_by_role("button", name="2 L/min", exact=True).click()
    put_cannula_on(page)
    expect(page.locator("#question")).to_be_visible()

    assert page.evaluate(spots) == before
    assert min(height for _, _, _, height in before) >= GLOVED_PX
    assert min(width for _, _, width, _ in before) >= GLOVED_PX
    foot = page.locator("#always").bounding_box()
    assert max(y + height for _, y, _, height in before) <= foot["y"], "all twelve stand above the foot"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing is cut off"


@pytest.mark.parametrize(
    "size", [PHONE, (410, 590), (195, 422)], ids=["phone", "tablet twice", "phone twice"]
)
def test_nothing_is_cut_off_on_a_phone_nor_with_text_at_twice_its_size(check_off, size):
    """A browser that enlarges twofold gives the page half the room."""
    page = check_off("s2", size)

    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    cut = page.evaluate(
        """() => [...document.querySelectorAll("#places :is(button, .name), #captions dt, "
            + "#always :is(button, label), #steps label")]
          .filter((at) => at.scrollWidth > at.clientWidth + 1 || at.scrollHeight > at.clientHeight + 3)
          .map((at) => at.textContent.trim())"""
    )
    assert cut == []


def test_nonsense_on_the_pad_is_refused_in_words_and_a_number_in_range_is_set(
    check_off, screen, expect, settled
):
    page = check_off("s3", PHONE)
    told = Told(screen, "s3")

    place(page, "flow").click()
    dialog = page.get_by_role("dialog")
    for key in ("4", "0"):
        dialog.locator(".keys").get_by_role("button", name=key, exact=True).click()
    dialog.get_by_role("button", name="Record").click()
    expect(dialog.get_by_role("alert")).to_have_text("Flow: 40 is outside 0 to 15 L/min.")
    dialog.locator(".keys").get_by_role("button", name="delete the last").click()
    dialog.get_by_role("button", name="Record").click()

    expect(page.locator("#said")).to_have_text("Flow 4 L/min.")
    settled(page, lambda: told.acts() == ["flow_set"])
    assert told.entries()[0]["sentence"] == "set the flow to 4 L/min"


def test_said_only_moves_nothing_and_holds_for_one_tap(check_off, screen, expect, settled):
    page = check_off("s4")
    told = Told(screen, "s4")
    manner = page.get_by_role("group", name="The next tap counts as")

    manner.get_by_role("radio", name="Said only").check(force=True)
    page.get_by_role("button", name="6 L/min", exact=True).click()
    expect(manner.get_by_role("radio", name="Done")).to_be_checked()
    manner.get_by_role("radio", name="Prompted").check(force=True)
    place(page, "hands").click()

    expect(page.locator("#said")).to_have_text("Hands, after a prompt.")
    settled(page, lambda: len(told.acts()) == 3)
    said = [(entry["act"], entry["manner"]) for entry in told.entries()]
    assert said == [("flow_set", "said"), ("prompted", "done"), ("hands_cleaned", "prompted")]


def test_take_back_keeps_the_entry_and_takes_the_whole_tap(check_off, screen, expect, settled):
    page = check_off("s5")
    told = Told(screen, "s5")

    place(page, "told").click()
    settled(page, lambda: told.acts() == ["explained", "agreed"])
    page.locator("#take-back").click()

    expect(page.locator("#said")).to_have_text("Taken back: Told and agreed.")
    settled(page, lambda: told.acts().count("taken_back") == 2)
    assert [entry["taken_back"] for entry in told.entries()[:2]] == [True, True]


def test_which_came_first_is_asked_once_and_what_was_said_outlives_a_reload(check_off, expect):
    page = check_off("s6")

    put_cannula_on(page)
    page.get_by_role("button", name="2 L/min", exact=True).click()
    question = page.get_by_role("group", name="Which came first?")
    expect(question).to_be_visible()
    question.get_by_role("button", name="Set flow").click()
    expect(question).to_be_hidden()
    step = page.locator("#step-hands-before-touch")
    step.get_by_role("radio", name="missed").check(force=True)
    expect(step.locator(".state-words")).to_have_text("missed")
    expect(page.locator("#unsent")).to_be_hidden()
    page.wait_for_timeout(500)

    page.reload()
    expect(page.locator("#patient")).to_contain_text("Oakley")
    expect(step.get_by_role("radio", name="missed")).to_be_checked()
    expect(page.locator("#steps-sum")).to_have_text("22 steps not recorded.")
    expect(question).to_be_hidden()
    expect(page.locator("#take-back")).to_contain_text("Set flow")


def test_two_checkers_tap_at_once_and_each_takes_back_their_own(check_off, screen, expect, settled):
    one, other = check_off("s1"), check_off("s1", PHONE, fresh=False)
    told = Told(screen, "s1")
    at_once = """() => { for (const place of ["hands", "order", "identity"])
        document.querySelector(`[data-place="${place}"] button`).click(); }"""

    for _ in range(3):
        one.evaluate(at_once)
        other.evaluate(at_once)
        one.wait_for_timeout(TWICE_MS)

    settled(
        one, lambda: sorted(told.acts()) == sorted(["hands_cleaned", "order_read", "identity_checked"] * 6)
    )
    one.locator("#take-back").click()
    settled(one, lambda: sum(entry["taken_back"] for entry in told.entries()) == 1)
    expect(other.locator("#take-back")).to_contain_text("Identity")


def test_taps_wait_while_the_network_is_away_and_are_merged_with_the_time_they_were_seen(
    check_off, screen, expect, settled
):
    screen.expected.append("ERR_INTERNET_DISCONNECTED")
    page = check_off("s2")
    told = Told(screen, "s2")
    place(page, "hands").click()
    settled(page, lambda: told.acts() == ["hands_cleaned"])

    page.context.set_offline(True)
    for name in ("order", "identity", "upright"):
        place(page, name).click()
    expect(page.locator("#unsent")).to_contain_text("3 not yet sent")
    page.wait_for_timeout(3000)
    assert told.acts() == ["hands_cleaned"]
    page.context.set_offline(False)
    expect(page.locator("#unsent")).to_be_hidden()

    late = settled(page, lambda: told.entries()[1:] if len(told.acts()) == 4 else None)
    assert [entry["act"] for entry in late] == ["order_read", "identity_checked", "positioned"]
    for entry in late:
        assert entry["t_ms"] - entry["seen_at_ms"] > 2000, "it was seen before it could be told"


def test_five_minutes_later_and_stop_kindly_ask_before_they_do(check_off, expect):
    page = check_off("s3")

    page.get_by_role("button", name="Five minutes later").click()
    page.get_by_role("dialog").get_by_role("button", name="No, go on").click()
    expect(page.locator("#clock")).to_have_text(re.compile("^00:"))
    page.get_by_role("button", name="Five minutes later").click()
    page.get_by_role("dialog").get_by_role("button", name="Five minutes later").click()
    expect(page.locator("#clock")).to_have_text(re.compile("^05:"))
    page.get_by_role("button", name="Stop, kindly").click()
    page.get_by_role("dialog").get_by_role("button", name="Stop, kindly").click()
    expect(page.locator("#said")).to_contain_text("nothing is judged")
    expect(page.locator("#pause")).to_have_text("Go on")
    page.locator("#pause").click()
    expect(page.locator("#pause")).to_have_text("Pause")


def test_in_an_assessment_nothing_is_marked_as_likely(check_off, expect):
    page = check_off("s4")
    expect(page.locator(".place.likely").first).to_be_visible()

    page = check_off("s4", mode="summative")
    expect(page.locator("#patient")).to_contain_text("summative")
    assert page.locator(".place.likely").count() == 0


def test_a_whole_check_off_by_keyboard_and_accessibility_tree_alone(check_off, screen, expect, settled):
    """No mouse, no picture: only roles, names and keys."""
    page = check_off("s5")
    told = Told(screen, "s5")

    def press(role, name, key="Enter", inside=page):
        control = inside.get_by_role(role, name=name).first
        control.focus()
        expect(control).to_be_focused()
        page.keyboard.press(key)
        page.wait_for_timeout(120)

    press("button", re.compile("^Hands"))
    press("button", re.compile("^Order"))
    press("button", re.compile("^Identity"))
    press("button", re.compile("^Told and agreed"))
    press("button", re.compile("^Sat up"))
    press("button", re.compile("^Gas label"))
    press("button", re.compile("nasal cannula connected"), inside=page.get_by_role("dialog"))
    press("button", re.compile("^Flow set"))
    page.keyboard.type("2")
    page.keyboard.press("Enter")
    press("button", re.compile("^(Gas proved|Bag filled)"))
    press("button", re.compile("^Device on"))
    press("button", "On: nasal cannula", inside=page.get_by_role("dialog"))
    while page.get_by_role("group", name="Which came first?").is_visible():
        press("button", "Cannot say", inside=page.get_by_role("group", name="Which came first?"))
    press("button", re.compile("^Fit and ears"))
    press("button", re.compile("^Numbers said"))
    press("button", "Another number", inside=page.get_by_role("dialog"))
    page.keyboard.type("92")
    page.keyboard.press("Enter")
    press("button", re.compile("^Help called"))
    press("button", "Doctor", inside=page.get_by_role("dialog"))
    press("button", "All acts")
    page.keyboard.type("bell")
    page.keyboard.press("Enter")
    page.wait_for_timeout(300)
    first = page.get_by_role("radio", name="done", exact=True).nth(1)
    first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowRight")
    press("textbox", "A note, kept with the time", "End")
    page.keyboard.type("Explained well.")
    press("button", "Keep the note")
    press("radio", "competent", "Space")

    expect(page.get_by_role("listitem").filter(has_text="Explained well.")).to_be_visible()
    expect(page.get_by_role("group", name=re.compile("^1 ?The order was read"))).to_contain_text("said only")
    expect(page.get_by_role("radio", name="competent")).to_be_checked()
    wanted = ["hands_cleaned", "order_read", "identity_checked", "explained", "agreed", "positioned"]
    wanted += ["outlet_chosen", "flow_set", "gas_proved", "device_placed", "observed", "observed", "observed"]
    wanted += ["help_called", "bell_left"]
    settled(page, lambda: len(told.acts()) >= len(wanted))
    assert told.acts() == wanted


def test_no_page_of_a_checker_breaks_a_rule_of_accessibility(check_off):
    for size in (TABLET_UPRIGHT, PHONE):
        page = check_off("s6", size)
        assert_accessible(page)
        page.get_by_role("button", name="All acts").click()
        assert_accessible(page)
        page.keyboard.press("Escape")
        place(page, "flow").click()
        assert_accessible(page)


def test_the_checker_sees_the_learner_by_name_and_never_by_what_the_log_calls_them(lab, check_off, expect):
    line = lab.post("/board/add", {"names": ["Ines Quarrington"]})["line"]
    lab.begin("s5")
    page = check_off("s5", PHONE, fresh=False)
    expect(page.locator("#who")).to_have_text("Station 5, The day after bowel surgery")

    lab.post("/stations/s5/end", {"why": "finished"})
    learner = line[-1]["learner"]
    said = {"case": "post-operative", "mode": "formative", "form": "a", "learner": learner}
    lab.post("/stations/s5/start", said)

    expect(page.locator("#who")).to_have_text("Ines Quarrington, The day after bowel surgery")
