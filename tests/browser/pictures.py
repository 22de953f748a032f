"""Pictures of every page at the sizes it is used in, to be looked at: `python -m tests.browser.pictures`.

Written to out/pictures (or the folder named), which is not kept. A page that complains is named at the end.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright
from tests.browser.conftest import (
    CHROMIUM_ARGUMENTS,
    DESK,
    PHONE,
    PROJECTOR,
    TABLET,
    TABLET_UPRIGHT,
    RunningLab,
    Screens,
)
from tests.needs import path_of

TWO = "a.device=nasal_cannula&b.device=non_rebreathing_mask&b.flow_lpm=15"
# page: its role, its address, the sizes in which it is used
PAGES = {
    "today": ("instructor", "/", (DESK, TABLET, PHONE)),
    "welcome": ("instructor", "/welcome", (DESK, TABLET)),
    "codes": ("instructor", "/codes", (DESK,)),
    "reach": ("instructor", "/reach", (TABLET, PHONE)),
    "station": ("instructor", "/station/s1", (DESK, TABLET)),
    "bedside": ("projector", "/bedside/s1", (PROJECTOR, TABLET, TABLET_UPRIGHT, PHONE)),
    "check-off": ("checker", "/check-off/s1", (TABLET_UPRIGHT, TABLET, PHONE)),
    "practice": ("learner", "/practice/s1", (TABLET, PHONE)),
    "paper": ("instructor", "/paper/s1", (DESK,)),
    "breath": ("instructor", "/breath", (DESK, TABLET, PHONE)),
    "breath-two": ("instructor", f"/breath?{TWO}", (DESK,)),
    "specimen": ("instructor", "/specimen", (DESK,)),
    "join": ("learner", "/join", (PHONE,)),
}
SETTLES_MS = 2500


def stage(lab: RunningLab) -> None:
    """A station in the middle of its work, so that pages have something to show."""
    lab.begin("s1", mode="practice")
    lab.act("s1", "order_read")
    lab.act("s1", "hands_cleaned")
    lab.act("s1", "positioned", position="upright")
    lab.act("s1", "flow_set", "flowmeter", flow_lpm=2)
    lab.act("s1", "gas_proved", "cannula")
    lab.act("s1", "device_placed", "cannula")
    lab.act("s1", "observed", what="rate", found=19, method="counted", seconds=30)
    lab.act("s1", "observed", what="blood_pressure", found="138/82", method="measured")
    lab.clock("s1", "skip", minutes=2)
    lab.act("s1", "observed", what="skin", found="as usual", method="looked", site="left_ear")


def photograph(page: Page, file: Path) -> None:
    page.wait_for_timeout(SETTLES_MS)
    page.screenshot(path=file, full_page=True)


def main(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        lab = RunningLab(Path(data))
        stage(lab)
        browser = playwright.chromium.launch(executable_path=path_of("chromium"), args=CHROMIUM_ARGUMENTS)
        screens = Screens(browser, lab)
        for name, (role, address, sizes) in PAGES.items():
            for size in sizes:
                page = screens(role, path=address, size=size)
                photograph(page, folder / f"{name}-{size[0]}x{size[1]}.png")
                if name in ("bedside", "today") and size is sizes[0]:
                    page.emulate_media(reduced_motion="reduce")
                    page.evaluate("document.documentElement.classList.add('dark')")
                    photograph(page, folder / f"{name}-{size[0]}x{size[1]}-dim.png")
                page.context.close()
        complaints = screens.close()
        browser.close()
        lab.close()
    print(f"{len(list(folder.glob('*.png')))} pictures in {folder}")
    for words in complaints:
        print(f"complained: {words}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path("out") / "pictures")
