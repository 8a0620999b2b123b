"""Serve the screens to a browser on this machine."""

from __future__ import annotations

import logging
import os
import re
import secrets
import socket
import webbrowser
from pathlib import Path
from typing import Any

import flet as ft
from flet.messaging.protocol import Message

from triage.errors import BadInput, Problem
from triage.services import workspace

from . import look
from .guard import Guard
from .shell import Shell
from .state import new_session
from .work import Work

ASSETS = Path(__file__).parent / "assets"
LOOPBACK = "127.0.0.1"
log = logging.getLogger("triage.ui")
# The framework puts every message into words for a log that is off: a third of the cost of an update.
Message.__repr__ = lambda _: "Message"  # type: ignore[method-assign]
_TAB = re.compile(r"[?&]tab=([0-9a-f]{8,32})(?:&|$)")


def asgi(folder: Path | None, port: int) -> Guard:
    """The application for an ASGI server that listens on the loopback address at a port."""
    # A secret nobody knows: uploads are not offered, and no address for one can be made.
    os.environ.setdefault("FLET_SECRET_KEY", secrets.token_hex(32))

    async def start(page: ft.Page) -> None:
        await _start(page, folder)

    app: Any = ft.run(
        start,
        export_asgi_app=True,
        no_cdn=True,
        assets_dir=str(ASSETS),
        route_url_strategy=ft.RouteUrlStrategy.PATH,
    )
    return Guard(app, (f"{LOOPBACK}:{port}", f"localhost:{port}"))


def serve(folder: Path | None = None, port: int = 0, open_browser: bool = True) -> None:
    """Serve until interrupted; port 0 takes a free one.

    Raises `BadInput` where the facility cannot be read or the port is taken.
    """
    import uvicorn

    workspace.open_facility(folder)
    listener = _listen(port)
    port = listener.getsockname()[1]
    address = f"http://{LOOPBACK}:{port}/"
    print(f"cold-triage is at {address} (stop with Ctrl-C)", flush=True)
    if open_browser:
        webbrowser.open(address)
    config = uvicorn.Config(asgi(folder, port), log_level="warning", server_header=False, timeout_graceful_shutdown=1)
    uvicorn.Server(config).run(sockets=[listener])


def _listen(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((LOOPBACK, port))
        listener.listen(128)  # a browser opened early waits instead of being refused
    except OSError as error:
        listener.close()
        reason = (error.strerror or "cannot be used").lower()
        raise BadInput([Problem("--port", 0, "", f"{port}: {reason}", "give another port, or 0")]) from None
    return listener


async def _start(page: ft.Page, folder: Path | None) -> None:
    page.title = "cold-triage"
    look.prepare(page)
    session = new_session(folder)
    work = Work(page, session, ft.SharedPreferences(), ft.FilePicker())
    found = _TAB.search(page.route or "")
    work.drafts_as = found[1] if found else secrets.token_hex(8)
    session.place.dark = page.platform_brightness == ft.Brightness.DARK
    session.place.wide = (page.width or 0) >= 1500

    def resized(event: ft.PageResizeEvent) -> None:
        session.place.wide = event.width >= 1500

    page.on_resize = resized
    page.render(lambda: Shell(session, work, session.place))
    if found is None:
        await page.push_route(f"/?tab={work.drafts_as}")
        await work.find_left()
    elif await work.take_draft():
        work.soon()
