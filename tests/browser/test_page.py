"""The page in a real browser: what a maker does with it, by mouse and by keyboard alone."""

from __future__ import annotations

import json
import re
import subprocess
from collections.abc import Iterator
from typing import TYPE_CHECKING
from urllib.parse import unquote

import pytest

from tests.http.running import Service
from tests.requires import requires
from worker.styles import STYLES
from worker.values.questions import CHECKS

if TYPE_CHECKING:
    from tests.browser.page import Page

pytestmark = [pytest.mark.browser, requires("browser")]

QUICK = ("beaded_worm", "craw", "tube")
"""A worm, a bait with limbs and one that is hollow; all others are loaded in the proof."""
CORE = "[data-pointer='/params/core_diameter']"
WEAK = {
    "style": "jointed_worm",
    "params": {"length": "4-1/2 in", "core_diameter": "3 mm"},
    "plastic": {"grade": "soft"},
}


@pytest.mark.parametrize(
    "style",
    [pytest.param(each, marks=[] if each in ("beaded_worm", "craw", "tube") else pytest.mark.proof) for each in STYLES],
)
def test_every_style_lies_on_the_rule_and_is_said_in_a_sentence_of_its_own(page: Page, style: str) -> None:
    page.look(800)  # pixels cost where no graphics card draws them
    page.open({"style": style, "params": dict(STYLES[style].example.get("params", {}))})
    said = page.text("#slip .slip-said")
    assert STYLES[style].title.lower() in said and "{" not in said and "undefined" not in said and "NaN" not in said
    drawn = page.picked()
    assert len(drawn) > 10_000  # pixels, and not an empty sheet
    # All that the style declares is on the page: in its sentence, or in words below it.
    pointers = {one.get_attribute("data-pointer") for one in page.all(".value")}
    for parameter in STYLES[style].parameters:
        under = f"/params/{parameter.name}"
        assert any(one == under or str(one).startswith(f"{under}/") for one in pointers), parameter.name
    assert page.all("#questions .question") and page.all("#cautions li")
    # Each in the words of its declaration, and none by its name alone.
    for name in [str(one.get_attribute("data-check")) for one in page.all("#questions .question")]:
        assert page.text(f"[data-check='{name}'] .asks") == CHECKS[name].question


def test_a_slider_changes_figure_sentence_and_solid(page: Page) -> None:
    from selenium.webdriver.common.keys import Keys

    page.open()
    before = page.text("#weakest"), page.estimated, page.shown, page.picked()
    page.one(f"{CORE} .number").click()
    page.script("document.activeElement.value = '7'; document.activeElement.dispatchEvent(new Event('input'))")
    page.until(lambda: page.estimated != before[1])
    assert page.text("#weakest") != before[0]
    assert page.text(f"{CORE} .number") == "7 mm" and '"core_diameter": "7 mm"' in page.text("#request pre")
    page.until(lambda: page.shown != before[2])
    page.until(lambda: page.picked() != before[3])
    page.driver.switch_to.active_element.send_keys(Keys.ESCAPE)
    assert page.driver.switch_to.active_element == page.one(f"{CORE} .number")


def test_the_address_has_the_bait_written_once_it_rests_and_is_read_when_it_changes(page: Page) -> None:
    """WebKit throws at the hundredth writing in ten seconds: a slider that is dragged says so many in two."""
    page.look(800)
    page.open()
    written = page.script(
        "let count = 0; const before = history.replaceState.bind(history);"
        "history.replaceState = (...told) => { count++; before(...told); };"
        "const slider = document.querySelector(arguments[0]);"
        "for (let n = 0; n < 120; n++) { slider.value = String(4 + n / 40); slider.dispatchEvent(new Event('input')); }"
        "window.written = () => count; return count",
        f"{CORE} input[type=range]",
    )
    assert written == 0
    page.until(lambda: page.script("return window.written()") == 1)
    told = json.loads(unquote(page.script("return location.hash.slice(1)")))
    assert f'"core_diameter": "{told["params"]["core_diameter"]}"' in page.text("#request pre")
    page.script("location.hash = encodeURIComponent(JSON.stringify({style: 'grub', params: {}}))")
    page.until(lambda: page.script("return !window.written && document.getElementById('stage').dataset.shows"), 60)
    assert "grub" in page.text("#slip .slip-said")


