#!/usr/bin/python3
"""The page of a report in a browser, on a phone and at a desk, with its script and without: nothing is fetched, cut or
wider than the screen, and the values under the pointer are those of the readings. Needs python3-selenium, chromium,
chromium-driver and poppler-utils.

usage: page_in_browser.py PROGRAM SOURCE_FOLDER    makes a page of every example and of a run with hostile names
       page_in_browser.py --pages FILE...          looks at pages that are there
"""
import base64
import json
import pathlib
import re
import subprocess
import sys
import tempfile

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.actions.action_builder import ActionBuilder
from selenium.webdriver.common.actions.pointer_input import PointerInput
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

PHONE, DESK = (360, 740), (1280, 900)
WIDE_FROM = 704  # in shared/page.css
faults = []

# What is wrong with what stands on the page, as a list of texts. A box that is pushed sideways may hold wider things.
LOOK = r"""
const wrong = [];
const name = (e) => `${e.tagName.toLowerCase()}.${e.getAttribute("class") || ""} "${e.textContent.trim().slice(0, 40)}"`;
const isShown = (e) => { const box = e.getBoundingClientRect(); return box.width > 0 && box.height > 0; };
const isInBox = (e) => e.parentElement && e.parentElement.closest(".sideways") !== null;
if (document.documentElement.scrollWidth > innerWidth) wrong.push(`the page is ${document.documentElement.scrollWidth} wide`);
for (const e of document.body.querySelectorAll("*")) {
  if (!isShown(e)) continue;
  const box = e.getBoundingClientRect();
  // What leaves a drawing is cut off there: tests/report looks for that.
  if (!isInBox(e) && !e.ownerSVGElement && (box.right > innerWidth + 0.5 || box.left < -0.5)) wrong.push(`over the edge: ${name(e)}`);
  const hasText = [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim() !== "");
  const isInline = getComputedStyle(e).display === "inline"; // has no width of its own
  if (hasText && !isInline && e.scrollWidth > e.clientWidth + 1) wrong.push(`cut: ${name(e)}`);
  if (hasText && !isInline && e.scrollHeight > e.clientHeight + 6) wrong.push(`cut below: ${name(e)}`);
  if (hasText && parseFloat(getComputedStyle(e).fontSize) < 12) wrong.push(`too small to read: ${name(e)}`);
}
for (const e of document.querySelectorAll("h1, h2, h3, .verdict .word, .verdict .sentence, figure, tbody th"))
  if (!e.closest("[hidden]") && !isShown(e)) wrong.push(`not seen: ${name(e)}`);
for (const e of document.querySelectorAll(".sideways tbody th")) {
  const box = e.getBoundingClientRect(), around = e.closest(".sideways").getBoundingClientRect();
  const text = document.createRange();
  text.selectNodeContents(e);
  if (e.textContent.length <= 18 && text.getClientRects().length > 2) wrong.push(`in pieces: ${name(e)}`);
  if (box.left < around.left - 0.5 || box.right > around.right + 0.5) wrong.push(`first column cut: ${name(e)}`);
}
for (const e of document.querySelectorAll(".verdict .word"))
  if (!/\s/.test(e.textContent.trim()) && e.getBoundingClientRect().height > 1.6 * parseFloat(getComputedStyle(e).fontSize))
    wrong.push(`broken over lines: ${name(e)}`);
if (document.querySelectorAll("h1").length !== 1) wrong.push("not one name over the page");
if (!document.documentElement.lang) wrong.push("no language");
if (document.querySelectorAll("main *").length < 5) wrong.push("nothing on the page");
for (const figure of document.querySelectorAll("figure")) {
  const drawings = [...figure.querySelectorAll("svg")].filter(isShown);
  if (drawings.length !== 1) wrong.push(`${drawings.length} drawings of the chart are seen`);
  for (const svg of drawings) {
    const box = svg.getBoundingClientRect(), drawn = svg.viewBox.baseVal;
    if (!svg.querySelector("path") || box.height < 100) wrong.push("no chart to be seen");
    if (box.width < 1.2 * drawn.width) wrong.push(`letters of the chart are small: ${box.width} for ${drawn.width}`);
    if (box.height > innerHeight) wrong.push("the chart is higher than the screen");
  }
}
return wrong;
"""


def expect(what, holds):
    if not holds:
        faults.append(what)
        print("not so: " + what)


def browser():
    options = Options()
    for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--disable-dev-shm-usage",
                     "--disable-background-networking", "--disable-component-update", "--no-first-run"):
        options.add_argument(argument)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service("/usr/bin/chromedriver"))
    driver.set_page_load_timeout(60)
    return driver


def open_page(driver, path, has_script):
    driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": not has_script})
    for kind in ("browser", "performance"):
        driver.get_log(kind)
    driver.get(path.as_uri())


