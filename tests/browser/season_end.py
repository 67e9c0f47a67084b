"""The season's end on real pages: the committee's case, the reports, the landholder's answers."""

from playwright.sync_api import Page, expect

from tests.browser import season as day
from tests.browser.conftest import PHONE
from tests.browser.forms import fill, follow, press, says, unfold
from tests.browser.season import Season


def review_case(season: Season) -> None:
    """The committee sees the full findspot, takes the case up and issues the heritage report."""
    page = season.page("committee")
    page.goto("/heritage/")
    page.locator("main table a").first.click()
    says(page, "TA 4244")
    season.urls["case"] = page.url
    unfold(page, "Take it up for review")
    part = page.locator("details").filter(has_text="Take it up for review")
    part.locator("textarea").fill("Three pennies of one reign from one hole: look again together.")
    part.get_by_role("button").click()
    expect(page.locator("header.page-head")).to_contain_text("Under review")
    follow(page, "Heritage report")
    says(page, "TA 4244")
    page.get_by_role("button", name="Issue ").click()
    says(page, "is issued and frozen")
    expect(page.locator(".hash")).to_contain_text("SHA-256")
    pdf_of(page)


def pdf_of(page: Page) -> bytes:
    """The PDF behind the page's link, fetched with the reader's own session."""
    link = page.get_by_role("link", name="PDF").first.get_attribute("href") or ""
    answer = page.request.get(link)
    body = answer.body()
    assert answer.headers["content-type"] == "application/pdf"
    assert body.startswith(b"%PDF-")
    return body


def issue_reports(season: Season) -> None:
    page = season.page("leader")
    for name in ("Visit report", "Filled holes", "Returns"):
        page.goto(season.urls["hunt"])
        follow(page, "Visit report")
        page.get_by_role("navigation", name="Reports of this hunt").get_by_role("link", name=name).click()
        page.get_by_role("button", name="Issue ").click()
        says(page, "Issued and frozen")
        pdf_of(page)


def make_link(season: Season) -> None:
    page = season.page("secretary")
    page.goto(season.urls["landholder"])
    fill(page, days=60)
    press(page, "Make a link")
    season.urls["link"] = page.get_by_label("Address to send").input_value()


def landholder_reads(season: Season) -> Page:
    """Without an account, on a phone: the visit report with its holes and photographs."""
    page = season.fresh(PHONE)
    page.goto(season.urls["link"])
    expect(page.get_by_role("heading", level=1)).to_have_text("Ada Warp")
    page.get_by_role("link", name="Visit report").click()
    says(page, "First stubble")
    pdf_of(page)
    follow(page, "Back to your page")
    page.get_by_role("link", name="Filled-holes report").click()
    says(page, "Hole 1")
    follow(page, "Back to your page")
    return page


def landholder_answers(season: Season, page: Page) -> None:
    """Confirms what came back, raises a concern, pauses the permission."""
    page.get_by_role("link", name="Returns statement").click()
    fill(page, received="confirmed", signed_name="Ada Warp")
    press(page, "Sign and send")
    says(page, "Your answer is kept")
    page.get_by_label("What is wrong?").fill("The beck gate stood open on Sunday evening.")
    press(page, "Tell the club")
    says(page, "The club's secretary sees this today")
    unfold(page, "Pause Saltmere fields")
    page.get_by_label("Why, and until when").fill("Ewes in the field until Easter")
    press(page, "Pause it now")
    says(page, "Nobody will come until you and the club agree again")


def secretary_sees(season: Season) -> None:
    """Today names the concern and the pause; the gate is shut; the answer goes back."""
    page = season.page("secretary")
    page.goto("/")
    says(page, "Ada Warp")
    says(page, "paused")
    page.goto(season.urls["site"])
    says(page, "Shut")
    page.goto(season.urls["permission"])
    says(page, "Ewes in the field until Easter")
    page.goto("/answers/")
    card = page.locator("article").filter(has_text="The beck gate stood open")
    card.get_by_label("What was done").fill("Rang Ada and put a spring on the gate.")
    card.get_by_role("button", name="Record it").click()
    says(page, "put a spring on the gate")


def play(season: Season) -> None:
    """The whole season, from the first landholder written down to the answer to the landholder."""
    day.add_landholder(season)
    day.add_site(season)
    if season.javascript:
        day.draw_site(season)
    day.know_the_site(season)
    day.agree_permission(season)
    day.plan_hunt(season)
    day.sign_up(season)
    day.begin_the_day(season)
    day.log_hole(season)
    day.log_open_hole(season)
    day.record_finds(season)
    day.fill_and_check(season)
    day.close_hunt(season)
    review_case(season)
    issue_reports(season)
    make_link(season)
    landholder_answers(season, landholder_reads(season))
    secretary_sees(season)