def test_a_remedy_turns_its_verdict_to_yes_in_word_and_mark(page: Page) -> None:
    page.open(WEAK)
    question = "[data-check='joint_pull']"
    assert page.text(f"{question} .mark") == "✕" and page.text(f"{question} .answers").startswith("No.")
    assert page.all("#pulls .step.fail .short") and not page.all("#pulls .step.pass")
    page.one(f"{question} .remedy").click()
    page.until(lambda: page.text(f"{question} .mark") == "✓")
    assert page.text(f"{question} .answers").startswith("Yes.")
    assert page.all("#pulls .step.pass .weight") and not page.all("#pulls .step.fail")
    assert "Yes." in page.text("#told")


def test_all_of_it_is_done_by_keyboard_alone(page: Page) -> None:
    from selenium.webdriver.common.action_chains import ActionChains
    from selenium.webdriver.common.keys import Keys

    page.open(WEAK)
    seen: list[str] = []

    def press(key: str) -> None:
        """To whatever has the focus: an element that is asked for first may be drawn anew before the key comes."""
        ActionChains(page.driver).send_keys(key).perform()

    def tab_to(selector: str) -> None:
        for _ in range(80):
            press(Keys.TAB)
            seen.append(str(page.script("return document.activeElement.className || document.activeElement.tagName")))
            if page.script("return document.activeElement.matches(arguments[0])", selector):
                return
        raise AssertionError(f"Tab never came to {selector}: {seen}")

    page.script("document.body.focus()")
    tab_to("#stage")
    turned = page.picked()
    press(Keys.ARROW_DOWN)
    page.until(lambda: page.picked() != turned)
    tab_to(f"{CORE} .number")
    press(Keys.ENTER)
    before = page.estimated
    press(Keys.ARROW_RIGHT)
    page.until(lambda: page.estimated != before)
    press(Keys.ESCAPE)
    tab_to("[data-check='joint_pull'] .remedy")
    press(Keys.ENTER)
    page.until(lambda: page.text("[data-check='joint_pull'] .mark") == "✓")
    assert page.script("return document.activeElement !== document.body")  # its place is kept
    page.until(lambda: page.all("#front .point"), 60)
    tab_to("#front .point")
    before = page.estimated
    press(Keys.ENTER)
    page.until(lambda: page.estimated != before)


def test_the_bait_hangs_by_its_own_figure(page: Page) -> None:
    page.look(1440, still=True)
    page.open()
    lying = page.picked()
    page.all("#poses .pose")[1].click()
    page.until(lambda: page.picked() != lying)
    droop = page.script(
        "const r = await fetch('/v1/estimates', {method: 'POST', headers: {'Content-Type': 'application/json'},"
        " body: document.querySelector('#request pre').textContent}); return (await r.json()).metrics.droop_tip_deg"
    )
    told = re.search(r"tip (droops|rises) ([\d.]+)°", page.text("#poses"))
    assert told and float(told[2]) == pytest.approx(abs(droop["fresh_water"]), abs=0.5)
    assert told[1] == ("rises" if droop["fresh_water"] < 0 else "droops")


def test_the_front_is_judged_as_the_bait_is(page: Page) -> None:
    page.look(800)
    told = {
        "water": {"temperature_c": 16},
        "checks": {"joint_pull": {"silence": True}},
        "require": {"joint_pull_n": 12},
    }
    page.open({**WEAK, **told})
    page.script("document.getElementById('front').scrollIntoView()")
    page.until(lambda: page.all("#front .point"), 60)
    page.script(
        "const before = window.fetch; window.fetch = (to, how) => {"
        "if (to === '/v1/fits') window.searched = how.body; return before(to, how); }"
    )
    page.one("#front .act").click()
    asked = json.loads(page.until(lambda: page.script("return window.searched")))
    assert {name: asked[name] for name in told} == told
    page.until(lambda: page.one("#front .act").is_enabled(), 60)
    assert page.all("#front .point")


def test_the_files_are_built_and_listed(page: Page) -> None:
    page.open()
    page.one("#files .act").click()
    page.until(lambda: page.all("#files li"), 60)
    names = {one.text for one in page.all("#files li a")}
    assert {"bait.stl", "bait.3mf", "bait.glb", "metrics.json", "joints.svg"} <= names


