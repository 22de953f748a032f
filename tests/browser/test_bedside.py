"""The bedside in a real browser: what hands do is seen by everybody, and nothing is cut off at any size."""

import re

import pytest
from tests.browser.axe import violations
from tests.browser.conftest import PHONE, PROJECTOR, TABLET, TABLET_UPRIGHT

NUMBER = r"\d+"
SHOWN = '[data-caption="saturation"] .value'


def number(page):
    return int(re.match(NUMBER, page.locator(SHOWN).inner_text()).group())


def fitted(lab, station, flow_lpm=10, device="reservoir_mask"):
    lab.act(station, "tubing_connected", **{"from": "flowmeter", "to": device})
    lab.act(station, "flow_set", on="flowmeter", flow_lpm=flow_lpm)
    lab.act(station, "bag_filled", on=device)
    lab.act(station, "device_placed", on=device)


def test_oxygen_given_is_seen_on_every_screen(lab, screen, settled, expect):
    lab.begin("s1", mode="demonstration")
    learner, wall = screen("learner"), screen("projector", size=PROJECTOR)
    learner.locator(SHOWN).wait_for()
    before = number(learner)

    fitted(lab, "s1")
    lab.clock("s1", "pace", times=30)

    for page in (learner, wall):
        settled(page, lambda page=page: number(page) >= before + 4)
    expect(learner.locator(".at-supply .value")).to_have_text("10")
    assert "non-rebreathing mask" in wall.locator(".main-plate svg > desc").text_content()


@pytest.mark.parametrize(
    "size", [PROJECTOR, TABLET, TABLET_UPRIGHT, PHONE], ids=["wall", "tablet", "upright", "phone"]
)
def test_nothing_is_cut_off(lab, screen, size):
    lab.begin("s2")
    page = screen("learner", "s2", size=size)
    page.locator(SHOWN).wait_for()

    width = page.evaluate("document.documentElement.scrollWidth")
    beyond = page.evaluate(
        """() => [...document.querySelectorAll("bedside-sheet :is(h1, dt, dd, p, button, q)")].filter((e) => {
            const box = e.getBoundingClientRect(), shown = box.width && !e.closest(".visually-hidden");
            return shown && (box.left < -1 || box.right > innerWidth + 1);
        }).map((e) => e.textContent)"""
    )

    assert width <= size[0]
    assert beyond == []


def test_numbers_are_read_from_the_back_of_the_room(lab, screen):
    lab.begin("s2")
    page = screen("projector", "s2", size=PROJECTOR)
    page.locator(SHOWN).wait_for()

    cap_height = page.evaluate(
        """() => {
            const value = document.querySelector('[data-caption="saturation"] .value');
            const style = getComputedStyle(value);
            const pen = document.createElement("canvas").getContext("2d");
            pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
            return pen.measureText("9").actualBoundingBoxAscent;
        }"""
    )

    assert cap_height >= PROJECTOR[1] / 12


def test_the_float_is_tied_to_its_number_by_a_line(lab, screen, settled):
    lab.begin("s1", mode="demonstration")
    page = screen("projector", size=PROJECTOR)
    lab.act("s1", "flow_set", on="flowmeter", flow_lpm=6)
    settled(page, lambda: page.locator(".at-supply .value").inner_text() == "6")

    path = settled(page, lambda: page.locator(".leaders path").get_attribute("d"))
    ends = [tuple(map(float, end)) for end in re.findall(r"L([\d.]+) ([\d.]+)", path)]
    float_at = page.evaluate(
        """() => {
            const plate = document.querySelector(".main-plate"), at = plate.anchor("float:flowmeter");
            const own = plate.svg.getBoundingClientRect();
            const sheet = document.querySelector("bedside-sheet").getBoundingClientRect();
            return [at.x + own.left - sheet.left, at.y + own.top - sheet.top];
        }"""
    )

    assert any(abs(x - float_at[0]) < 20 and abs(y - float_at[1]) < 3 for x, y in ends)


def test_a_count_takes_thirty_seconds_of_the_patients_time_and_is_an_act(lab, screen, expect):
    lab.begin("s3", mode="practice")
    page = screen("learner", "s3")
    page.get_by_role("button", name="Count breaths").click()
    page.get_by_role("button", name="Tap with each breath").click()
    expect(page.locator(".counting .taps")).to_have_text("1")
    lab.clock("s3", "pace", times=10)

    page.get_by_label("Breaths in 30 seconds").fill("11")
    page.get_by_role("button", name="Say it").click()

    expect(page.locator('[data-caption="rate"] .value')).to_have_text("22")
    expect(page.locator('[data-caption="rate"] .lines')).to_contain_text("counted over 30 s")


