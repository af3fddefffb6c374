"""A person at a browser: signs in, opens pages, and hears everything that the browser complains of."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page, Response

from tests.browser.demo import Demo

ADMINISTRATOR = "administrator@marlpit.example"
OFFICER = "officer@marlpit.example"
FINANCE = "finance@marlpit.example"
MEMBER_WHOSE_TIMES_MOVE = "bao.tranmere@marlpit.example"
MEMBER_WITH_TWO_CARS = "yusra.halvani@marlpit.example"
MEMBER_WITHOUT_CLEARANCE = "kwabena.asantori@marlpit.example"

WITHIN_MS = 30_000

# A page has settled when it has a heading, nothing on it still loads, and its charts are drawn.
SETTLED = """() => document.readyState === "complete"
  && document.querySelector("main h1, body h1")
  && document.title !== "Plugward"
  && !document.querySelector(".skeleton, .is-loading, .chart-box:not(:has(svg))")"""

_GO = """path => {
  document.querySelector("main h1").dataset.left = "";
  return import("/app/state/router.js").then(({ go }) => go(path, { isAsked: true }));
}"""


class Visitor:
    """One person's window, with cookies of its own."""

    def __init__(
        self, browser: Browser, demo: Demo, *, width: int = 1280, height: int = 900, is_dark: bool = False, **more: Any
    ) -> None:
        self.demo = demo
        self.context = browser.new_context(
            base_url=demo.base_url,
            viewport={"width": width, "height": height},
            color_scheme="dark" if is_dark else "light",
            reduced_motion="reduce",
            locale="en-GB",
            **more,
        )
        self.context.set_default_timeout(WITHIN_MS)
        self.page: Page = self.context.new_page()
        self.complaints: list[str] = []
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self.complaints.append(f"exception: {error}"))
        self.page.on("response", self._see)

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            place = str(message.location.get("url", "")).removeprefix(self.demo.base_url)
            self.complaints.append(f"{message.type}: {message.text} ({place})")

    def _see(self, response: Response) -> None:
        if response.status >= 500:
            self.complaints.append(f"{response.status}: {response.request.method} {response.url}")

    def open(self, path: str) -> Page:
        """Open an address and return the page once it has settled."""
        self.page.goto(path)
        return self.settle()

    def go(self, path: str) -> Page:
        """Go to another page of the app as one of its links does: the app stays, and only what is new is fetched."""
        self.page.evaluate(_GO, path)
        self.page.wait_for_function("() => !document.querySelector('main h1[data-left]')")
        return self.settle()

    def settle(self) -> Page:
        """Wait until nothing on the page is still loading."""
        self.page.wait_for_function(SETTLED)
        return self.page

    def sign_in(self, email: str) -> Page:
        """Sign in through the form, as the demo's person with this address."""
        self.open("/sign-in")
        self.page.get_by_label("E-mail address").fill(email)
        self.page.get_by_label("Password").fill(self.demo.password)
        self.page.get_by_role("button", name="Sign in").click()
        self.page.get_by_role("button", name="Sign out").wait_for()
        return self.settle()

    def read(self, path: str) -> Any:
        """Return what the API answers this person, as the page itself would read it."""
        return self.page.evaluate("path => fetch(path).then(reply => reply.json())", f"/api/v1{path}")

    def lines(self) -> list[str]:
        """Return the page's main text, line by line."""
        return [line for line in re.split(r"\s*\n\s*", self.page.locator("main").inner_text()) if line]

    def close(self) -> None:
        """Close the window and forget its cookies."""
        self.context.close()


def signed_in_state(browser: Browser, demo: Demo, who: str) -> Any:
    """Sign a person in without a window, and return the cookies to open windows with."""
    context = browser.new_context(base_url=demo.base_url)
    reply = context.request.post(
        "/api/v1/session", data={"email": who, "password": demo.password}, headers={"X-Requested-By": "plugward"}
    )
    assert reply.status == 200, reply.text()
    state = context.storage_state()
    context.close()
    return state