@requires("curl")
def test_the_command_that_it_shows_asks_for_the_very_bait(page: Page) -> None:
    """As a shell reads it: with an apostrophe in it, too."""
    page.look(800)
    page.open({**WEAK, "label": "Miller's weir"})
    line = page.script("return document.querySelectorAll('#request pre')[1].textContent")
    told = subprocess.run(["sh", "-c", line], capture_output=True, timeout=60, check=True)
    answer = json.loads(told.stdout)
    assert answer["id"] == page.estimated and answer["label"] == "Miller's weir"


HOUSE = {
    "base": "jointed_worm",
    "label": "Alderbank",
    "fixed": {"bead_diameter": "8.5 mm", "segment": "barrel"},
    "bounds": {"length": {"minimum": "4 in", "maximum": "5 in"}, "core_diameter": {"minimum": 4, "maximum": 7}},
    "defaults": {"length": "4-1/2 in"},
    "plastic": {"grade": "medium", "salt_wt_pct": 12},
    "finish": {"colour": "#123456"},
}


@pytest.fixture
def house(served: Service) -> Iterator[str]:
    """A house style that is kept for one test."""
    assert served.call("PUT", "/v1/styles/alderbank", HOUSE).status in (200, 201)
    yield "alderbank"
    served.call("DELETE", "/v1/styles/alderbank")


def test_a_house_style_is_chosen_said_and_changed_within_its_bounds(page: Page, house: str) -> None:
    page.open()
    page.script(
        "const list = document.querySelector('#sentence select.style'); list.value = arguments[0];"
        "list.dispatchEvent(new Event('change'))",
        house,
    )
    page.until(lambda: page.text("#slip .slip-said").startswith("A 4-1/2 in Alderbank "))
    said = page.text("#slip .slip-said")
    assert "beads of 8.5 mm on a" in said and "segment barrel" in said and "medium" in said and "12 %" in said, said
    # What is held fast is said, and opens nothing anywhere; its plastic and colour stand though the request is silent.
    pointers = {str(one.get_attribute("data-pointer")) for one in page.all(".value")}
    assert not {"/params/bead_diameter", "/params/segment"} & pointers and "/params/core_diameter" in pointers
    core = page.one(f"{CORE} input[type=range]")
    assert (float(core.get_attribute("min") or 0), float(core.get_attribute("max") or 0)) == (4, 7)
    colour = page.one("[data-pointer='/finish/colour'] select")
    assert page.script("return arguments[0].selectedOptions[0].textContent", colour) == "of the house"
    asked = json.loads(page.text("#request pre"))
    assert asked["style"] == house and not {"grade", "salt_wt_pct"} & set(asked["plastic"]) and not asked["finish"]
    before = page.estimated, page.shown
    page.script("arguments[0].value = '4.2'; arguments[0].dispatchEvent(new Event('input'))", core)
    page.until(lambda: page.estimated != before[0])
    page.until(lambda: page.shown != before[1], 60)
    page.script("document.getElementById('front').scrollIntoView()")
    page.until(lambda: page.one("#front .act").is_enabled())  # it may be looking for the first bait's by itself
    page.one("#front .act").click()
    page.until(lambda: page.all("#front .point"), 60)
    assert page.violations() == []


def test_a_sentence_says_an_where_an_is_said(page: Page) -> None:
    for style, length, start in (("beaded_worm", "8 in", "An 8 in beaded worm"), ("pull_bar", None, "A pull bar")):
        page.open({"style": style, "params": {"length": length} if length else {}})
        assert page.text("#slip .slip-said").lower().startswith(start.lower())


def test_the_pulls_of_an_arched_shrimp_hang_below_its_joints(page: Page) -> None:
    """Its joints' stations run along the arch, beyond its own end; on the rule none lies behind that."""
    page.look(360)
    page.open({"style": "shrimp", "params": {"length": 114.3, "arch": 100}}, ready=False)
    page.until(lambda: page.all("#pulls .thread"))
    threads = "[...document.querySelectorAll('#pulls .thread')]"
    edge = page.script(f"return Math.max(...{threads}.map(one => one.getBoundingClientRect().right))")
    assert edge < 360 - 16


CRAW = {"style": "craw", "params": {"length": "3-3/4 in"}}
IN_SIGHT = (
    "const frame = document.querySelector('#pulls svg.limbs').getBoundingClientRect();"
    "const boxes = [...document.querySelectorAll(arguments[0])].map(one => one.getBoundingClientRect());"
    "return boxes.map(one => [one.left, one.top, one.right, one.bottom, frame.left, frame.right])"
)


