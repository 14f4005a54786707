"""What a browser says of one page: faults as short sentences, none when it is as it should be."""

from playwright.sync_api import Page

# W3C, Web Content Accessibility Guidelines 2.2, levels A and AA, and axe's own best practice.
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# WCAG 2.2, 1.4.10 Reflow: 320 CSS pixels; 1.4.4 Resize text: 1280 pixels at 200 % are 640.
NARROW, ZOOMED, DESK = 320, 640, 1280

LISTEN = """
window.refusedByPolicy = [];
document.addEventListener("securitypolicyviolation", (event) =>
  window.refusedByPolicy.push(`${event.effectiveDirective} ${event.blockedURI} ${event.sample}`));
"""
# Of every violation the rule and where; the rest stands in axe's own pages.
ASK_AXE = """async (tags) => {
  const told = await axe.run({runOnly: tags, resultTypes: ["violations"]});
  return told.violations.map((one) =>
    `axe ${one.id}: ${one.nodes.map((node) => node.target).slice(0, 4).join(" | ")}`);
}"""
FRAME = """() => ({
  headings: document.querySelectorAll("h1").length,
  title: document.title,
  language: document.documentElement.lang,
})"""
# What reaches beyond the window, the innermost first: the culprit rather than its parents.
WIDER = """() => {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= wide) return "";
  const out = [...document.querySelectorAll("body *")].filter((one) =>
    one.getBoundingClientRect().right > wide + 1 && !one.closest(".wide *"));
  return out.slice(-3).map((one) => one.tagName + "." + one.className + " "
    + one.textContent.trim().slice(0, 30)).join(" | ") || "something";
}"""


def listen(page: Page, axe: str) -> list[str]:
    """Return a list that fills with what the page's console and its requests complain of.

    Every document the page opens from now on begins with the listener and with axe.
    """
    heard: list[str] = []
    page.add_init_script(f"{LISTEN}\n{axe}")
    page.on("pageerror", lambda error: heard.append(f"script: {error}"))
    page.on("console", lambda said: _hear(said, heard))
    page.on("response", lambda answer: _hear_answer(answer, heard))
    return heard


def _hear(said, heard: list[str]) -> None:
    # The status of an answer is judged where it is asked for.
    if said.type in ("error", "warning") and not said.text.startswith("Failed to load resource"):
        heard.append(f"console: {said.text}")


def _hear_answer(answer, heard: list[str]) -> None:
    if answer.status >= 400 and answer.request.resource_type not in ("document", "fetch", "xhr"):
        heard.append(f"{answer.status} for {answer.url}")


def faults(page: Page) -> list[str]:
    """Return what is wrong with the page as it stands, at desk width, zoomed and on a phone.

    The window stays as the look leaves it, and the next look goes the other way: a page is loaded
    at either end in turn, and nothing is laid out twice for the sake of the look.
    """
    told = [f"refused by policy: {one}" for one in page.evaluate("window.refusedByPolicy")]
    frame = page.evaluate(FRAME)
    if frame["headings"] != 1:
        told.append(f"{frame['headings']} headings of the first level")
    if not frame["title"].split("·")[0].strip():
        told.append("no title")
    if not frame["language"]:
        told.append("no language")
    is_narrow = page.viewport_size["width"] == NARROW
    for width in (NARROW, ZOOMED, DESK) if is_narrow else (DESK, ZOOMED, NARROW):
        if page.viewport_size["width"] != width:
            page.set_viewport_size({"width": width, "height": 900})
        if width == DESK:
            told += page.evaluate(ASK_AXE, TAGS)
        elif wider := page.evaluate(WIDER):
            told.append(f"scrolls sideways at {width} px: {wider}")
    return told
