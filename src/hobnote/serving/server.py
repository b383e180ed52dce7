"""The service under uvicorn: where it listens, who may come in, and its log."""

from __future__ import annotations

import ipaddress
import json
import logging
import os
import socket
import sys
import time

from hobnote.keeping.store import Store
from hobnote.keeping.tokens import Tokens

LOOPBACK = frozenset({"127.0.0.1", "::1", "localhost"})


class ServingError(Exception):
    """The service cannot start, as one clear sentence."""


def run(
    host: str,
    port: int,
    database: str | None,
    *,
    rate: int,
    seconds: float,
    locked: bool,
) -> None:
    """Serve until stopped. Raises ServingError and KeepingError before it has begun."""
    # Read when NumPy loads. The products here are small, and many callers are at work at
    # once: threads of the arithmetic itself would mostly wait for each other.
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    import uvicorn

    from hobnote_api.app import create_app
    from hobnote_api.settings import Settings

    store = Store.open(database)
    alone = on_loopback(host)
    if (locked or not alone) and not Tokens(store.engine).any():
        raise ServingError(
            f"{'--locked' if alone else f'listening at {host}'} lets nobody in without a token; "
            "make one first: hobnote token create NAME --scope write."
        )
    door = _door(host, port)
    settings = Settings(
        rate=rate,
        seconds=seconds,
        locked=locked or not alone,
        hosts=LOOPBACK | {host} if alone else frozenset(),
    )
    _log_to_stderr()
    app = create_app(store, settings)
    config = uvicorn.Config(
        app, log_config=None, access_log=False, server_header=False, date_header=True
    )
    print(f"Hobnote is at {_address(host, door)} ; Ctrl-C stops it.", flush=True)
    try:
        uvicorn.Server(config).run(sockets=[door])
    except KeyboardInterrupt:
        pass
    finally:
        store.close()


def on_loopback(host: str) -> bool:
    """Whether only this machine can reach ``host``."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _door(host: str, port: int) -> socket.socket:
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        door = socket.socket(family, kind, protocol)
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind(address)
        door.listen(512)
    except (OSError, UnicodeError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise ServingError(
            f"cannot listen at {host}, port {port} ({reason}); "
            "choose others with --host and --port."
        ) from None
    return door


def _address(host: str, door: socket.socket) -> str:
    shown = f"[{host}]" if ":" in host else host
    return f"http://{shown}:{door.getsockname()[1]}/"


class _Json(logging.Formatter):
    """One line of JSON a record; ``fields`` of the record are members of it."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, object] = {
            "at": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(record.created)),
            "level": record.levelname.lower(),
            "event": record.getMessage(),
            **getattr(record, "fields", {}),
        }
        if record.exc_info and record.exc_info[0] is not None:
            line["error"] = record.exc_info[0].__name__  # its words may hold the note
        return json.dumps(line, ensure_ascii=False)


def _log_to_stderr() -> None:
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(_Json())
    service = logging.getLogger("hobnote.service")
    service.setLevel(logging.INFO)
    for logger in (service, logging.getLogger("uvicorn.error")):
        logger.handlers = [handler]
        logger.propagate = False
    logging.getLogger("uvicorn.error").setLevel(logging.WARNING)
