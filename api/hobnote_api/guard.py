"""What stands before every request: who may come in, how much, how long, and what is logged."""

from __future__ import annotations

import asyncio
import logging
import time
from collections import OrderedDict
from http.cookies import CookieError, SimpleCookie
from urllib.parse import urlsplit

from fastapi.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from hobnote.keeping import KeepingError
from hobnote.keeping.tokens import Token, Tokens
from hobnote_api.problems import Refused, fault, problem, told, unkept
from hobnote_api.settings import Settings

COOKIE = "hobnote"
OPEN = frozenset({"/healthz", "/readyz", "/openapi.json", "/sign-in"})
READS = frozenset({"/v1/read"})
"""Paths that are asked with POST and change nothing."""
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
_DRAINED = 64_000_000
_CALLERS = 10_000

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(self)",
}

log = logging.getLogger("hobnote.service")


class Guard:
    """ASGI middleware around the whole application."""

    def __init__(self, app: ASGIApp, settings: Settings, tokens: Tokens) -> None:
        self.app = app
        self.settings = settings
        self.tokens = tokens
        self.buckets = Buckets(settings.rate)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the request through, or answer it here."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        static = str(scope["path"]).startswith("/static/")
        watch = _Watch(send, "no-cache" if static else "no-store")
        try:
            refused = await self._refused(scope)
            if refused is not None:
                await _drain(receive, _length(Headers(scope=scope)))
                await refused(scope, receive, watch.send)
            else:
                await self._within_time(scope, receive, watch)
        except Exception as error:
            watch.problem = type(error).__name__
            answer: Response
            if isinstance(error, KeepingError):  # the tokens cannot be looked up
                answer = unkept(Request(scope), error)
            else:
                answer = fault(error)
            if watch.status is None:
                await answer(scope, receive, watch.send)
        finally:
            _note(scope, watch)

    async def _within_time(self, scope: Scope, receive: Receive, watch: _Watch) -> None:
        """Run the application; who waits too long is answered, whatever its thread still does."""
        work = asyncio.ensure_future(
            self.app(scope, _limited(receive, self.settings.body), watch.send)
        )
        await asyncio.wait({work}, timeout=self.settings.seconds or None)
        if work.done() or watch.status is not None:
            await work
            return
        watch.problem = "timeout"
        late = problem(
            503,
            f"this took longer than {self.settings.seconds:g} seconds and was given up; "
            "look before you send it again.",
        )
        late.headers["Retry-After"] = "10"
        await late(scope, receive, watch.send)
        watch.closed = True
        work.cancel()
        # Nobody waits for it any more; its end, whatever it is, was told already.
        work.add_done_callback(lambda done: done.cancelled() or done.exception())

    async def _refused(self, scope: Scope) -> Response | None:
        headers, path, method = Headers(scope=scope), str(scope["path"]), str(scope["method"])
        caller = Request(scope)  # a page for who looks at pages
        limit = self.settings.body
        if not self._addressed(headers.get("host", "")):
            return told(caller, 421, "this service does not answer to that name.")
        if headers.get("content-encoding", "identity") != "identity":
            return told(caller, 415, "send the body as it is, not compressed.")
        if _length(headers) > limit:
            return told(caller, 413, f"send at most {limit:,} bytes.")
        if method not in _SAFE and _foreign(headers):
            return told(caller, 403, "this came from another site's page and was refused.")
        token = None
        if path not in OPEN and not path.startswith("/static/"):
            token = await self._token(headers)
            refused = self._kept_out(token, caller, headers)
            if refused is not None:
                return refused
        scope.setdefault("state", {})["token"] = token
        client = scope.get("client")
        name = f"token {token.id}" if token else (client[0] if client else "unknown")
        wait = self.buckets.wait(name)
        if wait > 0:
            text = f"at most {self.settings.rate} requests a minute; wait a little."
            busy = told(caller, 429, text)
            busy.headers["Retry-After"] = str(max(1, round(wait)))
            return busy
        return None

    def _addressed(self, host: str) -> bool:
        """Against pages elsewhere whose name was pointed at this machine."""
        if not self.settings.hosts:
            return True
        try:
            return urlsplit(f"//{host}").hostname in self.settings.hosts
        except ValueError:
            return False

    async def _token(self, headers: Headers) -> Token | None:
        secret = _bearer(headers) or _cookie(headers)
        return await run_in_threadpool(self.tokens.find, secret) if secret else None

    def _kept_out(
        self, token: Token | None, caller: Request, headers: Headers
    ) -> Response | None:
        method, path = caller.method, caller.url.path
        if token is None:
            if not self.settings.locked and not _bearer(headers):
                return None
            if method == "GET" and "text/html" in headers.get("accept", ""):
                return RedirectResponse("/sign-in", 303)
            answer = told(caller, 401, "give a token: Authorization: Bearer, then the token.")
            answer.headers["WWW-Authenticate"] = 'Bearer realm="hobnote"'
            return answer
        if token.scope == "read" and method not in _SAFE and path not in READS:
            return told(caller, 403, f"the token '{token.name}' may read only.")
        return None