def test_an_assessment_prints_no_flow_no_rate_no_order_and_no_flags(lab, screen, settled):
    lab.begin("s4", mode="summative")
    page = screen("learner", "s4", size=TABLET)
    page.locator(SHOWN).wait_for()
    lab.act("s4", "flow_set", on="flowmeter", flow_lpm=4)
    lab.act("s4", "observed", what="rate", found=22, method="counted", seconds=30)
    settled(
        page,
        lambda: page.evaluate("document.querySelector('.main-plate').anchor('float:flowmeter') !== null"),
    )
    page.wait_for_timeout(1500)

    assert page.locator(".at-supply .caption").count() == 0
    assert page.locator('[data-caption="rate"]').count() == 0
    assert page.locator(".order").inner_text() == ""
    assert page.locator("time-rule li").count() == 0


def test_time_that_stands_still_and_a_kind_stop_are_told(lab, screen, expect):
    lab.begin("s3")
    page = screen("projector", "s3", size=PROJECTOR)
    page.locator(SHOWN).wait_for()

    lab.clock("s3", "pause")
    expect(page.locator(".state")).to_contain_text("Time stands still")
    lab.clock("s3", "go")
    lab.act("s3", "stopped_kindly")

    expect(page.locator(".blank")).to_be_visible()
    expect(page.locator(".blank")).to_contain_text("Nothing is being judged")
    lab.clock("s3", "go")
    expect(page.locator(".blank")).to_be_hidden()


def test_the_chest_moves_and_with_less_motion_it_goes_in_steps(lab, screen):
    lab.begin("s1")
    moving = screen("learner")
    moving.locator(SHOWN).wait_for()
    watch = """() => new Promise((done) => {
        const seen = new Set(), until = performance.now() + 4000;
        const parts = () => [...document.querySelectorAll(".main-plate [data-move]")];
        const look = () => {
            seen.add(parts().map((e) => e.getAttribute("d") ?? e.getAttribute("transform")).join());
            performance.now() < until ? requestAnimationFrame(look) : done(seen.size);
        };
        look();
    })"""

    pictures = moving.evaluate(watch)
    moving.close()
    still = screen("learner", reduced_motion="reduce")
    still.locator(SHOWN).wait_for()
    stills = still.evaluate(watch)

    assert pictures > 20
    assert 3 <= stills <= 18  # six a breath at most, and three breaths have a part in four seconds
    assert still.locator("pulse-pen .written:not(.earlier)").get_attribute("d") is None


def test_a_cut_line_is_told_and_mended(own_lab, own_screen, expect):
    own_lab.begin("s1")
    own_screen.expected += ["WebSocket connection", "ERR_CONNECTION"]
    page = own_screen("learner")
    page.locator(SHOWN).wait_for()

    own_lab.close(kill=True)
    expect(page.locator(".line")).to_contain_text("Not connected since")
    own_lab.open()

    expect(page.locator(".line")).to_be_empty(timeout=30_000)
    expect(page.locator(".state")).to_contain_text("started again")


@pytest.mark.parametrize("size", [PROJECTOR, TABLET, PHONE], ids=["wall", "tablet", "phone"])
def test_no_rule_of_accessibility_is_broken(lab, screen, size):
    lab.begin("s2")
    page = screen("learner", "s2", size=size)
    page.locator(SHOWN).wait_for()

    assert violations(page) == []


def test_large_text_keeps_everything_within_the_page(lab, screen):
    lab.begin("s2")
    page = screen("learner", "s2", size=(640, 900))
    page.locator(SHOWN).wait_for()
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    page.wait_for_timeout(300)

    assert page.evaluate("document.documentElement.scrollWidth") <= 640
    assert page.get_by_role("button", name="Count breaths").is_visible()


def test_the_wall_of_a_demonstration_can_be_cut_open_and_no_other(lab, screen, settled):
    lab.begin("s1", mode="demonstration")
    lab.begin("s2", mode="formative")
    lab.clock("s1", "pace", times=5)
    wall, other, learner = screen("projector", size=PROJECTOR), screen("projector", "s2"), screen("learner")
    cut = wall.get_by_role("button", name="Cut open")
    cut.wait_for()

    cut.click()

    settled(wall, lambda: "mL room air" in wall.locator(".whence").inner_text())
    for page in (other, learner):
        page.locator(SHOWN).wait_for()
        assert page.get_by_role("button", name="Cut open").count() == 0
