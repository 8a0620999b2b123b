"""The screens in a real browser: the student's first minute, mistakes, two sessions, reload, foreign pages."""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from triage.services import workspace
from triage.services.assess import assess

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--enable-unsafe-swiftshader",
]  # fmt: skip
pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason=f"{CHROMIUM} is not installed")
START = "import sys; from pathlib import Path; from triage_ui.main import serve; serve(Path(sys.argv[1]), 0, False)"
PATIENCE = 20_000  # ms; a loaded machine is slow, and nothing here waits longer than it must


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A facility that may be written to."""
    return Path(shutil.copytree(workspace.demonstration(), tmp_path_factory.mktemp("screens") / "my facility"))


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    """A running server."""
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    server = subprocess.Popen(
        [sys.executable, "-c", START, str(folder)], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        env=environment, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert server.stdout is not None
    found = re.search(r"http://127\.0\.0\.1:\d+", server.stdout.readline())
    assert found, server.stdout.read()
    try:
        yield found[0]
    finally:
        server.terminate()
        try:
            server.wait(15)
        finally:
            server.kill()
            server.stdout.close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser; every test has a profile of its own."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield running
        running.close()


class Screen:
    """A page with accessibility switched on, as a screen reader sees it."""

    def __init__(self, browser: Any, address: str, *, size: tuple[int, int] = (1280, 800), dark: bool = False) -> None:
        self.context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light"
        )
        self.page = self.context.new_page()
        self.requests: list[str] = []
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.goto(address)
        self.listen()

    def listen(self) -> None:
        """Switch the accessibility tree on."""
        self.page.wait_for_selector("flt-semantics-placeholder", state="attached", timeout=PATIENCE)
        self.page.evaluate("document.querySelector('flt-semantics-placeholder').click()")
        self.button("Facility page").wait_for(state="attached", timeout=PATIENCE)

    def button(self, name: str) -> Any:
        """The first button whose accessible name begins so."""
        return self.page.get_by_role("button", name=re.compile("^" + re.escape(name))).first

    def press(self, name: str) -> None:
        """Press the first button whose name begins so."""
        self.button(name).wait_for(state="attached", timeout=PATIENCE)
        self.button(name).evaluate("element => element.click()")

    def write(self, label: str, words: str) -> None:
        """Replace what is in a text field, by keyboard."""
        field = self.page.get_by_role("textbox", name=label).first
        field.wait_for(state="attached", timeout=PATIENCE)
        field.focus()
        self.page.wait_for_timeout(150)  # the framework exchanges the element on focus
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(words)

    def says(self, identifier: str, pattern: str) -> str:
        """Wait until a marked part of the screen says something; what it says."""
        handle = self.page.wait_for_function(
            """([identifier, pattern]) => {
                const found = document.querySelector(`[flt-semantics-identifier=${identifier}]`);
                if (!found) return false;
                const named = [found, ...found.querySelectorAll('[aria-label]')];
                const names = named.map(each => each.getAttribute('aria-label') || '');
                const said = (found.textContent || '') + names.join(' ');
                return new RegExp(pattern).test(said) && said;
            }""",
            arg=[identifier, pattern],
            timeout=PATIENCE,
            polling=100,
        )
        return str(handle.json_value())

    def shows(self, words: str) -> None:
        """Wait until words are on the screen, as text or as a name."""
        by_name = self.page.locator(f'[aria-label*="{words}"]')
        self.page.get_by_text(words).or_(by_name).first.wait_for(state="attached", timeout=PATIENCE)

    def close(self) -> None:
        """Close the profile."""
        self.context.close()


@pytest.fixture(scope="module")
def shared(browser: Any, address: str) -> Iterator[Screen]:
    """One page for most tests, since starting one takes seconds."""
    made = Screen(browser, address)
    yield made
    made.close()


@pytest.fixture
def screen(shared: Screen) -> Screen:
    """The shared page, empty again."""
    shared.press("Proposal page")
    shared.press("New")
    if shared.says("unsaved", "nsaved").startswith("Unsaved"):
        shared.press("Leave the changes")
    shared.says("unsaved", "Nothing unsaved")
    shared.button("Show me an example").wait_for(state="attached", timeout=PATIENCE)
    return shared


def sentence(folder: Path, name: str) -> str:
    """The verdict the command line gives."""
    facility = workspace.open_facility(folder)
    return assess(facility, workspace.read_request(workspace.find_proposal(facility, name))).sentence


def test_the_students_first_minute(screen: Screen, folder: Path) -> None:
    """From the empty page to an answer and a saved proposal, by keyboard where text is written."""
    screen.write("Search the kinds of measurement", "coulomb diamonds")
    screen.press("Coulomb diamonds: ")
    screen.says("needed", "Charging energy")
    screen.write("Charging energy", "0.2 fF")
    screen.says("verdict", "Measure on")
    screen.shows("400 µeV")  # e²/2C at 0.2 fF is 0.40 meV
    screen.says("flip", "now")
    screen.write("Title of the proposal", "My first island")
    screen.says("unsaved", "Unsaved")
    screen.press("Save …")
    screen.write("Name of the file", "my-first-island")
    screen.press("Save in the facility")
    screen.says("status", "Saved as my-first-island.yaml")
    assert screen.says("verdict", "Measure on") == sentence(folder, "my-first-island")
    elsewhere = [url for url in screen.requests if "127.0.0.1" not in url and not url.startswith(("data:", "blob:"))]
    assert all("rive" in url for url in elsewhere), elsewhere  # asked for by the framework, refused by our policy


def test_a_mistake_is_told_beside_its_field_and_taken_back(screen: Screen) -> None:
    screen.press("Show me an example")
    screen.says("verdict", "Measure on")
    screen.write("Board width", "34 K")
    screen.shows("but a length is needed")
    screen.says("stale", "Board width")
    screen.press("Undo")
    screen.page.locator("[flt-semantics-identifier=stale]").wait_for(state="detached", timeout=PATIENCE)
    screen.write("Board width", "34 mm")
    screen.page.wait_for_function(
        "() => !document.querySelector('[flt-semantics-identifier=verdict]').textContent.includes('on helium-3')",
        timeout=PATIENCE,
    )


def test_the_screen_says_what_the_command_line_says(screen: Screen, folder: Path) -> None:
    screen.press("Open a proposal")
    screen.page.get_by_role("menuitem", name="small-splitting").evaluate("element => element.click()")
    screen.says("status", "Opened small-splitting")
    expected = sentence(folder, "small-splitting")
    assert screen.says("verdict", re.escape(expected)) == expected


def test_unsaved_changes_are_not_left_without_asking(screen: Screen) -> None:
    screen.press("Show me an example")
    screen.says("verdict", "Measure on")
    screen.write("Title of the proposal", "Still mine")
    screen.says("unsaved", "Unsaved")
    screen.press("New")
    screen.shows("has unsaved changes")
    screen.press("Stay here")
    screen.button("Stay here").wait_for(state="detached", timeout=PATIENCE)
    screen.says("unsaved", "Unsaved")
    screen.press("New")
    screen.press("Leave the changes")
    screen.says("unsaved", "Nothing unsaved")


def test_two_sessions_do_not_see_each_other(browser: Any, address: str, screen: Screen) -> None:
    one, other = screen, Screen(browser, address)
    try:
        one.press("Show me an example")
        one.says("verdict", "Measure on")
        one.write("Title of the proposal", "A secret plan")
        one.says("unsaved", "Unsaved")
        other.press("Why page")
        other.shows("There is no answer yet")
        assert "A secret plan" not in other.page.content()
        assert "Unsaved changes" not in str(other.page.text_content("flt-semantics-host"))
        one.says("verdict", "Measure on")
    finally:
        other.close()


def ask(address: str, **headers: str) -> int:
    """The status of a plain request."""
    request = urllib.request.Request(address + "/", headers=headers)
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            policy = answer.headers["content-security-policy"]
            assert "default-src 'self'" in policy
            return int(answer.status)
    except urllib.error.HTTPError as error:
        with error:
            return error.code


def shake_hands(address: str, origin: str | None, host: str | None = None) -> int:
    """The status of a request for the socket."""
    place, port = address.removeprefix("http://").split(":")
    lines = [
        "GET /ws HTTP/1.1", f"Host: {host or f'{place}:{port}'}", "Upgrade: websocket", "Connection: Upgrade",
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==", "Sec-WebSocket-Version: 13",
        *([f"Origin: {origin}"] if origin else []),
    ]  # fmt: skip
    with socket.create_connection((place, int(port)), timeout=10) as line:
        line.sendall(("\r\n".join(lines) + "\r\n\r\n").encode())
        return int(line.recv(200).split()[1])


def test_foreign_hosts_and_origins_are_refused(address: str) -> None:
    assert ask(address) == 200
    assert ask(address, Host="evil.example") == 403
    assert ask(address, Origin="http://evil.example") == 403
    assert shake_hands(address, address) == 101
    assert shake_hands(address, "http://evil.example") == 403
    assert shake_hands(address, "null") == 403
    assert shake_hands(address, None, "evil.example") == 403


def test_every_page_can_be_looked_at(screen: Screen, tmp_path: Path) -> None:
    """Pictures of every page in two themes; with TRIAGE_PICTURES in two sizes, kept in the folder it names."""
    kept = Path(os.environ.get("TRIAGE_PICTURES") or tmp_path)
    kept.mkdir(parents=True, exist_ok=True)

    def pictures(name: str) -> None:
        for theme in ("light", "dark"):
            screen.page.wait_for_timeout(350)
            path = kept / f"{name}-{theme}.png"
            screen.page.screenshot(path=str(path))
            assert path.stat().st_size > 20_000  # a page that failed to draw is one flat colour
            screen.press("Dark theme" if theme == "light" else "Light theme")

    sizes = [(1920, 1080), (1280, 800)] if os.environ.get("TRIAGE_PICTURES") else [(1280, 800)]
    for width, height in sizes:
        screen.page.set_viewport_size({"width": width, "height": height})
        screen.page.wait_for_timeout(2000)  # the framework reports a new size late
        screen.press("Proposal page")
        screen.press("New")
        screen.button("Show me an example").wait_for(state="attached", timeout=PATIENCE)
        pictures(f"empty-{width}")
        screen.press("Show me an example")
        screen.says("flip", "now")
        pictures(f"proposal-{width}")
        screen.press("Why page")
        screen.press("open the gates that decide")
        screen.shows("given temperature")
        pictures(f"why-{width}")
        screen.press("Facility page")
        screen.shows("split-gates")
        pictures(f"facility-{width}")


def test_every_control_has_a_name(screen: Screen) -> None:
    """Buttons, fields and choices of all three pages, as the accessibility tree lists them."""
    nameless = """() => [...document.querySelectorAll(
        'flt-semantics-host [role=button], flt-semantics-host [role=radio], flt-semantics-host input,'
        + 'flt-semantics-host textarea')].filter(each =>
        !(each.getAttribute('aria-label') || each.textContent || each.getAttribute('aria-labelledby') || '').trim())
        .map(each => each.outerHTML.slice(0, 200))"""
    screen.press("Show me an example")
    screen.says("flip", "now")
    for page in ("Proposal page", "Why page", "Facility page"):
        screen.press(page)
        screen.page.wait_for_timeout(700)
        assert screen.page.evaluate(nameless) == [], page


def test_the_answer_follows_an_entry_quickly(screen: Screen) -> None:
    """Time from a key press to the changed answer in the accessibility tree, loopback."""
    screen.press("Show me an example")
    screen.says("verdict", "Measure on")
    screen.write("Charging energy", "0.20 fF")
    screen.says("flip", "now 200 aF")
    began = time.perf_counter()
    screen.page.keyboard.press("Backspace")
    screen.page.keyboard.type("F")
    screen.says("verdict", "Measure on")
    assert time.perf_counter() - began < 5


def test_a_reload_loses_nothing(screen: Screen) -> None:
    """The last test on the shared page: it ends the session of the page on purpose."""
    screen.press("Show me an example")
    screen.says("verdict", "Measure on")
    screen.write("Title of the proposal", "Not saved yet")
    screen.says("unsaved", "Unsaved")
    screen.page.wait_for_function(
        "() => Object.keys(localStorage).some(key => key.includes('cold-triage.draft'))", timeout=PATIENCE
    )
    screen.page.evaluate("sessionStorage.clear()")  # as after the server was stopped: the session itself is gone
    screen.page.reload()
    screen.listen()
    screen.says("unsaved", "Unsaved")
    screen.says("status", "here again")


def test_a_broken_facility_is_told_at_the_start(tmp_path: Path) -> None:
    (tmp_path / "lab.yaml").write_text("name: Broken\n")
    from triage_ui.main import serve

    from triage.errors import BadInput

    with pytest.raises(BadInput) as caught:
        serve(tmp_path, 0, False)
    assert json.dumps([each.as_dict() for each in caught.value.problems])
    assert "platforms" in str(caught.value)