def set_size(driver, size):
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                           {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": False})


def requests(driver):
    """Every address that the page asked for."""
    found = []
    for entry in driver.get_log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            found.append(message["params"]["request"]["url"])
    return found


def look(driver, where):
    for wrong in driver.execute_script(LOOK)[:8]:
        expect(f"{where}: {wrong}", False)


def look_outside(driver, path, where):
    for entry in driver.get_log("browser"):
        expect(f"{where}: the console is silent, not {entry['message']}", False)
    asked = requests(driver)
    expect(f"{where}: the page alone was asked for, not {asked}", asked == [path.as_uri()])


def read_off(driver):
    """[bucket, time, [[probe, value...]...], places of the lines seen] as the page shows it; None where it shows nothing."""
    return driver.execute_script("""
        const box = document.querySelector(".readings"), table = box.querySelector("table");
        if (table.getClientRects().length === 0) return null;
        const rows = [...table.querySelectorAll("tbody tr")];
        return [Number(box.querySelector("input").value), box.querySelector(".hint").innerText,
                rows.map((row) => [...row.cells].map((cell) => cell.textContent)),
                [...document.querySelectorAll(".hair")].filter((hair) => hair.getClientRects().length > 0)
                  .map((hair) => Number(hair.getAttribute("x1")))];""")


def near(told, value):
    """Whether a text tells a value to one decimal or more, from 1,000 up to one, whichever way a half is rounded."""
    if value is None:
        return told == "-"
    number = re.match(r"-?[\d,]+(\.\d+)?", told)
    most = 0.0500001 if value < 1000 else 0.5
    return number is not None and abs(float(number[0].replace(",", "")) - value) <= most


def check_reading(driver, given, where):
    shown = read_off(driver)
    expect(f"{where}: values are shown", shown is not None)
    if shown is None:
        return -1
    bucket, time, rows, lines = shown
    expect(f"{where}: a time is shown, not {time!r}", time != "" and ("times" in given or re.fullmatch(r"\d+:\d\d", time)))
    probes = given["probes"]
    expect(f"{where}: every probe has its row", [row[0] for row in rows] == [probe["name"] for probe in probes])
    for row, probe in zip(rows, probes):
        value = probe["values"][bucket] if bucket < len(probe["values"]) else None
        expect(f"{where}: {row} tells {value} of {bucket}", near(row[1], value))
        if "F" in probe:
            expect(f"{where}: {row} tells F {probe['F'][bucket]}", near(row[2], probe["F"][bucket]))
    plot = given["plot" if driver.execute_script("return innerWidth") >= WIDE_FROM else "narrow_plot"]
    expect(f"{where}: one line stands in the chart, not {lines}",
           len(lines) == 1 and plot["left"] <= lines[0] <= plot["right"])
    return bucket


def given_readings(driver):
    """What the page's script was given, or None."""
    held = driver.find_elements(By.ID, "page-readings")
    return json.loads(held[0].get_property("textContent")) if held else None


def use_script(driver, given, where):
    """The pointer, a finger, the keys and the slider each show values."""
    chart = driver.find_element(By.CSS_SELECTOR, "figure.chart")
    driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", chart)
    ActionChains(driver, duration=0).move_to_element(chart).perform()
    at_middle = check_reading(driver, given, f"{where}, pointer")
    ActionChains(driver, duration=0).move_to_element_with_offset(chart, -60, 0).perform()
    at_left = check_reading(driver, given, f"{where}, pointer to the left")
    expect(f"{where}: to the left is earlier: {at_left}, {at_middle}", at_left < at_middle)
    finger = ActionBuilder(driver, mouse=PointerInput("touch", "finger"), duration=0)
    finger.pointer_action.move_to(chart, 40, 0).pointer_down().pointer_up()
    finger.perform()
    at_right = check_reading(driver, given, f"{where}, finger")
    expect(f"{where}: to the right is later: {at_middle}, {at_right}", at_middle < at_right)
    driver.execute_script("arguments[0].focus()", chart)
    ActionChains(driver, duration=0).send_keys(Keys.ARROW_RIGHT).perform()
    expect(f"{where}: an arrow key goes on by one", check_reading(driver, given, f"{where}, key") == at_right + 1)
    ActionChains(driver, duration=0).send_keys(Keys.END).perform()
    last = check_reading(driver, given, f"{where}, last")
    expect(f"{where}: the end is the last bucket", last == max(len(p["values"]) for p in given["probes"]) - 1)
    slider = driver.find_element(By.CSS_SELECTOR, ".readings input")
    slider.send_keys(Keys.ARROW_LEFT)
    expect(f"{where}: the slider goes back by one", check_reading(driver, given, f"{where}, slider") == last - 1)
    expect(f"{where}: the slider tells its values to a screen reader",
           given["probes"][0]["name"] in (slider.get_attribute("aria-valuetext") or ""))


def without_script(driver, where):
    for box in driver.find_elements(By.CSS_SELECTOR, ".readings"):
        expect(f"{where}: without its script there is nothing to push in vain", not box.is_displayed())


def printed_text(driver, folder):
    paper = driver.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "paperWidth": 8.27, "paperHeight": 11.69})
    (folder / "page.pdf").write_bytes(base64.b64decode(paper["data"]))
    return subprocess.run(["pdftotext", "-raw", str(folder / "page.pdf"), "-"], capture_output=True, text=True,
                          check=True).stdout


