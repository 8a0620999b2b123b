"""What the web server lets in: this machine's own pages, and nothing that a foreign page asks for."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'wasm-unsafe-eval' blob:; "
    "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
    "connect-src 'self' data: blob:; worker-src 'self' blob:; frame-ancestors 'none'; base-uri 'self'; "
    "form-action 'none'"
)
_HEADERS = [
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
]


class Guard:
    """Refuses a foreign Host or Origin with 403, on pages and on the socket, and adds the security headers."""

    def __init__(self, app: App, hosts: Iterable[str]) -> None:
        self._app = app
        self._hosts = frozenset(host.lower() for host in hosts)
        self._origins = frozenset(f"http://{host}" for host in self._hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request or socket."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
        elif not self.allowed(scope["headers"]):
            await _refuse(scope, receive, send)
        elif scope["type"] == "websocket":
            await self._app(scope, receive, send)
        else:
            await self._app(scope, receive, _with_headers(send))

    def allowed(self, headers: Iterable[tuple[bytes, bytes]]) -> bool:
        """Whether a request names this server as its host and comes from one of its pages, or from no page."""
        hosts = [value for name, value in headers if name.lower() == b"host"]
        origins = [value for name, value in headers if name.lower() == b"origin"]
        if len(hosts) != 1 or len(origins) > 1:
            return False
        known = _text(hosts[0]) in self._hosts
        return known and all(_text(origin) in self._origins for origin in origins)


def _text(raw: bytes) -> str:
    return raw.decode("latin-1").strip().lower()


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            message = {**message, "headers": [*message.get("headers", ()), *_HEADERS]}
        await send(message)

    return sending


async def _refuse(scope: Scope, receive: Receive, send: Send) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008})
        return
    body = b"Refused: this server answers only pages it served itself.\n"
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 403, "headers": headers})
    await send({"type": "http.response.body", "body": body})