@pytest.mark.parametrize("style", ["craw", "shrimp"])
@pytest.mark.parametrize("width", [360, 1440])
def test_joints_off_the_trunk_hang_on_the_same_axis_and_cover_nothing(page: Page, width: int, style: str) -> None:
    page.look(width)
    page.open({"style": style, "params": {}}, ready=False)
    page.until(lambda: page.all("#pulls .limb"))
    answer = page.script(
        "const r = await fetch('/v1/estimates', {method: 'POST', headers: {'Content-Type': 'application/json'},"
        " body: document.querySelector('#request pre').textContent}); return await r.json()"
    )
    places = {one["along_mm"] for one in answer["limb_places"]}
    # Where a joint of the trunk stands tells the axis: none of it is taken from what draws the limbs.
    trunk = sorted(one["station_mm"] for one in answer["metrics"]["joints"] if one["strand"] == "trunk")
    told = [str(one.get_attribute("d")) for one in page.all("#pulls .step .thread")]
    drawn = sorted(float(one.removeprefix("M").split()[0]) for one in told)
    if style == "craw":  # its trunk runs straight back, so stations are places
        scale = (drawn[-1] - drawn[0]) / (trunk[-1] - trunk[0])
        zero = drawn[0] - trunk[0] * scale
        limbs = [str(one.get_attribute("d")) for one in page.all("#pulls .limb .thread")]
        for x in (float(one.removeprefix("M").split()[0]) for one in limbs):
            assert min(abs(zero + scale * place - x) for place in places) < 0.6
    sides = [one for one in answer["metrics"]["joints"] if one["strand"].startswith("right ")]
    off = [one for one in answer["metrics"]["joints"] if one["strand"] != "trunk"]
    assert len(page.all("#pulls .limb")) == len(off) - len(sides)  # a left and a right in one
    boxes = page.script(IN_SIGHT, "#pulls .limb .diamond, #pulls .kind")
    for number, (left, top, right, bottom, first, last) in enumerate(boxes):
        assert first <= left and right <= last
        for other in boxes[:number]:
            apart = other[0] >= right or other[2] <= left or other[1] >= bottom or other[3] <= top
            assert apart, (boxes[number], other)
    heard = str(page.one("#pulls svg.limbs").get_attribute("aria-label"))
    assert heard.startswith("Off the trunk all hold, at the weakest: ") and "leg " in heard


def test_a_limb_that_falls_short_says_so_in_word_and_mark(page: Page) -> None:
    page.look(360)
    page.open({**CRAW, "require": {"leg_pull_n": 9}}, ready=False)
    page.until(lambda: page.all("#pulls .limb.fail"))
    assert len(page.all("#pulls .limb.fail .short")) == len(page.all("#pulls .limb.fail")) == 3
    said = [one.text for one in page.all("#pulls .kind.short-of")]
    assert len(said) == 1 and said[0].startswith("leg: ") and said[0].endswith("of 9 N, falls short")
    heard = str(page.one("#pulls svg.limbs").get_attribute("aria-label"))
    assert "some fall short" in heard and "falls short" in heard


@pytest.mark.parametrize(("style", "least"), [("jointed_worm", 0.98), ("craw", 0.85), ("tube", 0.98)])
def test_the_bait_lies_as_wide_as_the_page(page: Page, style: str, least: float) -> None:
    """Of the rule's length, from the last inch told: so wide a bait as a craw leaves a tenth or so, no more."""
    page.open({"style": style, "params": CRAW["params"] if style == "craw" else {}})
    length = page.script(
        "const r = await fetch('/v1/estimates', {method: 'POST', headers: {'Content-Type': 'application/json'},"
        " body: document.querySelector('#request pre').textContent}); return (await r.json()).metrics.length_mm"
    )
    inches = [(float(one.get_attribute("x") or 0), int(one.text)) for one in page.all("#rule .inch")]
    (x, number), (last, furthest) = inches[0], inches[-1]
    scale = (last - x) / (furthest - number) / 25.4
    assert length * scale >= least * (1440 - 2 * 28)
    assert page.script("return document.getElementById('rule').getBoundingClientRect().bottom") < 900