def squeezed(text):
    return re.sub(r"\s+", "", text)


def on_paper(driver, folder, where):
    """Headings, verdict and the last column of every table are printed, boxes to tick too, and nothing of the slider."""
    text = squeezed(printed_text(driver, folder))
    wanted = driver.execute_script(
        "return [...document.querySelectorAll('h1, h2, h3, .verdict .word, thead th:last-child, td:last-child, .label')]"
        ".filter((e) => !e.closest('.readings')).map((e) => e.textContent)")
    # Letters of other scripts and pictures may come out of a PDF in another order.
    for each in {squeezed(each) for each in wanted if each.isascii()}:
        expect(f"{where}: {each[:60]!r} is on paper", each in text)
    for hint in driver.find_elements(By.CSS_SELECTOR, ".hint"):
        said = squeezed(hint.get_property("textContent"))
        expect(f"{where}: {said[:60]!r} is not on paper", said not in text)


def made_pages(program, source, folder):
    pages = []
    runs = sorted((source / "examples").glob("*/run.toml")) + [hostile_run(source, folder)]
    for run in runs:
        page = folder / f"{run.parent.name}.html"
        done = subprocess.run([program, "check", str(run), "--html", str(page)], capture_output=True, text=True, timeout=120)
        expect(f"a page of {run.parent.name}: {done.stderr}", done.returncode in (0, 1, 2) and page.is_file())
        if page.is_file():
            pages.append(page)
    expect("pages of all examples", len(pages) >= 14)
    return pages


def hostile_run(source, folder):
    """A run of the examples whose names are meant to break the page. Invented."""
    names = {'name = "good-sterilization"': '<script>document.title = "broken"</script>' + "a-long-name-" * 20,
             'by = "evening shift"': '"><img src=x onerror=alert(1)> \u202Egnol yrev',
             'notes = "probe 1 in the mapped cold spot"': "</script></style>{{title}}&amp;<!-- \u2066 " + "W" * 300}
    place = folder / "hostile"
    place.mkdir()
    text = (source / "examples/good-sterilization/run.toml").read_text(encoding="utf-8")
    for old, name in names.items():
        key = old.split(" = ")[0]
        expect(f"the example has {old}", old in text)
        text = text.replace(old, f"{key} = {json.dumps(name, ensure_ascii=False)}")
    (place / "run.toml").write_text(text.replace("../farm.toml", "farm.toml"), encoding="utf-8")
    farm = (source / "examples/farm.toml").read_text(encoding="utf-8")
    core = json.dumps("<b>core</b> 'one' & \U0001F344 " + "w" * 80, ensure_ascii=False)
    (place / "farm.toml").write_text(farm.replace("probes.core_1", f"probes.{core}"), encoding="utf-8")
    (place / "log.csv").write_bytes((source / "examples/good-sterilization/log.csv").read_bytes())
    return place / "run.toml"


def look_at(driver, page, folder):
    """How often values were read."""
    read = 0
    for has_script in (True, False):
        about = f"{page.stem}{'' if has_script else ' without script'}"
        open_page(driver, page, has_script)
        given = given_readings(driver)
        if given and has_script:
            expect(f"{about}: no value is shown unasked", read_off(driver) is None)
        for size in (PHONE, DESK):
            where = f"{about} at {size[0]}"
            set_size(driver, size)
            look(driver, where)
            if not has_script:
                without_script(driver, where)
            elif given:
                use_script(driver, given, where)
                look(driver, f"{where}, values shown")
                read += 1
        look_outside(driver, page, about)
        if has_script:
            on_paper(driver, folder, page.stem)
    return read


def main():
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        if sys.argv[1] == "--pages":
            pages = [pathlib.Path(page).resolve() for page in sys.argv[2:]]
        else:
            pages = made_pages(str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(sys.argv[2]).resolve(), folder)
        driver = browser()
        try:
            read = sum(look_at(driver, page, folder) for page in pages)
        finally:
            driver.quit()
        expect("some page had readings", read > 0)
        print(f"{len(pages)} pages, {read} times read, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