class Buckets:
    """A caller may make ``rate`` requests a minute, some of them at once."""

    def __init__(self, rate: int) -> None:
        self.rate = rate
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, caller: str, now: float | None = None) -> float:
        """Seconds to wait; 0 lets the request through."""
        if self.rate <= 0:
            return 0.0
        now = time.monotonic() if now is None else now
        full = max(5.0, self.rate / 4)
        left, seen = self._left.pop(caller, (full, now))
        left = min(full, left + (now - seen) * self.rate / 60)
        wait = 0.0 if left >= 1 else (1 - left) * 60 / self.rate
        self._left[caller] = (left - 1 if wait == 0 else left, now)
        if len(self._left) > _CALLERS:
            self._left.popitem(last=False)
        return wait


class _Watch:
    """Adds the headers of every answer and remembers what it was."""

    def __init__(self, send: Send, cached: str) -> None:
        self._send = send
        self._cached = cached
        self.began = time.perf_counter()
        self.status: int | None = None
        self.bytes = 0
        self.problem: str | None = None
        self.closed = False

    async def send(self, message: Message) -> None:
        if self.closed:
            return
        if message["type"] == "http.response.start":
            self.status = message["status"]
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", self._cached)
        elif message["type"] == "http.response.body":
            self.bytes += len(message.get("body", b""))
        await self._send(message)


def _note(scope: Scope, watch: _Watch) -> None:
    """One line a request. The route's pattern, not its address: a search holds words."""
    route = getattr(scope.get("route"), "path", "other")
    token = (scope.get("state") or {}).get("token")
    line = {
        "method": scope["method"],
        "route": route,
        "status": watch.status,
        "ms": round((time.perf_counter() - watch.began) * 1000, 1),
        "bytes": watch.bytes,
        "token": token.name if token else None,
        "problem": watch.problem,
    }
    log.info("request", extra={"fields": {k: v for k, v in line.items() if v is not None}})


def _length(headers: Headers) -> int:
    text = headers.get("content-length", "")
    return int(text) if text.isascii() and text.isdigit() else 0


def _limited(receive: Receive, limit: int) -> Receive:
    """The body, refused as soon as it is longer than ``limit`` bytes."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise Refused(413, f"send at most {limit:,} bytes.")
        return message

    return counted


async def _drain(receive: Receive, length: int) -> None:
    """Take the rest of a refused body, so that the sender gets to read why."""
    seen = 0
    while 0 < length <= _DRAINED and seen < length:
        message = await receive()
        seen += len(message.get("body", b""))
        if message["type"] != "http.request" or not message.get("more_body"):
            return


def _foreign(headers: Headers) -> bool:
    """Whether a browser says that another site's page sent this."""
    if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return True
    origin = headers.get("origin")
    if origin is None:
        return False
    try:
        return urlsplit(origin).netloc.lower() != headers.get("host", "").lower()
    except ValueError:
        return True


def _bearer(headers: Headers) -> str | None:
    kind, _, secret = headers.get("authorization", "").partition(" ")
    return secret.strip() or None if kind.lower() == "bearer" else None


def _cookie(headers: Headers) -> str | None:
    try:
        found = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return None
    return found.value if found is not None else None
