"""Reading a request's body, no more of it than is allowed."""

from __future__ import annotations

from fastapi import HTTPException, Request


async def within(request: Request, limit: int) -> bytes:
    """The body, refused as soon as it is longer than ``limit`` bytes."""
    data = bytearray()
    async for chunk in request.stream():
        data += chunk
        if len(data) > limit:
            raise HTTPException(413, f"send at most {limit:,} bytes.")
    return bytes(data)
